//! Marks with years of use.

use crate::numbers::axis::Axis;
use crate::reading::cell::{Reading, Seen};
use crate::reading::misread::misread_of;
use crate::reading::register::lag_chance;
use thiserror::Error;

/// One period of use of a mark; a mark may have several.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkUse {
    /// The clue's id.
    pub clue: String,
    /// The mark: a level of the clue.
    pub mark: String,
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

/// The two cases of a reading by year: right, times 1 - e; and misread, e times the mean over all years.
pub(crate) type CasesByYear = (Vec<f64>, f64);

fn cases(axis: Axis, misread: f64, right: impl Fn(i32) -> f64) -> CasesByYear {
    let right: Vec<f64> = axis.years().map(right).collect();
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    let mean = right.iter().sum::<f64>() / right.len() as f64;
    // A number registered after the axis fits no year: all that is known then is that it was misread.
    let wrong = if mean > 0.0 { misread * mean } else { 1.0 };
    (right.iter().map(|v| (1.0 - misread) * v).collect(), wrong)
}

/// Cases by year of a mark's reading: the most that any of its periods gives; of several marks their mean.
pub(crate) fn mark_cases(
    axis: Axis,
    levels: &[String],
    uses: &[&MarkUse],
    misread: f64,
    reading: &Reading,
) -> CasesByYear {
    let Seen::Levels(seen) = &reading.seen else { return (vec![0.0; axis.n_years()], 1.0) };
    let of_mark = |year: i32, k: usize| {
        let own = uses.iter().filter(|mark| mark.mark == levels[k]).map(|mark| mark.in_year(year));
        // A mark whose years nobody knows says nothing.
        own.fold(None, |most: Option<f64>, used| Some(most.map_or(used, |m| m.max(used)))).unwrap_or(1.0)
    };
    #[expect(clippy::cast_precision_loss, reason = "marks are few")]
    let mean = |year| seen.iter().map(|&k| of_mark(year, k)).sum::<f64>() / seen.len().max(1) as f64;
    cases(axis, misread_of(misread, reading), mean)
}

/// Cases by year of a register's number: the sum over its years of registration of share times the chance of the lag.
pub(crate) fn register_cases(axis: Axis, misread: f64, reading: &Reading) -> CasesByYear {
    let Seen::Number(years) = &reading.seen else { return (vec![0.0; axis.n_years()], 1.0) };
    let made = |year: i32| years.iter().map(|registered| registered.share * lag_chance(year - registered.year)).sum();
    cases(axis, misread_of(misread, reading), made)
}
