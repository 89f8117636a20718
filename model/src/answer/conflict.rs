//! Size against make: where the measures and the other clues speak for different times.

use crate::answer::band::Band;
use crate::evidence::block::Block;
use crate::evidence::evidence::Evidence;
use crate::numbers::ln_sums::normalised_from_ln;

/// Two sides that agree on less than this share of what each says by itself are in conflict.
pub const CONFLICT_OVERLAP: f64 = 0.15;

/// Measures and other clues that speak for different times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conflict {
    /// First and last year of the 80 % band by the measures alone, every year alike before.
    pub measures: (i32, i32),
    /// The same by all other clues.
    pub others: (i32, i32),
    /// Shared probability of the two, 0 to 1: the sum over years of the lesser.
    pub overlap: f64,
}

/// The conflict between the measures and the other clues, if there is one: the sum over years of min(p, q) below
/// [`CONFLICT_OVERLAP`], p and q the tempered likelihoods of the two sides by the year of fashion, each
/// normalised by itself: whether the club leads or lags, both sides do so alike. One clue against
/// the rest is told by [`crate::answer::out_of_step`]; a side of one clue alone is therefore no side.
#[must_use]
pub fn conflict(evidence: &Evidence) -> Option<Conflict> {
    let measures = evidence.blocks.iter().find(|block| matches!(block.evidence, Block::Measures(_)))?;
    let singles = evidence.blocks.iter().filter(|block| matches!(block.evidence, Block::OneClue(_)));
    let others: Vec<usize> = singles.flat_map(|block| block.places.clone()).collect();
    let n_measures = measures.places.iter().filter(|place| !evidence.clues[**place].adjusts).count();
    if n_measures < 2 || others.len() < 2 {
        return None;
    }
    let side = |keep: &dyn Fn(usize) -> bool| normalised_from_ln(&evidence.ln_by_fashion(keep));
    let (p, q) = (side(&|clue| measures.places.contains(&clue)), side(&|clue| others.contains(&clue)));
    let overlap: f64 = p.iter().zip(&q).map(|(p, q)| p.min(*q)).sum();
    let band = |probability: &[f64]| {
        let band = Band::shortest(evidence.axis, probability, None, 0.8);
        (band.from(), band.to())
    };
    (overlap < CONFLICT_OVERLAP).then(|| Conflict { measures: band(&p), others: band(&q), overlap })
}
