//! Fits the table of one measured clue: a mean that drifts through time, and the spread about it.

use crate::smooth::kernels::Kernels;
use crate::smooth::line::{Line, LineSums};
use crate::smooth::moments::{Moments, weighted_moments};
use crate::smooth::score_weights::score_weights;
use crate::smooth::theil_sen::{median, theil_sen};
use crate::tables::fit_data::FitData;
use crate::tables::method::FitMethod;
use crate::tables::omissions::LEAST_READINGS;
use crate::tables::rules::MeasuredRuleRows;
use agewright_model::{Reading, Seen};
use std::collections::BTreeMap;

/// A reading this many robust standard deviations off the Theil-Sen line is set aside.
const SET_ASIDE: f64 = 5.0;
/// A clue of fewer distinct values has no use for a robust spread.
const LEAST_DISTINCT: usize = 8;
/// Normal consistency of the median absolute deviation: 1/Phi^-1(3/4).
const MAD_TO_SD: f64 = 1.482_602_218_505_602;

/// One dated club's reading of a measured clue, on the clue's scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MeasuredReading {
    pub club: usize,
    pub worth: f64,
    pub place: f64,
}

/// Readings of a measured clue, in the order of the clubs.
pub(crate) fn measured_readings(data: &FitData<'_>, clue: usize) -> Vec<MeasuredReading> {
    let scale = data.catalogue.clues()[clue].scale;
    let place = |(club, worth, reading): (usize, f64, &Reading)| match reading.seen {
        Seen::Measure { value, .. } => Some(MeasuredReading { club, worth, place: scale.place(value)? }),
        _ => None,
    };
    data.read(clue).filter_map(place).collect()
}

/// A fitted measured table.
#[derive(Debug, Clone)]
pub(crate) struct MeasuredFit {
    pub mean: Vec<f64>,
    /// Effective number of clubs at each row.
    pub clubs: Vec<f64>,
    pub overall_mean: f64,
    pub overall_sd: f64,
    /// Weighted mean bandwidth in years.
    pub bandwidth: f64,
    /// Leave-one-out residual of each reading kept, in the order given.
    pub residuals: Vec<(usize, f64)>,
    /// Variance of the mean within each of those clubs' dates, where these were narrowed: the part of the spread that a
    /// residual from a date of its own choice does not show (the variance term of expectation maximisation).
    pub within_dates: Vec<f64>,
}

/// Splits readings into those kept and those set aside as wild: (kept, set aside with robust deviations).
pub(crate) fn set_aside_wild(
    kernels: &Kernels,
    readings: &[MeasuredReading],
) -> (Vec<MeasuredReading>, Vec<(MeasuredReading, f64)>) {
    let points: Vec<(f64, f64)> = readings.iter().map(|r| (kernels.middle[r.club], r.place)).collect();
    let mut values: Vec<f64> = readings.iter().map(|r| r.place).collect();
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
    let line = theil_sen(&points).filter(|_| values.len() >= LEAST_DISTINCT);
    let Some(line) = line else {
        return (readings.to_vec(), Vec::new());
    };
    let off: Vec<f64> = points.iter().map(|(x, y)| y - line.at(*x)).collect();
    let centre = median(&off).unwrap_or(0.0);
    let robust_sd = MAD_TO_SD * median(&off.iter().map(|r| (r - centre).abs()).collect::<Vec<_>>()).unwrap_or(0.0);
    if robust_sd <= 0.0 {
        return (readings.to_vec(), Vec::new());
    }
    let mut kept = Vec::with_capacity(readings.len());
    let mut aside = Vec::new();
    for (reading, residual) in readings.iter().zip(off) {
        let deviations = (residual - centre) / robust_sd;
        if deviations.abs() > SET_ASIDE {
            aside.push((*reading, deviations));
        } else {
            kept.push(*reading);
        }
    }
    (kept, aside)
}

/// Kernel sums of one bandwidth at every row: sum k, sum k x, sum k t (t the date, x the reading).
struct RowSums {
    clubs: Vec<f64>,
    values: Vec<f64>,
    dates: Vec<f64>,
}

/// What a clue's mean leans on away from clubs: a straight line through them, or a rule's curve (places are then taken
/// off it, and the line lies at zero).
struct Base<'a> {
    kernels: &'a Kernels,
    origin: f64,
    /// Sums of the line; `None` where a rule stands in its place.
    line: Option<LineSums>,
    /// Clubs that it counts for at each row.
    worth: Vec<f64>,
}

