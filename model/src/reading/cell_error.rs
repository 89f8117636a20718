//! Why a cell is refused, with its text and the nearest allowed words.

use crate::reading::register::RegisterError;
use thiserror::Error;

/// Why a cell is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CellError {
    /// A word that is no level of the clue.
    #[error("\"{value}\" is no level of {clue}")]
    Level {
        /// The clue's id.
        clue: String,
        /// The word.
        value: String,
        /// The clue's levels.
        allowed: Vec<String>,
    },
    /// A word that is no mark of the clue.
    #[error("\"{value}\" is no mark of {clue}; marks of your own, with their years of use, are added with --marks")]
    Mark {
        /// The clue's id.
        clue: String,
        /// The word.
        value: String,
        /// The clue's marks.
        allowed: Vec<String>,
    },
    /// `absent` for a clue whose catalogue entry does not list it.
    #[error(
        "\"absent\" says nothing for {clue}: its levels do not list it; leave the cell blank, or write \"unreadable\""
    )]
    Absent {
        /// The clue's id.
        clue: String,
        /// The clue's levels.
        allowed: Vec<String>,
    },
    /// No number of the clue's register.
    #[error("{clue}: {problem}")]
    Register {
        /// The clue's id.
        clue: String,
        /// Why.
        problem: RegisterError,
    },
    /// A unit that does not measure this clue.
    #[error("\"{unit}\" in \"{value}\" is no unit that {clue} can be read in")]
    Unit {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
        /// The unit's word.
        unit: String,
        /// Units that can be read.
        allowed: Vec<String>,
    },
    /// A date where a measure should be.
    #[error(
        "\"{value}\" looks like a date: a spreadsheet may have turned a fraction into one; format the column as text \
         and enter {clue} again"
    )]
    Date {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// A comma that may be meant for thousands, in a file whose columns are not separated by `;`.
    #[error("\"{value}\": is the comma a decimal one, or for thousands? write {clue} with a point")]
    DecimalComma {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// No number.
    #[error(
        "\"{value}\" is no measure for {clue}; write for example {example}; or leave it blank, or write unreadable or \
         altered"
    )]
    NotAMeasure {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
        /// Measures in units of the clue's kind.
        example: &'static str,
    },
    /// A tolerance as wide as anything that could be measured.
    #[error("\"{value}\": a tolerance that wide says nothing of {clue}; leave the cell blank or write \"unreadable\"")]
    Tolerance {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// Outside the believable range.
    #[error("\"{value}\" is outside the range of {clue}, {low} to {high} {unit}: a slip of the pen?")]
    Range {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
        /// Unit.
        unit: &'static str,
    },
}

impl CellError {
    /// Words that would have been allowed, for a suggestion of the nearest one, and the word that was not.
    #[must_use]
    pub fn choices(&self) -> Option<(&str, &[String])> {
        match self {
            Self::Level { value, allowed, .. } | Self::Mark { value, allowed, .. } => Some((value, allowed)),
            Self::Absent { allowed, .. } => Some(("absent", allowed)),
            Self::Unit { unit, allowed, .. } => Some((unit, allowed)),
            _ => None,
        }
    }
}
