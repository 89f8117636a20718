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
    let mut sums = vec![0.0; asked.axis().n_years()];
    for posterior in &posteriors {
        for (sum, p) in sums.iter_mut().zip(posterior.by_year()) {
            *sum += p;
        }
    }
    let ln: Vec<f64> = sums.iter().map(|sum: &f64| sum.ln()).collect();
    let median = (at(n / 10)?, at(n.checked_sub(1)? - n / 10)?);
    Some(DrawnAnswer { n, bands: Posterior::new(asked.axis(), &[&ln]).bands(), median })
}