/// Mean at row r: a straight line in year plus sum(k res)/(sum k + 8) of its residuals, averaged over bandwidths by the
/// leave-one-out normal log score. A rule's mean takes the place of the line and its worth the place of the 8.
/// `None` without a rule for under four readings or no spread.
pub(crate) fn fit_measured(
    kernels: &Kernels,
    readings: &[MeasuredReading],
    rule: Option<&MeasuredRuleRows>,
    method: &FitMethod,
) -> Option<MeasuredFit> {
    let weighted: Vec<(f64, f64)> = readings.iter().map(|r| (r.place, r.worth)).collect();
    let overall = weighted_moments(&weighted).map(|m| (m.mean, m.sd));
    // A spread that is rounding alone is no spread.
    let varies = overall.is_some_and(|(mean, sd)| sd > 1e-9 * mean.abs().max(1e-3));
    let (overall_mean, overall_sd) = match rule {
        None if readings.len() >= LEAST_READINGS && varies => overall?,
        None => return None,
        Some(rule) => pooled(weighted_moments(&weighted), rule),
    };
    let origin = kernels.axis.row_centre(0);
    let off_rule = |r: &MeasuredReading| match rule {
        Some(rule) => MeasuredReading { place: r.place - rule.mean_at(kernels.middle[r.club]), ..*r },
        None => *r,
    };
    let readings: Vec<MeasuredReading> = readings.iter().map(off_rule).collect();
    let mut sums = LineSums::default();
    for r in &readings {
        sums.add(kernels.middle[r.club] - origin, r.place, r.worth);
    }
    let base = Base {
        kernels,
        origin,
        line: rule.is_none().then_some(sums),
        worth: rule.map_or_else(|| vec![method.line_worth; kernels.axis.n_rows()], |rule| rule.worth.clone()),
    };
    Some(base.fit(&readings, rule, method, (overall_mean, overall_sd)))
}

impl Base<'_> {
    fn fit(
        &self,
        readings: &[MeasuredReading],
        rule: Option<&MeasuredRuleRows>,
        method: &FitMethod,
        (overall_mean, overall_sd): (f64, f64),
    ) -> MeasuredFit {
        let kernels = self.kernels;
        let total: f64 = readings.iter().map(|r| r.worth).sum();
        let sums: Vec<RowSums> =
            (0..kernels.n_bandwidths()).map(|h| row_sums(kernels, readings, self.origin, h)).collect();
        let by_set = by_set(kernels, readings);
        let residual = |h: usize, sums: &RowSums, r: &MeasuredReading, date: &[(usize, f64)]| {
            let mates = &by_set[&kernels.sets.set_of(r.club)];
            if method.plug_in { self.residual(sums, r, date) } else { self.left_out_residual(h, sums, mates, r, date) }
        };
        let of_bandwidth = |dates: &dyn Fn(usize) -> Vec<(usize, f64)>| -> Vec<Vec<f64>> {
            let of_readings =
                |(h, sums): (usize, &RowSums)| readings.iter().map(|r| residual(h, sums, r, &dates(r.club))).collect();
            sums.iter().enumerate().map(of_readings).collect()
        };
        let residuals = of_bandwidth(&|club| kernels.row_shares[club].clone());
        let scores: Vec<f64> = residuals.iter().map(|res| normal_log_score(readings, res, total)).collect();
        let weights = score_weights(&scores);
        let narrowed = readings.iter().any(|r| kernels.narrowed_shares[r.club].is_some());
        let at_dates =
            |club: usize| kernels.narrowed_shares[club].as_ref().unwrap_or(&kernels.row_shares[club]).clone();
        let residuals = if narrowed { of_bandwidth(&at_dates) } else { residuals };
        let averaged =
            (0..readings.len()).map(|i| weights.iter().zip(&residuals).map(|(w, res)| w * res[i]).sum::<f64>());
        let line = self.line.map(|sums| sums.line()).unwrap_or_default();
        let mut mean = rule.map_or_else(|| vec![0.0; kernels.axis.n_rows()], |rule| rule.mean.clone());
        let mut clubs = vec![0.0; kernels.axis.n_rows()];
        for row in 0..mean.len() {
            for (weight, sums) in weights.iter().zip(&sums) {
                mean[row] += weight * self.mean_at(row, line, sums.clubs[row], sums.values[row], sums.dates[row]);
                clubs[row] += weight * sums.clubs[row];
            }
        }
        let within_dates =
            readings.iter().map(|r| within_date(&mean, kernels.narrowed_shares[r.club].as_deref())).collect();
        MeasuredFit {
            within_dates,
            mean,
            clubs,
            overall_mean,
            overall_sd,
            bandwidth: weights.iter().zip(&kernels.bandwidths).map(|(w, h)| w * h).sum(),
            residuals: readings.iter().map(|r| r.club).zip(averaged).collect(),
        }
    }

    /// Line at the row's centre plus the shrunk kernel mean of the residuals, from the kernel sums.
    fn mean_at(&self, row: usize, line: Line, clubs: f64, values: f64, dates: f64) -> f64 {
        let residuals = values - line.at_zero * clubs - line.slope * dates;
        let below = clubs + self.worth[row];
        let lifted = if below > 0.0 { residuals / below } else { 0.0 };
        line.at(self.kernels.axis.row_centre(row) - self.origin) + lifted
    }

    /// Reading less its prediction from the clubs of all other sets: line and kernel sums without the parts of its own
    /// set's readings, `mates`.
    fn left_out_residual(
        &self,
        h: usize,
        sums: &RowSums,
        mates: &[MeasuredReading],
        reading: &MeasuredReading,
        at: &[(usize, f64)],
    ) -> f64 {
        let date = |mate: &MeasuredReading| self.kernels.middle[mate.club] - self.origin;
        let line = self
            .line
            .map(|sums| mates.iter().fold(sums, |sums, mate| sums.without(date(mate), mate.place, mate.worth)).line());
        self.residual_from(reading, at, line.unwrap_or_default(), |row| {
            let whole = [sums.clubs[row], sums.values[row], sums.dates[row]];
            let [clubs, values, dates] = mates.iter().fold(whole, |[clubs, values, dates], mate| {
                let k = self.kernels.at[h][mate.club][row] * mate.worth;
                [clubs - k, values - k * mate.place, dates - k * date(mate)]
            });
            [clubs.max(0.0), values, dates]
        })
    }

    /// Reading less its prediction, itself included.
    fn residual(&self, sums: &RowSums, reading: &MeasuredReading, at: &[(usize, f64)]) -> f64 {
        let line = self.line.map(|sums| sums.line()).unwrap_or_default();
        self.residual_from(reading, at, line, |row| [sums.clubs[row], sums.values[row], sums.dates[row]])
    }

    fn residual_from(
        &self,
        reading: &MeasuredReading,
        at: &[(usize, f64)],
        line: Line,
        sums: impl Fn(usize) -> [f64; 3],
    ) -> f64 {
        let predicted: f64 = at
            .iter()
            .map(|&(row, share)| {
                let [clubs, values, dates] = sums(row);
                share * self.mean_at(row, line, clubs, values, dates)
            })
            .sum();
        reading.place - predicted
    }
}

