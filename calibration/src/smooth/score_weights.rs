//! Weights of candidate fits by their leave-one-out scores.

use agewright_model::numbers::ln_sums::normalised_from_ln;

/// Weights proportional to exp(score), summing to 1; a score that is not a number counts for nothing.
pub(crate) fn score_weights(scores: &[f64]) -> Vec<f64> {
    let clean: Vec<f64> = scores.iter().map(|s| if s.is_nan() { f64::NEG_INFINITY } else { *s }).collect();
    normalised_from_ln(&clean)
}
