//! The date of a club that is known, and how well.

use crate::numbers::axis::Axis;
use crate::reading::period_text::OpenSide;
use thiserror::Error;

/// How well a date is known: 1 dated document, 2 register or tenure, 3 published, 4 auction or dealer, 5 own opinion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DateGrade(u8);

impl DateGrade {
    /// Worth of a club of each grade when tables are fitted, as parts of a club (a judgement).
    const WORTH: [f64; 5] = [1.0, 1.0, 0.7, 0.4, 0.0];

    /// What a date in vague words is, where nothing else is said of it.
    pub const OPINION_OF_THE_TRADE: Self = Self(4);

    /// A grade from 1 to 5.
    ///
    /// # Errors
    /// [`KnownDateError::Grade`] outside 1 to 5.
    pub fn new(grade: u8) -> Result<Self, KnownDateError> {
        if (1..=5).contains(&grade) { Ok(Self(grade)) } else { Err(KnownDateError::Grade(grade)) }
    }

    /// The number, 1 to 5.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0
    }

    /// Worth in clubs, 0 to 1.
    #[must_use]
    pub fn worth(self) -> f64 {
        Self::WORTH[usize::from(self.0) - 1]
    }
}

impl Default for DateGrade {
    /// A date without a grade is taken as documented.
    fn default() -> Self {
        Self(1)
    }
}

/// Why a date is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum KnownDateError {
    /// A grade outside 1 to 5.
    #[error("date grade {0}: grades run from 1 (documented) to 5 (own opinion)")]
    Grade(u8),
    /// The first year is after the last.
    #[error("made_from {from} is after made_to {to}")]
    Order {
        /// First year.
        from: i32,
        /// Last year.
        to: i32,
    },
    /// A year outside the axis.
    #[error("{year} is outside the catalogue's years, {first} to {last}")]
    OffAxis {
        /// The year.
        year: i32,
        /// First year of the axis.
        first: i32,
        /// Last year of the axis.
        last: i32,
    },
}

/// Made in a year from `from` to `to`, both inclusive, by a source of some grade.
///
/// ```
/// use agewright_model::reading::known_date::DateGrade;
/// use agewright_model::{Axis, KnownDate};
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let date = KnownDate::new(axis, 1885, 1890, DateGrade::new(3).unwrap()).unwrap();
/// assert_eq!((date.from(), date.to(), date.worth()), (1885, 1890, 0.7));
/// assert!(KnownDate::new(axis, 1890, 1885, DateGrade::default()).is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KnownDate {
    from: i32,
    to: i32,
    grade: DateGrade,
    is_assumed: bool,
    open: Option<OpenSide>,
}

impl KnownDate {
    /// A date, its years checked against the axis.
    ///
    /// # Errors
    /// [`KnownDateError`] for years out of order or off the axis.
    pub fn new(axis: Axis, from: i32, to: i32, grade: DateGrade) -> Result<Self, KnownDateError> {
        if from > to {
            return Err(KnownDateError::Order { from, to });
        }
        if let Some(&year) = [from, to].iter().find(|year| !axis.contains(**year)) {
            return Err(KnownDateError::OffAxis { year, first: axis.from(), last: axis.last() });
        }
        Ok(Self { from, to, grade, is_assumed: false, open: None })
    }

    /// The same, of a grade that nobody gave and that is taken for want of one.
    #[must_use]
    pub fn with_assumed_grade(self) -> Self {
        Self { is_assumed: true, ..self }
    }

    /// Whether nobody gave the grade.
    #[must_use]
    pub fn has_assumed_grade(&self) -> bool {
        self.is_assumed
    }

    /// The same, whose first or last year is that of the axis because nothing is said of that side.
    #[must_use]
    pub fn with_open_side(self, open: Option<OpenSide>) -> Self {
        Self { open, ..self }
    }

    /// The side that the axis alone ends.
    #[must_use]
    pub fn open_side(&self) -> Option<OpenSide> {
        self.open
    }

    /// First year.
    #[must_use]
    pub fn from(&self) -> i32 {
        self.from
    }

    /// Last year, inclusive.
    #[must_use]
    pub fn to(&self) -> i32 {
        self.to
    }

    /// How well it is known.
    #[must_use]
    pub fn grade(&self) -> DateGrade {
        self.grade
    }

    /// Worth of such a club, in clubs, when tables are fitted.
    #[must_use]
    pub fn worth(&self) -> f64 {
        self.grade.worth()
    }
}
