//! Years of use of marks.

use thiserror::Error;

/// One period of use of a mark; a mark may have several.
///
/// ```
/// use agewright_model::tables::mark_use::MarkUse;
///
/// let device = MarkUse {
///     clue: "royal_device".into(), mark: "victoria".into(), written: String::new(), used_from: 1837, used_to: 1901,
///     fade: 5.0, leak: 0.01, source: String::new(), standing: String::new(),
/// };
/// assert_eq!([1830, 1880, 1901, 1906, 1911].map(|year| device.in_year(year)), [0.01, 1.0, 1.0, 0.5, 0.25]);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct MarkUse {
    /// The clue's id.
    pub clue: String,
    /// The mark: a level of the clue.
    pub mark: String,
    /// The mark as it is written on the club; empty where that is its id.
    pub written: String,
    /// First year of use.
    pub used_from: i32,
    /// Last year of use, inclusive.
    pub used_to: i32,
    /// Years in which use halves afterwards: dies and old stock live on.
    pub fade: f64,
    /// Share of use before the first year.
    pub leak: f64,
    /// Where this is known from.
    pub source: String,
    /// What that is worth: read in a source, from memory, judgement.
    pub standing: String,
}

/// Why a period of use is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum MarkError {
    /// Years out of order.
    #[error("mark {mark}: used_from {from} is after used_to {to}")]
    Order {
        /// The mark.
        mark: String,
        /// First year.
        from: i32,
        /// Last year.
        to: i32,
    },
    /// A number out of its bounds.
    #[error("mark {mark}: {what} = {value}: it must lie between {low} and {high}")]
    Number {
        /// The mark.
        mark: String,
        /// Which number.
        what: &'static str,
        /// The number.
        value: f64,
        /// Lowest.
        low: f64,
        /// Highest.
        high: f64,
    },
}

/// Years that marks of golf clubs have any sense in; a slip of the pen lies outside.
const YEARS: std::ops::RangeInclusive<i32> = 1000..=2100;
/// Use never falls below this: nothing is impossible.
const LEAST_USE: f64 = 1e-4;

impl MarkUse {
    /// Checks years and numbers.
    ///
    /// # Errors
    /// [`MarkError`] with the first that makes no sense.
    pub fn check(&self) -> Result<(), MarkError> {
        let mark = self.mark.clone();
        if self.used_from > self.used_to {
            return Err(MarkError::Order { mark, from: self.used_from, to: self.used_to });
        }
        for (what, year) in [("used_from", self.used_from), ("used_to", self.used_to)] {
            if !YEARS.contains(&year) {
                let (low, high) = (f64::from(*YEARS.start()), f64::from(*YEARS.end()));
                return Err(MarkError::Number { mark, what, value: f64::from(year), low, high });
            }
        }
        for (what, value, low, high) in [("fade", self.fade, 0.1, 200.0), ("leak", self.leak, 0.0001, 1.0)] {
            if !(low..=high).contains(&value) {
                return Err(MarkError::Number { mark, what, value, low, high });
            }
        }
        Ok(())
    }

    /// Use in a year: 1 within, halving every `fade` years after, `leak` before.
    #[must_use]
    pub fn in_year(&self, year: i32) -> f64 {
        let used = if year < self.used_from {
            self.leak
        } else if year <= self.used_to {
            1.0
        } else {
            0.5_f64.powf(f64::from(year - self.used_to) / self.fade)
        };
        used.max(LEAST_USE)
    }
}
