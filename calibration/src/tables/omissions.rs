//! What has no part in the tables, and why.

use crate::dated::sets::Sets;
use std::collections::BTreeSet;

/// A clue needs this many readings.
pub(crate) const LEAST_READINGS: usize = 4;
/// Read on clubs of so many sets; a club of no set is one by itself.
const LEAST_SETS: usize = 3;

/// Whether readings of some clubs are enough for a table that no rule backs.
pub(crate) fn enough_read(clubs: &[usize], sets: &Sets) -> Result<(), NoTable> {
    let of_sets: BTreeSet<usize> = clubs.iter().map(|&club| sets.set_of(club)).collect();
    match clubs.len() {
        n if n < LEAST_READINGS => Err((n, WhyLeftOut::TooFew)),
        n if of_sets.len() < LEAST_SETS => Err((n, WhyLeftOut::FewSets)),
        _ => Ok(()),
    }
}

/// Why a clue has no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyLeftOut {
    /// Fewer readings than a table needs.
    TooFew,
    /// Read on clubs of fewer than three sets: without one of them too little is left to tell how the clue spreads.
    FewSets,
    /// All dated clubs read alike.
    NeverVaries,
}

/// Number of readings of a clue that has no table, and why it has none.
pub(crate) type NoTable = (usize, WhyLeftOut);
