//! What the answer would be with other clubs in the collection.

use crate::answer::band::{Band, CREDIBLE_LEVELS};
use crate::answer::posterior::Posterior;
use crate::evidence::evidence::Evidence;
use crate::evidence::part_prior::part_prior;
use crate::reading::catalogue::Part;
use crate::reading::club::Club;
use crate::tables::calibration::Calibration;

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

/// Dates a part of a club by every draw of a calibration; `None` where it has none.
#[must_use]
pub(crate) fn drawn_answer(
    calibration: &Calibration,
    club: &Club,
    part: Part,
    prior: &str,
    without: &[usize],
) -> Option<DrawnAnswer> {
    let axis = calibration.catalogue.axis;
    let posteriors: Vec<Posterior> = calibration
        .draws
        .iter()
        .filter_map(|draw| {
            let (evidence, _) = Evidence::gather(draw, club, part, without);
            let prior = part_prior(draw, club, part, draw.prior(prior).ok()?, without);
            Some(Posterior::new(axis, &[prior.ln_by_year(), &evidence.ln_likelihood(|_| true)]))
        })
        .collect();
    if posteriors.is_empty() {
        return None;
    }
    let mut medians: Vec<i32> = posteriors.iter().map(Posterior::median).collect();
    medians.sort_unstable();
    let n = medians.len();
    let at = |ix: usize| medians.get(ix).copied();
    let mut ln_average = vec![0.0; axis.n_years()];
    for posterior in &posteriors {
        for (sum, p) in ln_average.iter_mut().zip(posterior.by_year()) {
            *sum += p;
        }
    }
    for sum in &mut ln_average {
        *sum = sum.ln();
    }
    let average = Posterior::new(axis, &[&ln_average]);
    Some(DrawnAnswer {
        n,
        bands: CREDIBLE_LEVELS.iter().map(|&level| average.band(level)).collect(),
        median: (at(n / 10)?, at(n.checked_sub(1)? - n / 10)?),
    })
}
