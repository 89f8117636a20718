//! A club of known date.

use agewright_model::{Axis, Cell, Club};
use thiserror::Error;

/// How well a date is known: 1 documented to 5 own opinion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DateGrade(u8);

impl DateGrade {
    /// Worth of a club of each grade when tables are fitted, as parts of a club (common practice, no source).
    const WORTH: [f64; 5] = [1.0, 1.0, 0.7, 0.4, 0.0];

    /// A grade from 1 to 5.
    ///
    /// # Errors
    /// [`DatedClubError::Grade`] outside 1 to 5.
    pub fn new(grade: u8) -> Result<Self, DatedClubError> {
        if (1..=5).contains(&grade) { Ok(Self(grade)) } else { Err(DatedClubError::Grade(grade)) }
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
pub enum DatedClubError {
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

/// A club made in a year from `made_from` to `made_to`, both inclusive.
#[derive(Debug, Clone, PartialEq)]
pub struct DatedClub {
    /// The club as it was read.
    pub club: Club,
    made_from: i32,
    made_to: i32,
    grade: DateGrade,
}

impl DatedClub {
    /// A dated club, its years checked against the axis.
    ///
    /// # Errors
    /// [`DatedClubError`] for years out of order or off the axis.
    pub fn new(axis: Axis, club: Club, made_from: i32, made_to: i32, grade: DateGrade) -> Result<Self, DatedClubError> {
        if made_from > made_to {
            return Err(DatedClubError::Order { from: made_from, to: made_to });
        }
        if let Some(&year) = [made_from, made_to].iter().find(|year| !axis.contains(**year)) {
            return Err(DatedClubError::OffAxis { year, first: axis.from(), last: axis.last() });
        }
        Ok(Self { club, made_from, made_to, grade })
    }

    /// The same club with another cell for one clue, by its place in the catalogue.
    #[must_use]
    pub fn with_cell(&self, clue: usize, cell: Cell) -> Self {
        let mut other = self.clone();
        if other.club.cells.len() <= clue {
            other.club.cells.resize(clue + 1, Cell::NotExamined);
        }
        other.club.cells[clue] = cell;
        other
    }

    /// First year it may have been made in.
    #[must_use]
    pub fn made_from(&self) -> i32 {
        self.made_from
    }

    /// Last year it may have been made in.
    #[must_use]
    pub fn made_to(&self) -> i32 {
        self.made_to
    }

    /// Worth in clubs when tables are fitted.
    #[must_use]
    pub fn worth(&self) -> f64 {
        self.grade.worth()
    }
}
