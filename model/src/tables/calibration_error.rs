//! Why a calibration is refused, and where.

use crate::reading::document_path::DocumentPath;
use crate::tables::mark_use::MarkError;
use crate::tables::measured_error::MeasuredBlockError;
use crate::tables::replacement::PartsError;
use crate::tables::shares::SharesError;
use thiserror::Error;

/// Why a calibration is refused, and where.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{problem}")]
pub struct CalibrationError {
    /// Where in the calibration, by the keys of its file; the table of a measured clue is `block[b].clues[c]`.
    pub path: DocumentPath,
    /// What.
    pub problem: CalibrationProblem,
}

/// What is wrong with a calibration.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CalibrationProblem {
    /// Shares of a level table.
    #[error(transparent)]
    Shares(#[from] SharesError),
    /// A measured block.
    #[error(transparent)]
    Measured(#[from] MeasuredBlockError),
    /// Years of use of a mark.
    #[error(transparent)]
    Mark(#[from] MarkError),
    /// How the parts belong together.
    #[error(transparent)]
    Parts(#[from] PartsError),
    /// A table for a clue that the catalogue does not have, or has as another kind or part.
    #[error("table \"{0}\": the catalogue has no such clue of that kind and part")]
    Clue(String),
    /// Two tables for one clue.
    #[error("table \"{0}\" stands twice")]
    Twice(String),
    /// More clues than sets of them can be told apart.
    #[error("{what}: {found} clues that speak together; there may be {most}")]
    TooMany {
        /// Of which clues.
        what: &'static str,
        /// Their number.
        found: usize,
        /// The most there may be.
        most: usize,
    },
    /// A prior that stands twice.
    #[error("prior \"{0}\" stands twice")]
    TwicePrior(String),
    /// A prior that is not over the catalogue's years.
    #[error("prior \"{name}\" has {found} years where {wanted} belong")]
    PriorYears {
        /// The prior.
        name: String,
        /// Years it has.
        found: usize,
        /// Years of the catalogue.
        wanted: usize,
    },
    /// A table has the wrong number of rows or shares.
    #[error("table \"{clue}\": {what}: {found} where {wanted} belong")]
    Shape {
        /// The clue's id.
        clue: String,
        /// Rows or shares.
        what: &'static str,
        /// Number found.
        found: usize,
        /// Number wanted.
        wanted: usize,
    },
    /// A number outside its limits.
    #[error("table \"{clue}\": {what} = {value}: it must lie between {low} and {high}")]
    Number {
        /// The clue's id or block's part.
        clue: String,
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Lowest.
        low: f64,
        /// Highest.
        high: f64,
    },
    /// A draw that lacks a table of the whole fit, or has it in another form.
    #[error("a draw has no numbers for {0}, or not as many as the table has rows")]
    Draw(String),
    /// A shelf without a club.
    #[error("the shelf holds no dated club")]
    EmptyShelf,
    /// A club of the shelf that is dated to no run of years of the catalogue.
    #[error("shelf: club \"{club}\" is of {from}-{to}: that is no run of years of the catalogue")]
    ShelfYears {
        /// The club's id.
        club: String,
        /// First year of its date.
        from: i32,
        /// Last year of its date.
        to: i32,
    },
    /// A reading of a club of the shelf that is not of its clue's kind.
    #[error("shelf: a reading of club \"{0}\" is none that the catalogue allows")]
    ShelfReading(String),
    /// A shelf without the prior that its votes are made with.
    #[error("a shelf needs the prior \"as-collected\", which the calibration does not have")]
    ShelfPrior,
    /// The default prior is not among the priors.
    #[error("default prior \"{0}\" is not among the priors")]
    DefaultPrior(String),
}

impl CalibrationError {
    /// A problem at a place.
    pub fn at(path: DocumentPath, problem: impl Into<CalibrationProblem>) -> Self {
        Self { path, problem: problem.into() }
    }
}
