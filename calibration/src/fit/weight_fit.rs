//! Exponents of the groups of clues, from out-of-fold evidence.

use crate::fit::fold_evidence::ClubEvidence;

/// Exponents lie between 0 and this.
const MOST_WEIGHT: f64 = 1.2;
/// Pull of the exponents to each other, and of their mean to 0.8, in nats.
const TOGETHER: f64 = 5.0;
const TO_CENTRE: f64 = 20.0;
const CENTRE: f64 = 0.8;

const MOST_STEPS: usize = 80;
/// A projected gradient below this has arrived, in nats.
const ARRIVED: f64 = 1e-3;

/// Exponents in [0, 1.2] that minimise the negative sum of log scores plus 5 sum (w - mean w)^2 + 20 (mean w - 0.8)^2,
/// which start at 0.8.
///
/// Spectral projected gradient (E. G. Birgin, J. M. Martinez and M. Raydan, Nonmonotone spectral projected gradient
/// methods on convex sets, 2000; here monotone): steps by the Barzilai-Borwein length, halved until the value falls.
pub(crate) fn fit_weights(clubs: &[ClubEvidence], n_groups: usize) -> Vec<f64> {
    let mut weights = vec![CENTRE; n_groups];
    let (mut value, mut gradient, _) = objective(clubs, &weights);
    let mut length = 0.02;
    for _ in 0..MOST_STEPS {
        let projected = |length: f64| -> Vec<f64> {
            weights.iter().zip(&gradient).map(|(w, g)| (w - length * g).clamp(0.0, MOST_WEIGHT)).collect()
        };
        let reach = weights.iter().zip(projected(1.0)).map(|(w, p)| (w - p).abs()).fold(0.0, f64::max);
        if reach < ARRIVED {
            break;
        }
        let mut step = length;
        let mut moved = None;
        for _ in 0..30 {
            let next = projected(step);
            let (next_value, next_gradient, _) = objective(clubs, &next);
            if next_value < value {
                moved = Some((next, next_value, next_gradient));
                break;
            }
            step *= 0.4;
        }
        let Some((next, next_value, next_gradient)) = moved else { break };
        let change: Vec<(f64, f64)> =
            (0..n_groups).map(|k| (next[k] - weights[k], next_gradient[k] - gradient[k])).collect();
        let square: f64 = change.iter().map(|(s, _)| s * s).sum();
        let curvature: f64 = change.iter().map(|(s, y)| s * y).sum();
        length = if curvature > 1e-12 { (square / curvature).clamp(1e-5, 1.0) } else { 0.1 };
        (weights, value, gradient) = (next, next_value, next_gradient);
    }
    weights
}

/// Worth times ln P(date) of each club under some exponents.
pub(crate) fn scores(clubs: &[ClubEvidence], weights: &[f64]) -> Vec<f64> {
    let one = |club: &ClubEvidence| objective(std::slice::from_ref(club), weights).2;
    clubs.iter().map(one).collect()
}

/// Value, gradient and plain sum of log scores.
#[expect(clippy::cast_precision_loss, reason = "groups are few")]
fn objective(clubs: &[ClubEvidence], weights: &[f64]) -> (f64, Vec<f64>, f64) {
    let n = weights.len().max(1) as f64;
    let mean = weights.iter().sum::<f64>() / n;
    let mut gradient: Vec<f64> =
        weights.iter().map(|w| 2.0 * TOGETHER * (w - mean) + 2.0 * TO_CENTRE * (mean - CENTRE) / n).collect();
    let penalty: f64 =
        weights.iter().map(|w| TOGETHER * (w - mean).powi(2)).sum::<f64>() + TO_CENTRE * (mean - CENTRE).powi(2);
    let mut score = 0.0;
    let mut ln = Vec::new();
    for club in clubs {
        ln.clone_from(&club.ln_prior);
        for (weight, group) in weights.iter().zip(&club.groups) {
            if let Some(group) = group {
                for (sum, value) in ln.iter_mut().zip(group) {
                    *sum += weight * value;
                }
            }
        }
        score += club.worth * score_and_gradient(club, &mut ln, &mut gradient);
    }
    (penalty - score, gradient, score)
}

/// ln P(date) of one club; adds its part of the gradient of the negative score. `ln` becomes plain probabilities.
fn score_and_gradient(club: &ClubEvidence, ln: &mut [f64], gradient: &mut [f64]) -> f64 {
    let (first, last) = club.truth;
    // The date's own years are summed on a scale of their own: far in the tail they still have a slope.
    let (ln_own, own) = plain_from_ln(&ln[first..=last]);
    let (ln_total, all_years) = plain_from_ln(ln);
    ln.copy_from_slice(&all_years);
    for (slope, group) in gradient.iter_mut().zip(&club.groups) {
        let Some(group) = group else { continue };
        let all = ln.iter().zip(group).map(|(p, l)| p * l).sum::<f64>();
        let inside = own.iter().zip(&group[first..=last]).map(|(p, l)| p * l).sum::<f64>();
        *slope -= club.worth * (inside - all);
    }
    ln_own - ln_total
}

/// ln of the sum, and the shares of each, of exp(values).
fn plain_from_ln(values: &[f64]) -> (f64, Vec<f64>) {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut plain: Vec<f64> = values.iter().map(|value| (value - top).exp()).collect();
    let total: f64 = plain.iter().sum();
    plain.iter_mut().for_each(|share| *share /= total);
    (top + total.ln(), plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn club(truth: usize, groups: Vec<Option<Vec<f64>>>) -> ClubEvidence {
        ClubEvidence { worth: 0.7, truth: (truth, truth + 1), ln_prior: vec![0.0, 0.3, -0.2, 0.1, -1.0, 0.0], groups }
    }

    fn clubs() -> Vec<ClubEvidence> {
        let towards = |at: usize, by: f64| Some((0..6_usize).map(|k| -by * k.abs_diff(at) as f64).collect());
        let one = |n: usize| club(n % 5, vec![towards(n % 5, 1.0), towards((n * 7) % 6, 1.5), None]);
        (0..12).map(one).collect()
    }

    /// The slope against differences of the value itself.
    #[test]
    fn the_gradient_is_the_slope_of_the_objective() {
        let at = [0.9, 0.4, 0.7];
        let (_, gradient, _) = objective(&clubs(), &at);
        for k in 0..3 {
            let moved = |by: f64| {
                let mut weights = at;
                weights[k] += by;
                objective(&clubs(), &weights).0
            };
            let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
            assert!((slope - gradient[k]).abs() < 1e-5 * slope.abs().max(1.0), "{k}: {slope} and {}", gradient[k]);
        }
    }

    /// No neighbouring set of exponents is better; what misleads counts for less than what leads.
    #[test]
    fn exponents_are_the_least_of_the_objective() {
        let weights = fit_weights(&clubs(), 3);
        let by_club: f64 = scores(&clubs(), &weights).iter().sum();
        assert!((by_club - objective(&clubs(), &weights).2).abs() < 1e-12);
        assert!(weights[0] > weights[1] + 0.1, "{weights:?}");
        let (value, ..) = objective(&clubs(), &weights);
        for k in 0..3 {
            for by in [-0.05, 0.05] {
                let mut near = weights.clone();
                near[k] = (near[k] + by).clamp(0.0, MOST_WEIGHT);
                assert!(objective(&clubs(), &near).0 >= value - 1e-6);
            }
        }
        assert_eq!(fit_weights(&[], 2), [CENTRE; 2], "without a club the exponents stay at their centre");
    }
}
