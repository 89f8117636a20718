//! The years that one clue alone favours.

use crate::axis::Axis;
use crate::ln_sums::normalised_from_ln;

/// A clue whose likelihood varies by less than this factor over the years favours none.
pub const FAVOURS_LEAST_RATIO: f64 = 1.5;

/// Shortest run of years that holds half of a clue's own likelihood by year (ties to the earlier), both ends inclusive,
/// or `None` where the likelihood varies by less than [`FAVOURS_LEAST_RATIO`].
#[must_use]
pub fn favoured_years(axis: Axis, ln_likelihood: &[f64]) -> Option<(i32, i32)> {
    let high = ln_likelihood.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = ln_likelihood.iter().copied().fold(f64::INFINITY, f64::min);
    if high - low < FAVOURS_LEAST_RATIO.ln() {
        return None;
    }
    let share = normalised_from_ln(ln_likelihood);
    let mut best: Option<(usize, usize)> = None;
    let (mut start, mut sum) = (0, 0.0);
    for end in 0..share.len() {
        sum += share[end];
        while sum - share[start] >= 0.5 - 1e-12 {
            sum -= share[start];
            start += 1;
        }
        if sum >= 0.5 - 1e-12 && best.is_none_or(|(a, b)| end - start < b - a) {
            best = Some((start, end));
        }
    }
    best.map(|(a, b)| (axis.year_at(a), axis.year_at(b)))
}
