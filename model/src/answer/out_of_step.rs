//! Clues that the rest does not bear out.

use crate::answer::clue_standing::ClueStanding;

/// A clue is out of step when it is at least this likely, given all clues, to be misread or later work.
pub const OUT_OF_STEP_MISREAD: f64 = 0.5;
/// A clue is also out of step when, by the rest, its reading is this many times rarer than where it is commonest.
pub const OUT_OF_STEP_RARER: f64 = 10.0;

/// A clue out of step with the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfStep {
    /// The clue's id.
    pub clue: String,
    /// Its reading.
    pub reading: String,
    /// Chance that it is misread or belongs to later work.
    pub misread: f64,
    /// How many times rarer the reading is, by the rest, than in the year it is commonest in.
    pub rarer: f64,
}

/// Of the clues that count those that the rest does not bear out: more likely misread than not, or at a time by the
/// rest at which such a reading is ten times rarer than at its own. The least borne out first.
#[must_use]
pub fn out_of_step(clues: &[ClueStanding]) -> Vec<OutOfStep> {
    let mut found: Vec<OutOfStep> = clues
        .iter()
        // A reading that was doubted from the start is out of step only where the rest makes it more so.
        .filter(|one| {
            let misread = one.misread >= OUT_OF_STEP_MISREAD && one.misread > one.misread_before + 1e-9;
            misread || one.support * OUT_OF_STEP_RARER <= 1.0
        })
        // Nothing is out of step with nothing: what only describes the club is no rest.
        .filter(|one| clues.iter().any(|other| other.clue != one.clue && !other.adjusts))
        .map(|one| OutOfStep {
            clue: one.clue.clone(),
            reading: one.reading.clone(),
            misread: one.misread,
            rarer: 1.0 / one.support.max(1e-9),
        })
        .collect();
    found.sort_by(|a, b| b.rarer.total_cmp(&a.rarer).then_with(|| a.clue.cmp(&b.clue)));
    found
}
