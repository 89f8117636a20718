//! Weight of evidence in decibans.

use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::ln_sum;

/// Decibans of a natural-log likelihood ratio: 10 log10 of the ratio; a factor of ten is ten decibans.
///
/// Source: I. J. Good, Probability and the Weighing of Evidence, 1950, p. 63 (page from memory).
#[must_use]
pub fn decibans(ln_ratio: f64) -> f64 {
    10.0 * ln_ratio / std::f64::consts::LN_10
}

/// Weight of evidence in decibans for one run of years over another (both inclusive): the likelihood is averaged
/// over each run by the prior, as Bayes' theorem asks for composite hypotheses. `None` where a run is off the axis.
#[must_use]
pub fn weight_of_evidence(
    axis: Axis,
    ln_prior: &[f64],
    ln_likelihood: &[f64],
    a: (i32, i32),
    b: (i32, i32),
) -> Option<f64> {
    let mean = |(from, to): (i32, i32)| {
        let ixs: Vec<usize> = (from..=to).filter_map(|year| axis.year_ix(year)).collect();
        let joint: Vec<f64> = ixs.iter().map(|&ix| ln_prior[ix] + ln_likelihood[ix]).collect();
        let prior: Vec<f64> = ixs.iter().map(|&ix| ln_prior[ix]).collect();
        (!ixs.is_empty()).then(|| ln_sum(&joint) - ln_sum(&prior))
    };
    Some(decibans(mean(a)? - mean(b)?))
}
