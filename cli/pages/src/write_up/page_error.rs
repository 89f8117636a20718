//! Why a page cannot be made.

use thiserror::Error;

/// Why a page cannot be made.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PageError {
    /// A club of which no part was dated.
    #[error("the calibration dates no part of the club")]
    NoPart,
    /// A figure that cannot be drawn.
    #[error("a figure cannot be drawn: {0}")]
    Figure(String),
    /// A template that cannot be filled.
    #[error("a page cannot be made: {0:#}")]
    Template(#[from] minijinja::Error),
}
