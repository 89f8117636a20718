//! Why the measured clues of a part are refused.

use thiserror::Error;

/// Why a block is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum MeasuredBlockError {
    /// A number that makes no sense in its place.
    #[error("{clue}: {what} = {value}: {limit}")]
    Number {
        /// The clue's id, or the block's part.
        clue: String,
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it must be.
        limit: &'static str,
    },
    /// The correlation matrix has the wrong shape.
    #[error("correlation of the {part} has not {clues} rows of {clues} numbers")]
    Shape {
        /// The part.
        part: &'static str,
        /// Number of clues.
        clues: usize,
    },
    /// Two clues whose correlation makes no sense.
    #[error("correlation of the {part}: {first} with {second}: {value}: {limit}")]
    Pair {
        /// The part.
        part: &'static str,
        /// A clue's id.
        first: String,
        /// Another's.
        second: String,
        /// The number.
        value: f64,
        /// What it must be.
        limit: &'static str,
    },
    /// Correlations that cannot stand together.
    #[error("correlation of the {part}: no set of clubs can have these correlations together (not positive definite)")]
    NotPositiveDefinite {
        /// The part.
        part: &'static str,
    },
}