/// Readings of each set of clubs that are left out together.
fn by_set(kernels: &Kernels, readings: &[MeasuredReading]) -> BTreeMap<usize, Vec<MeasuredReading>> {
    let mut sets: BTreeMap<usize, Vec<MeasuredReading>> = BTreeMap::new();
    readings.iter().for_each(|r| sets.entry(kernels.sets.set_of(r.club)).or_default().push(*r));
    sets
}

/// Mean and spread over all years of a rule and the clubs together, each by its worth.
#[expect(clippy::cast_precision_loss, reason = "rows are few")]
fn pooled(clubs: Option<Moments>, rule: &MeasuredRuleRows) -> (f64, f64) {
    let (rule_mean, rule_sd) = rule.overall();
    let Some(clubs) = clubs else { return (rule_mean, rule_sd) };
    let worth = rule.worth.iter().sum::<f64>() / rule.worth.len() as f64;
    let total = clubs.weight + worth;
    let mean = (clubs.weight * clubs.mean + worth * rule_mean) / total;
    let square = |mean_of: f64, sd: f64| sd * sd + (mean_of - mean).powi(2);
    let variance = (clubs.weight * square(clubs.mean, clubs.sd) + worth * square(rule_mean, rule_sd)) / total;
    (mean, variance.sqrt())
}

/// Variance of the mean over the rows of a narrowed date.
fn within_date(mean: &[f64], date: Option<&[(usize, f64)]>) -> f64 {
    let date = date.unwrap_or(&[]);
    let middle: f64 = date.iter().map(|&(row, share)| share * mean[row]).sum();
    date.iter().map(|&(row, share)| share * (mean[row] - middle).powi(2)).sum()
}

fn row_sums(kernels: &Kernels, readings: &[MeasuredReading], origin: f64, h: usize) -> RowSums {
    let n_rows = kernels.axis.n_rows();
    let mut sums = RowSums { clubs: vec![0.0; n_rows], values: vec![0.0; n_rows], dates: vec![0.0; n_rows] };
    for r in readings {
        for (row, kernel) in kernels.at[h][r.club].iter().enumerate() {
            let k = kernel * r.worth;
            sums.clubs[row] += k;
            sums.values[row] += k * r.place;
            sums.dates[row] += k * (kernels.middle[r.club] - origin);
        }
    }
    sums
}

