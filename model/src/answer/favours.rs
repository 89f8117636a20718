//! The years that one clue alone favours.

use crate::answer::band::Band;
use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::normalised_from_ln;

/// A clue whose likelihood varies by less than this factor over the years favours none.
pub const FAVOURS_LEAST_RATIO: f64 = 1.5;

/// First and last year of the shortest set that holds half of a clue's own likelihood by year (as a band does: ties to
/// the earlier year, gaps under five years closed), or `None` where the likelihood varies by less than
/// [`FAVOURS_LEAST_RATIO`]. A clue that favours an early and a late time names both and all between.
pub(crate) fn favoured_years(axis: Axis, ln_likelihood: &[f64]) -> Option<(i32, i32)> {
    let high = ln_likelihood.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = ln_likelihood.iter().copied().fold(f64::INFINITY, f64::min);
    if high - low < FAVOURS_LEAST_RATIO.ln() {
        return None;
    }
    let band = Band::shortest(axis, &normalised_from_ln(ln_likelihood), None, 0.5);
    Some((band.from(), band.to()))
}
