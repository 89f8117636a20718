//! Clues that the rest does not bear out.

use crate::ledger::Ledger;

/// A clue is out of step when it is at least this likely, given all clues, to be misread or later work.
pub const OUT_OF_STEP_MISREAD: f64 = 0.5;

/// A clue out of step with the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfStep {
    /// The clue's id.
    pub clue: String,
    /// Its reading.
    pub reading: String,
    /// Chance that it is misread or belongs to later work.
    pub misread: f64,
}

/// Clues of a ledger that are more likely misread than not, most likely first.
#[must_use]
pub fn out_of_step(ledger: &Ledger) -> Vec<OutOfStep> {
    let mut found: Vec<OutOfStep> = ledger
        .entries
        .iter()
        // A reading that was doubted from the start is out of step only where the rest makes it more so.
        .filter(|entry| entry.misread >= OUT_OF_STEP_MISREAD && entry.misread > entry.misread_before + 1e-9)
        .filter(|_| ledger.entries.len() > 1)
        .map(|entry| OutOfStep { clue: entry.clue.clone(), reading: entry.reading.clone(), misread: entry.misread })
        .collect();
    found.sort_by(|a, b| b.misread.total_cmp(&a.misread).then_with(|| a.clue.cmp(&b.clue)));
    found
}