/// Normal log score with the spread that the residuals themselves have.
fn normal_log_score(readings: &[MeasuredReading], residuals: &[f64], total: f64) -> f64 {
    if total <= 0.0 {
        return 0.0;
    }
    let variance = readings.iter().zip(residuals).map(|(r, res)| r.worth * res * res).sum::<f64>() / total;
    -0.5 * total * ((2.0 * std::f64::consts::PI * variance.max(f64::MIN_POSITIVE)).ln() + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::date_spread::DateSpread;
    use crate::dated::sets::{Sets, sets_of};
    use agewright_model::Axis;

    fn kernels() -> Kernels {
        let axis = Axis::new(1800, 1860, 10).unwrap();
        let at = |first_ix: usize| DateSpread { first_ix, share: vec![0.5; 2] };
        Kernels::new(axis, &[2, 9, 14, 23, 31, 38, 44, 55, 57].map(at), &[0.7, 2.0])
    }

    fn readings() -> Vec<MeasuredReading> {
        let places = [5.0, 4.7, 4.9, 4.2, 4.4, 3.9, 3.6, 3.7, 3.2];
        let worth = |club| if club % 4 == 1 { 0.4 } else { 1.0 };
        places
            .into_iter()
            .enumerate()
            .map(|(club, place)| MeasuredReading { club, worth: worth(club), place })
            .collect()
    }

    fn base<'a>(kernels: &'a Kernels, readings: &[MeasuredReading]) -> Base<'a> {
        let origin = kernels.axis.row_centre(0);
        let mut line = LineSums::default();
        readings.iter().for_each(|r| line.add(kernels.middle[r.club] - origin, r.place, r.worth));
        Base { kernels, origin, line: Some(line), worth: vec![8.0; kernels.axis.n_rows()] }
    }

    /// By brute force: fitted again on all readings but those of the set, for each one in turn.
    #[test]
    fn a_left_out_residual_is_that_from_a_fit_without_the_set() {
        let readings = readings();
        for sets in [Sets::single(9), sets_of(&[0, 1, 0, 2, 2, 3, 3, 3, 4])] {
            let kernels = kernels().with_sets(sets);
            let whole = base(&kernels, &readings);
            for h in 0..2 {
                let sums = row_sums(&kernels, &readings, whole.origin, h);
                for reading in &readings {
                    let in_set = |r: &&MeasuredReading| kernels.sets.mates(reading.club).contains(&r.club);
                    let rest: Vec<_> = readings.iter().filter(|r| !in_set(r)).copied().collect();
                    let mates: Vec<_> = readings.iter().filter(in_set).copied().collect();
                    let afresh = base(&kernels, &rest);
                    let at = &kernels.row_shares[reading.club];
                    let want = afresh.residual(&row_sums(&kernels, &rest, afresh.origin, h), reading, at);
                    let got = whole.left_out_residual(h, &sums, &mates, reading, at);
                    assert!((got - want).abs() < 1e-9, "{got}, not {want}");
                }
            }
        }
    }

    #[test]
    fn a_straight_drift_is_followed_to_the_ends_of_the_axis() {
        let kernels = kernels();
        let on_line = |r: &MeasuredReading| 6.0 - 0.01 * (kernels.middle[r.club] - 1800.0);
        let straight: Vec<_> = readings().iter().map(|r| MeasuredReading { place: on_line(r), ..*r }).collect();
        let fit = fit_measured(&kernels, &straight, None, &FitMethod::default()).unwrap();
        for (row, mean) in fit.mean.iter().enumerate() {
            assert!((mean - (6.0 - 0.01 * (kernels.axis.row_centre(row) - 1800.0))).abs() < 1e-9);
        }
        // Between the outer rows' centres; beyond them rows are constant.
        assert!(fit.residuals[1..7].iter().all(|(_, residual)| residual.abs() < 1e-9));
    }

    #[test]
    fn too_few_readings_and_readings_that_are_all_alike_make_no_table() {
        let method = FitMethod::default();
        assert!(fit_measured(&kernels(), &readings()[..3], None, &method).is_none());
        let alike: Vec<_> = readings().iter().map(|r| MeasuredReading { place: 4.0, ..*r }).collect();
        assert!(fit_measured(&kernels(), &alike, None, &method).is_none());
    }

    #[test]
    fn a_wild_reading_is_set_aside_and_nothing_else() {
        let mut readings = readings();
        assert!(set_aside_wild(&kernels(), &readings).1.is_empty());
        readings[4].place = 9.0;
        let (kept, aside) = set_aside_wild(&kernels(), &readings);
        assert_eq!((kept.len(), aside.len(), aside[0].0.club), (8, 1, 4));
        assert!(aside[0].1 > 5.0);
    }
}
