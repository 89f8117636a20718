//! How each clue stands with the rest of an answer: whether it is misread, how well the others bear it out.

use crate::answer::posterior::Posterior;
use crate::evidence::evidence::Evidence;
use crate::tables::prior::Prior;

/// A clue that counts, and how it stands with the others.
#[derive(Debug, Clone, PartialEq)]
pub struct ClueStanding {
    /// The clue's id.
    pub clue: String,
    /// Its reading as written.
    pub reading: String,
    /// Exponent that it counts with.
    pub weight: f64,
    /// Corrects measured clues and is no evidence of date by itself: what it moves, it moves through them.
    pub adjusts: bool,
    /// Chance that it is misread or belongs to later work, given all clues; where rules say how it looks after the
    /// axis, the chance of those years is counted in.
    pub misread: f64,
    /// The same before anything else is known.
    pub misread_before: f64,
    /// How well the rest bears it out, 0 to 1: its own likelihood averaged over the answer without it, as a share of
    /// its highest in any year.
    pub support: f64,
}

/// All clues of some evidence, in the order of their ids; `after` is the answer's chance of the years after the axis.
pub(crate) fn standings(evidence: &Evidence, prior: &Prior, after: f64) -> Vec<ClueStanding> {
    let misread = evidence.misread(prior);
    let misread_after = if after > 0.0 { evidence.misread_after(prior) } else { misread.clone() };
    let clues = evidence.clues.iter().enumerate().map(|(i, clue)| ClueStanding {
        clue: clue.id.clone(),
        reading: clue.reading.clone(),
        weight: clue.weight,
        adjusts: clue.adjusts,
        // What speaks for years after the axis is no misreading as far as the part is of them.
        misread: (1.0 - after) * misread[i] + after * misread_after[i],
        misread_before: clue.misread,
        support: support(evidence, prior, i),
    });
    clues.collect()
}

/// How well the others bear a clue out on a part of the axis's years or of after them.
fn support(evidence: &Evidence, prior: &Prior, clue: usize) -> f64 {
    let on_axis = evidence.support(prior, clue);
    let Some(of_cell) = evidence.after_of(clue) else { return on_axis };
    let after = Posterior::of(evidence, prior, |other| other != clue).after();
    let ln_highest = evidence.ln_alone(clue).into_iter().fold(of_cell.ln, f64::max);
    (1.0 - after) * on_axis + after * (of_cell.ln - ln_highest).exp()
}
