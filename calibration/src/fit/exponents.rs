//! The exponents of all groups of clues, and the lead or lag that the clues of a club share.

use crate::fit::date_narrowing::fit_narrowed;
use crate::fit::fold_evidence::{ClubEvidence, FoldShelves, Group, Groups, groups_of, out_of_fold, stride};
use crate::fit::gain::{Gain, Narrowing};
use crate::fit::weight_fit::{Exponents, Pull, fit_weights, scores};
use crate::shelf::shelf_fit::shelf_of;
use crate::smooth::kernels::Kernels;
use crate::smooth::score_weights::score_weights;
use crate::tables::all_tables::{TableFitError, Tables};
use crate::tables::fit_data::FitData;
use agewright_model::Part;
use agewright_model::numbers::shared_lag::SharedLag;

/// Folds that the weights are fitted on.
const WEIGHT_FOLDS: usize = 10;
/// Exponent of every clue where rules alone speak. Chosen together with [`RULES_LAG`]: the pair of the highest mean log
/// score on clubs drawn from the starter rules with lags and a budget grade that the rules do not know
/// (`tests/rules_honest.rs`).
pub(crate) const RULES_WEIGHT: f64 = 0.9;
/// Standard deviation in years of the shared lag where rules alone speak.
pub(crate) const RULES_LAG: f64 = 10.0;
/// Standard deviations of the shared lag that are tried, in steps of the axis.
const LAGS: [f64; 6] = [0.0, 0.4, 0.6, 0.8, 1.2, 1.6];
/// Pull of the shared lag to what is expected, in nats for each step of the axis.
const LAG_PULL: f64 = 0.5;
/// A shorter one, in steps, is none.
const LEAST_LAG: f64 = 0.2;
/// Rounds of narrowing that are tried.
pub(crate) const NARROWING_ROUNDS: usize = 2;

/// Tables with their exponents, whether dates were narrowed for them, and the lag that clues share.
pub(crate) struct Weighed {
    pub tables: Tables,
    pub narrowing: Narrowing,
    /// Standard deviation in years.
    pub shared_lag: f64,
}

/// Exponents fitted on out-of-fold evidence, with narrowed dates where these raise the score.
pub(crate) fn weighed(
    data: &FitData<'_>,
    kernels: &Kernels,
    plain: Tables,
    prior: &str,
) -> Result<Weighed, TableFitError> {
    let calibration = plain.calibration(data)?;
    let shelf = shelf_of(data, &vec![true; data.n_clubs()], &plain);
    let groups = |part: Part| (part, groups_of(data.catalogue, &plain.set, shelf.as_ref(), part));
    let parts: Vec<(Part, Groups)> = calibration.parts_dated().into_iter().map(groups).collect();
    let mut weights = weights_of(data, kernels, &parts, prior, 0, None)?;
    let mut tables = plain;
    let mut narrowing = Narrowing::NoIntervals;
    if data.method.weights.is_none() && data.dates.iter().any(|date| date.share.len() > 1) {
        let narrowed = weights_of(data, kernels, &parts, prior, NARROWING_ROUNDS, Some(&weights.shelves))?;
        let gain = Gain::of(&weights.scores, &narrowed.scores, &data.sets);
        narrowing = if gain.is_clear() { Narrowing::Kept(gain) } else { Narrowing::NotKept(gain) };
        if gain.is_clear() {
            tables = fit_narrowed(data, kernels, &vec![true; data.n_clubs()], NARROWING_ROUNDS)?;
            weights = narrowed;
        }
    }
    tables.shelf = shelf;
    set_weights(&mut tables, &parts, &weights.by_part);
    Ok(Weighed { tables, narrowing, shared_lag: weights.shared_lag })
}

/// Exponents of each part's groups, the shared lag, and the score of each club by the first part.
struct Weights {
    by_part: Vec<Vec<f64>>,
    shared_lag: f64,
    scores: Vec<f64>,
    shelves: FoldShelves,
}

fn weights_of(
    data: &FitData<'_>,
    kernels: &Kernels,
    parts: &[(Part, Groups)],
    prior: &str,
    rounds: usize,
    shelves: Option<&FoldShelves>,
) -> Result<Weights, TableFitError> {
    // A lag longer than the axis would say nothing.
    let axis = data.catalogue.axis();
    let rules_lag = RULES_LAG.min(f64::from(axis.to() - axis.from()));
    let of_rules = (data.n_clubs() == 0).then_some((RULES_WEIGHT, rules_lag));
    if let Some((weight, lag)) = data.method.weights.map(|weight| (weight, 0.0)).or(of_rules) {
        let by_part = parts.iter().map(|(_, groups)| vec![weight; groups.len()]).collect();
        return Ok(Weights {
            by_part,
            shared_lag: data.method.lag.unwrap_or(lag),
            scores: Vec::new(),
            shelves: Vec::new(),
        });
    }
    let (evidence, shelves) = out_of_fold(data, kernels, parts, prior, WEIGHT_FOLDS, rounds, shelves)?;
    let Some((clubs, (_, groups))) = evidence.first().zip(parts.first()) else {
        return Ok(Weights { by_part: Vec::new(), shared_lag: 0.0, scores: Vec::new(), shelves });
    };
    let lag_of = |sd: f64| lag_at_points(data, clubs, sd);
    let step = f64::from(data.catalogue.axis().step());
    let pull = pull_of(clubs, groups);
    let start = pull.start(groups.len());
    let fitted = |sd: f64, start: &[f64]| fit_weights(clubs, &pull, start, &lag_of(sd));
    let best = match data.method.lag {
        Some(shared_lag) => WithLag { shared_lag, exponents: fitted(shared_lag, &start) },
        None => fitted_lag(step, data.rules.map_or(0.0, |_| rules_lag), start, fitted),
    };
    let lag = lag_of(best.shared_lag);
    let scores = scores(clubs, &best.exponents.weights, &lag);
    let of_rest = |((_, groups), clubs): (&(Part, Groups), &Vec<ClubEvidence>)| {
        let pull = pull_of(clubs, groups);
        fit_weights(clubs, &pull, &pull.start(groups.len()), &lag).weights
    };
    let rest = parts.iter().zip(&evidence).skip(1).map(of_rest);
    let by_part = std::iter::once(best.exponents.weights).chain(rest).collect();
    Ok(Weights { by_part, shared_lag: best.shared_lag, scores, shelves })
}

