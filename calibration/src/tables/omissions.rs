//! What has no part in the tables, and why.

/// A clue needs this many readings.
pub(crate) const LEAST_READINGS: usize = 4;

/// Why a clue has no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyLeftOut {
    /// Fewer readings than a table needs.
    TooFew,
    /// All dated clubs read alike.
    NeverVaries,
}

/// Number of readings of a clue that has no table, and why it has none.
pub(crate) type NoTable = (usize, WhyLeftOut);
