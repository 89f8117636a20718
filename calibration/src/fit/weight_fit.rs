//! Exponents of the groups of clues, from out-of-fold evidence.

use crate::fit::fold_evidence::ClubEvidence;
use crate::smooth::bounded_search::{Patience, least_in_box};
use agewright_model::numbers::ln_sums::scaled_from_ln;
use agewright_model::numbers::shared_lag::SharedLag;
use rayon::prelude::*;

/// Exponents lie between 0 and this.
const MOST_WEIGHT: f64 = 1.2;
/// Pull of the exponents of tables to each other, in nats.
const TOGETHER: f64 = 5.0;
/// Without a shelf their mean is drawn to this.
pub(crate) const CENTRE: f64 = 0.8;

/// Exponents are found to about a millionth.
const PATIENCE: Patience = Patience { steps: 200, slope: 1e-5, gain: 1e-13 };

/// What exponents are drawn to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pull {
    /// Groups of tables with evidence on some club: places among all groups.
    active: Vec<usize>,
    /// What their mean is drawn to, and how strongly, in nats.
    centre: f64,
    to_centre: f64,
    /// The shelf's place, what its exponent is drawn to, and how strongly.
    shelf: Option<(usize, f64, f64)>,
}

impl Pull {
    /// Of the groups of some clubs, without a shelf: 5 sum (w - mean w)^2 + 20 (mean w - 0.8)^2. With one, of n clubs:
    /// 5 sum (w - mean w)^2 + 5 (mean w - m)^2 + 3 (b - b0)^2, m = 0.8 - 0.4 n/(n + 30), b0 = 0.6 n/(n + 30): two
    /// witnesses of the same clues count for less each. Only groups with evidence count in the mean.
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    pub fn of(clubs: &[ClubEvidence], n_groups: usize, shelf: Option<usize>) -> Self {
        let speaks = |group: usize| clubs.iter().any(|club| club.groups[group].is_some());
        let is_active = |group: &usize| Some(*group) != shelf && (clubs.is_empty() || speaks(*group));
        let active = (0..n_groups).filter(is_active).collect();
        let Some(shelf) = shelf else { return Self { active, centre: CENTRE, to_centre: 20.0, shelf: None } };
        let n = clubs.iter().filter(|club| club.groups[shelf].is_some()).count() as f64;
        let share = n / (n + 30.0);
        Self { active, centre: CENTRE - 0.4 * share, to_centre: 5.0, shelf: Some((shelf, 0.6 * share, 3.0)) }
    }

    /// Where a search starts: everything where it is drawn to.
    pub fn start(&self, n_groups: usize) -> Vec<f64> {
        let mut start = vec![self.centre; n_groups];
        if let Some((shelf, own, _)) = self.shelf {
            start[shelf] = own;
        }
        start
    }

    /// What the exponents are pulled by, and its slopes.
    #[expect(clippy::cast_precision_loss, reason = "groups are few")]
    fn penalty(&self, weights: &[f64]) -> (f64, Vec<f64>) {
        let n = self.active.len().max(1) as f64;
        let mean = self.active.iter().map(|&group| weights[group]).sum::<f64>() / n;
        let off = if self.active.is_empty() { 0.0 } else { mean - self.centre };
        let mut slopes = vec![0.0; weights.len()];
        let mut penalty = self.to_centre * off * off;
        for &group in &self.active {
            penalty += TOGETHER * (weights[group] - mean).powi(2);
            slopes[group] = 2.0 * TOGETHER * (weights[group] - mean) + 2.0 * self.to_centre * off / n;
        }
        if let Some((shelf, own, strength)) = self.shelf {
            penalty += strength * (weights[shelf] - own).powi(2);
            slopes[shelf] = 2.0 * strength * (weights[shelf] - own);
        }
        (penalty, slopes)
    }
}

/// Exponents, and the value that they make least.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Exponents {
    pub weights: Vec<f64>,
    /// Negative sum of log scores and what the exponents are pulled by.
    pub objective: f64,
}

/// Exponents in [0, 1.2] that minimise the negative sum of log scores plus what they are pulled by, found from `start`;
/// the clubs' clues lead or lag together by `lag`.
pub(crate) fn fit_weights(clubs: &[ClubEvidence], pull: &Pull, start: &[f64], lag: &SharedLag) -> Exponents {
    let bounds = vec![[0.0, MOST_WEIGHT]; start.len()];
    let value = |weights: &[f64]| {
        let (value, slopes, _) = objective(clubs, pull, weights, lag);
        (value, slopes)
    };
    let found = least_in_box(start, &bounds, PATIENCE, value);
    Exponents { weights: found.at, objective: found.value }
}

/// Worth times ln P(date) of each club under some exponents.
pub(crate) fn scores(clubs: &[ClubEvidence], weights: &[f64], lag: &SharedLag) -> Vec<f64> {
    clubs.iter().map(|club| club.worth * scored(club, &fashion_of(club, weights), lag).ln_score).collect()
}

