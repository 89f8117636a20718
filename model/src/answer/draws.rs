//! What the answer would be with other clubs in the collection.

use crate::answer::band::Band;
use crate::answer::posterior::Posterior;
use crate::evidence::asked::Asked;

/// The answer averaged over a calibration's draws, and how its median wanders.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnAnswer {
    /// Number of draws.
    pub n: usize,
    /// The 50, 80 and 95 % bands of the posterior averaged over the draws.
    pub bands: Vec<Band>,
    /// Median that a tenth of the draws stay below, and the one that a tenth exceed.
    pub median: (i32, i32),
}

/// Asks every draw of the calibration the same; `None` where it has none.
#[must_use]
pub(crate) fn drawn_answer(asked: &Asked<'_>) -> Option<DrawnAnswer> {
    let draws = asked.calibration().draws().iter().filter_map(|draw| asked.by_draw(draw));
    let posteriors: Vec<Posterior> =
        draws.map(|asked| Posterior::of(asked.evidence(), asked.prior(), |_| true)).collect();
    let mut medians: Vec<i32> = posteriors.iter().map(Posterior::median).collect();
    medians.sort_unstable();
    let n = medians.len();
    let at = |ix: usize| medians.get(ix).copied();
    let median = (at(n / 10)?, at(n.checked_sub(1)? - n / 10)?);
    Some(DrawnAnswer { n, bands: Posterior::average(&posteriors).bands(), median })
}