fn pull_of(clubs: &[ClubEvidence], groups: &Groups) -> Pull {
    Pull::of(clubs, groups.len(), groups.iter().position(|group| *group == Group::Shelf))
}

/// A lag and the exponents that are best under it.
struct WithLag {
    shared_lag: f64,
    exponents: Exponents,
}

/// The mean of the lags that are tried, weighted by exp(score) as bandwidths are, and by exp(-d/2) for one d steps of
/// the axis away from what is expected, none or that of the rules: few clubs hardly tell one lag from another, and the
/// best of all by chance would be too long where there is none.
fn fitted_lag(step: f64, expected: f64, mut start: Vec<f64>, fitted: impl Fn(f64, &[f64]) -> Exponents) -> WithLag {
    let mut scores = Vec::new();
    let mut without = None;
    for steps in LAGS {
        let exponents = fitted(steps * step, &start);
        scores.push(-exponents.objective - LAG_PULL * (steps - expected / step).abs());
        start.clone_from(&exponents.weights);
        without.get_or_insert(exponents);
    }
    let mean: f64 = LAGS.iter().zip(score_weights(&scores)).map(|(steps, weight)| steps * weight).sum();
    let steps = (mean * 10.0).round() / 10.0;
    match without {
        Some(exponents) if steps < LEAST_LAG => WithLag { shared_lag: 0.0, exponents },
        _ => WithLag { shared_lag: steps * step, exponents: fitted(steps * step, &start) },
    }
}

/// A lag over the points that exponents are weighed at.
#[expect(clippy::cast_precision_loss, reason = "years are few")]
fn lag_at_points(data: &FitData<'_>, clubs: &[ClubEvidence], sd: f64) -> SharedLag {
    let n_points = clubs.first().map_or(0, |club| club.ln_prior.len());
    let stride = stride(data.catalogue.axis().n_years());
    let row_step = usize::try_from(data.catalogue.axis().step()).unwrap_or(1) / stride;
    SharedLag::normal(n_points, sd / stride as f64, i32::try_from(row_step).unwrap_or(1))
}

fn set_weights(tables: &mut Tables, parts: &[(Part, Groups)], by_part: &[Vec<f64>]) {
    for ((part, groups), weights) in parts.iter().zip(by_part) {
        for (group, &weight) in groups.iter().zip(weights) {
            match group {
                Group::Clue(id) => {
                    if let Some((_, own)) = tables.set.own_weights_mut().find(|(clue, _)| clue == id) {
                        *own = weight;
                    }
                }
                Group::Measures => {
                    if let Some(block) = tables.set.blocks.iter_mut().find(|block| block.part == *part) {
                        block.weight = weight;
                    }
                }
                Group::Shelf => {
                    let shelves = tables.shelf.iter_mut().flat_map(|shelf| &mut shelf.parts);
                    shelves.filter(|shelf| shelf.part == *part).for_each(|shelf| shelf.weight = weight);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exponents that only say how good a lag is.
    fn by_score(score: impl Fn(f64) -> f64) -> WithLag {
        fitted_lag(10.0, 0.0, vec![0.8], |sd, _| Exponents { weights: vec![sd], objective: -score(sd) })
    }

    /// Where all lags are as good, sum s exp(-s/2)/sum exp(-s/2) over 0, 0.4, 0.6, 0.8, 1.2 and 1.6 steps: 0.635,
    /// rounded to a tenth of a step; the exponents kept are those under it.
    #[test]
    fn lags_are_averaged_by_their_scores() {
        let even = by_score(|_| -100.0);
        assert!((even.shared_lag - 6.0).abs() < 1e-9, "{}", even.shared_lag);
        assert!((even.exponents.weights[0] - even.shared_lag).abs() < 1e-12);
        let clear = by_score(|sd| if (sd - 12.0).abs() < 1e-9 { 50.0 } else { 0.0 });
        assert!((clear.shared_lag - 12.0).abs() < 1e-9, "{}", clear.shared_lag);
        let none = by_score(|sd| if sd > 0.0 { -20.0 } else { 0.0 });
        assert!(none.shared_lag.abs() < 1e-12 && none.exponents.weights[0].abs() < 1e-12);
        // Beside rules, which allow for ten years, a club or two leave about as much.
        let beside_rules = fitted_lag(10.0, 10.0, vec![0.8], |_, _| Exponents { weights: vec![0.0], objective: 0.0 });
        assert!((beside_rules.shared_lag - 8.0).abs() < 1e-9, "{}", beside_rules.shared_lag);
        // Three nats for each step: a mean of a tenth of a step or so is none.
        let hardly = by_score(|sd| -sd / 2.0);
        assert!(hardly.shared_lag.abs() < 1e-12, "{}", hardly.shared_lag);
    }
}