/// Tempered ln likelihood of a club's groups by the year of fashion.
fn fashion_of(club: &ClubEvidence, weights: &[f64]) -> Vec<f64> {
    let mut fashion = vec![0.0; club.ln_prior.len()];
    for (weight, group) in weights.iter().zip(&club.groups) {
        let Some(group) = group else { continue };
        fashion.iter_mut().zip(group).for_each(|(sum, value)| *sum += weight * value);
    }
    fashion
}

/// Value, gradient and plain sum of log scores.
fn objective(clubs: &[ClubEvidence], pull: &Pull, weights: &[f64], lag: &SharedLag) -> (f64, Vec<f64>, f64) {
    let (penalty, mut gradient) = pull.penalty(weights);
    let mut score = 0.0;
    // Summed in the order of the clubs, whichever is done first.
    let by_club: Vec<Scored> = clubs.par_iter().map(|club| scored(club, &fashion_of(club, weights), lag)).collect();
    for (club, Scored { ln_score, pull }) in clubs.iter().zip(by_club) {
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

    fn pull() -> Pull {
        Pull { active: vec![0, 1], centre: 0.7, to_centre: 5.0, shelf: Some((2, 0.5, 3.0)) }
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
            let value = |weights: &[f64]| objective(&clubs(), &pull(), weights, &lag);
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

    /// The reference implementation in NumPy with scipy 1.17.1 (tests/reference/shelf_exponents.json and the scripts
    /// beside it): sixty clubs, four groups of tables and a shelf, true years and evidence by formula.
    #[test]
    fn exponents_beside_a_shelf_are_those_of_the_reference() {
        let cases: Vec<serde_json::Value> =
            serde_json::from_str(include_str!("../../../tests/reference/shelf_exponents.json")).unwrap();
        assert_eq!(cases.len(), 3);
        for want in cases {
            let number = |value: &serde_json::Value| value.as_f64().unwrap();
            let stretch = number(&want["stretch"]);
            let bump = |at: f64, sd: f64| (0..24).map(|y| -0.5 * ((f64::from(y) - at) / sd).powi(2)).collect();
            let ln_prior: Vec<f64> = (0..24).map(|y| (f64::from(1 + y) / 300.0).ln()).collect();
            let club = |i: i32| {
                let year = f64::from((i * 7) % 24);
                let off = |c: i32| f64::from((i * (3 + 2 * c) + c * c) % 7 - 3) * 0.9 * stretch;
                let group = |(c, sd): (i32, f64)| {
                    let is_silent = !want["active"][c as usize].as_bool().unwrap() || (c == 2 && i % 5 == 0);
                    (!is_silent).then(|| bump(year + off(c), sd))
                };
                let mut groups: Vec<Option<Vec<f64>>> = (0..).zip([3.0, 4.0, 6.0, 12.0]).map(group).collect();
                groups.push(Some(bump(year + f64::from((i * 11) % 5 - 2) * 1.1 * stretch, 3.5)));
                let k = (i as usize * 7) % 24;
                ClubEvidence { worth: 1.0, truth: (k, k), ln_prior: ln_prior.clone(), groups }
            };
            let clubs: Vec<ClubEvidence> = (0..60).map(club).collect();
            let pull = Pull::of(&clubs, 5, Some(4));
            assert!((pull.centre - number(&want["m0"])).abs() < 1e-12);
            let got = fit_weights(&clubs, &pull, &pull.start(5), &SharedLag::normal(24, 0.0, 1));
            assert!((got.objective - number(&want["objective"])).abs() < 1e-8, "{got:?}, not {want}");
            for (k, got) in got.weights.iter().enumerate() {
                let want = number(&want["weights"][k]);
                assert!((got - want).abs() < 1e-5, "exponent {k}: {got}, reference {want}");
            }
        }
    }

    /// No neighbouring set of exponents is better; what misleads counts for less than what leads.
    #[test]
    fn exponents_are_the_least_of_the_objective() {
        for lag in [SharedLag::normal(6, 0.0, 1), SharedLag::normal(6, 1.3, 1)] {
            let Exponents { weights, objective: least } = fit_weights(&clubs(), &pull(), &[CENTRE; 3], &lag);
            let by_club: f64 = scores(&clubs(), &weights, &lag).iter().sum();
            let (value, _, score) = objective(&clubs(), &pull(), &weights, &lag);
            assert!((by_club - score).abs() < 1e-12 && (value - least).abs() < 1e-12);
            assert!(weights[0] > weights[1] + 0.1, "{weights:?}");
            for k in 0..3 {
                for by in [-0.05, 0.05] {
                    let mut near = weights.clone();
                    near[k] = (near[k] + by).clamp(0.0, MOST_WEIGHT);
                    assert!(objective(&clubs(), &pull(), &near, &lag).0 >= value - 1e-6);
                }
            }
        }
        assert_eq!(
            fit_weights(&[], &Pull::of(&[], 2, None), &[CENTRE; 2], &SharedLag::normal(6, 0.0, 1)).weights,
            [CENTRE; 2],
            "without a club the exponents stay at their centre"
        );
    }
}
