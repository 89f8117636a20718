//! Exponents of the groups of clues, from out-of-fold evidence.

use crate::fit::fold_evidence::ClubEvidence;
use agewright_model::numbers::ln_sums::scaled_from_ln;
use agewright_model::numbers::shared_lag::SharedLag;

/// Exponents lie between 0 and this.
const MOST_WEIGHT: f64 = 1.2;
/// Pull of the exponents to each other, and of their mean to 0.8, in nats.
const TOGETHER: f64 = 5.0;
const TO_CENTRE: f64 = 20.0;
pub(crate) const CENTRE: f64 = 0.8;

const MOST_STEPS: usize = 80;
/// A projected gradient below this has arrived, in nats.
const ARRIVED: f64 = 1e-3;

/// Exponents, and the value that they make least.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Exponents {
    pub weights: Vec<f64>,
    /// Negative sum of log scores and what the exponents are pulled by.
    pub objective: f64,
}

/// Exponents in [0, 1.2] that minimise the negative sum of log scores plus 5 sum (w - mean w)^2 + 20 (mean w - 0.8)^2,
/// found from `start`; the clubs' clues lead or lag together by `lag`.
///
/// Spectral projected gradient (E. G. Birgin, J. M. Martinez and M. Raydan, Nonmonotone spectral projected gradient
/// methods on convex sets, 2000; here monotone): steps by the Barzilai-Borwein length, halved until the value falls.
pub(crate) fn fit_weights(clubs: &[ClubEvidence], start: &[f64], lag: &SharedLag) -> Exponents {
    let n_groups = start.len();
    let mut weights = start.to_vec();
    let (mut value, mut gradient, _) = objective(clubs, &weights, lag);
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
            let (next_value, next_gradient, _) = objective(clubs, &next, lag);
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
    Exponents { weights, objective: value }
}

/// Worth times ln P(date) of each club under some exponents.
pub(crate) fn scores(clubs: &[ClubEvidence], weights: &[f64], lag: &SharedLag) -> Vec<f64> {
    let one = |club: &ClubEvidence| objective(std::slice::from_ref(club), weights, lag).2;
    clubs.iter().map(one).collect()
}

/// Value, gradient and plain sum of log scores.
#[expect(clippy::cast_precision_loss, reason = "groups are few")]
fn objective(clubs: &[ClubEvidence], weights: &[f64], lag: &SharedLag) -> (f64, Vec<f64>, f64) {
    let n = weights.len().max(1) as f64;
    let mean = weights.iter().sum::<f64>() / n;
    let mut gradient: Vec<f64> =
        weights.iter().map(|w| 2.0 * TOGETHER * (w - mean) + 2.0 * TO_CENTRE * (mean - CENTRE) / n).collect();
    let penalty: f64 =
        weights.iter().map(|w| TOGETHER * (w - mean).powi(2)).sum::<f64>() + TO_CENTRE * (mean - CENTRE).powi(2);
    let mut score = 0.0;
    for club in clubs {
        let mut fashion = vec![0.0; club.ln_prior.len()];
        for (weight, group) in weights.iter().zip(&club.groups) {
            let Some(group) = group else { continue };
            fashion.iter_mut().zip(group).for_each(|(sum, value)| *sum += weight * value);
        }
        let Scored { ln_score, pull } = scored(club, &fashion, lag);
        score += club.worth * ln_score;
        for (slope, group) in gradient.iter_mut().zip(&club.groups) {
            let Some(group) = group else { continue };
            *slope -= club.worth * pull.iter().zip(group).map(|(pull, l)| pull * l).sum::<f64>();
        }
    }
    (penalty - score, gradient, score)
}

/// The score of one club, and what a change of the ln likelihood at each point would add to it.
struct Scored {
    ln_score: f64,
    pull: Vec<f64>,
}

/// ln P(date) of one club from its tempered ln likelihood by the year of fashion. A change there counts by the chance
/// of that year of fashion given the date, less its chance given nothing of it.
fn scored(club: &ClubEvidence, ln_fashion: &[f64], lag: &SharedLag) -> Scored {
    let has_lag = lag.has_lag();
    let ln_making = if has_lag { lag.blurred_ln(ln_fashion) } else { ln_fashion.to_vec() };
    let ln: Vec<f64> = ln_making.iter().zip(&club.ln_prior).map(|(l, p)| l + p).collect();
    let (first, last) = club.truth;
    // The date's own years are summed on a scale of their own: far in the tail they still have a slope.
    let (ln_own, own) = plain_from_ln(&ln[first..=last]);
    let (ln_total, mut by_making) = plain_from_ln(&ln);
    by_making.iter_mut().for_each(|p| *p = -*p);
    by_making[first..=last].iter_mut().zip(own).for_each(|(sum, p)| *sum += p);
    if !has_lag {
        return Scored { ln_score: ln_own - ln_total, pull: by_making };
    }
    let top = ln_fashion.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = f64::MIN_POSITIVE.sqrt();
    let weights = by_making.iter().zip(&ln_making).map(|(p, l)| p / (l - top).exp().max(least));
    let pull = lag.by_fashion(&weights.collect::<Vec<f64>>(), &scaled_from_ln(ln_fashion));
    Scored { ln_score: ln_own - ln_total, pull }
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

    /// The slope against differences of the value itself, with and without a lag.
    #[test]
    fn the_gradient_is_the_slope_of_the_objective() {
        let at = [0.9, 0.4, 0.7];
        for lag in [SharedLag::normal(6, 0.0, 1), SharedLag::normal(6, 1.3, 1)] {
            let value = |weights: &[f64]| objective(&clubs(), weights, &lag);
            let (_, gradient, _) = value(&at);
            for k in 0..3 {
                let moved = |by: f64| {
                    let mut weights = at;
                    weights[k] += by;
                    value(&weights).0
                };
                let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                assert!((slope - gradient[k]).abs() < 1e-5 * slope.abs().max(1.0), "{k}: {slope} and {}", gradient[k]);
            }
        }
    }

    /// No neighbouring set of exponents is better; what misleads counts for less than what leads.
    #[test]
    fn exponents_are_the_least_of_the_objective() {
        for lag in [SharedLag::normal(6, 0.0, 1), SharedLag::normal(6, 1.3, 1)] {
            let Exponents { weights, objective: least } = fit_weights(&clubs(), &[CENTRE; 3], &lag);
            let by_club: f64 = scores(&clubs(), &weights, &lag).iter().sum();
            let (value, _, score) = objective(&clubs(), &weights, &lag);
            assert!((by_club - score).abs() < 1e-12 && (value - least).abs() < 1e-12);
            assert!(weights[0] > weights[1] + 0.1, "{weights:?}");
            for k in 0..3 {
                for by in [-0.05, 0.05] {
                    let mut near = weights.clone();
                    near[k] = (near[k] + by).clamp(0.0, MOST_WEIGHT);
                    assert!(objective(&clubs(), &near, &lag).0 >= value - 1e-6);
                }
            }
        }
        assert_eq!(
            fit_weights(&[], &[CENTRE; 2], &SharedLag::normal(6, 0.0, 1)).weights,
            [CENTRE; 2],
            "without a club the exponents stay at their centre"
        );
    }
}
