//! Weights of candidate fits by their leave-one-out scores.

use agewright_model::numbers::ln_sums::normalised_from_ln;

/// Weights proportional to exp(score), summing to 1; a score that is not a number counts for nothing.
pub(crate) fn score_weights(scores: &[f64]) -> Vec<f64> {
    let clean: Vec<f64> = scores.iter().map(|s| if s.is_nan() { f64::NEG_INFINITY } else { *s }).collect();
    normalised_from_ln(&clean)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nat_more_is_e_times_the_weight_and_no_number_no_weight() {
        let weights = score_weights(&[-1000.0, f64::NAN, -1001.0]);
        let e = std::f64::consts::E;
        assert!((weights[0] / weights[2] - e).abs() < 1e-9 && weights[1] == 0.0);
        assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
