//! Fits the table of one measured clue: a mean that drifts through time, and the spread about it.

use crate::kernels::{BANDWIDTHS, Kernels};
use crate::line::{Line, LineSums};
use crate::moments::weighted_moments;
use crate::score_weights::score_weights;
use crate::theil_sen::{median, theil_sen};

/// Clubs that the straight line counts for beside the residuals near a row.
const LINE_WORTH: f64 = 8.0;
/// A clue needs this many readings.
pub(crate) const LEAST_READINGS: usize = 4;
/// A reading this many robust standard deviations off the Theil-Sen line is set aside.
const SET_ASIDE: f64 = 5.0;
/// A clue of fewer distinct values has no use for a robust spread.
const LEAST_DISTINCT: usize = 8;
/// Normal consistency of the median absolute deviation: 1/Phi^-1(3/4).
const MAD_TO_SD: f64 = 1.482_602_218_505_602;
/// The spread about the mean is kept at or above this share of the overall spread.
const LEAST_SD_SHARE: f64 = 0.01;

/// One dated club's reading of a measured clue, on the clue's scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MeasuredReading {
    pub club: usize,
    pub worth: f64,
    pub place: f64,
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
}

impl MeasuredFit {
    /// Spread of residuals about the mean, not below a hundredth of the overall spread.
    pub fn sd_of(&self, residuals: &[(usize, f64)], worth: impl Fn(usize) -> f64) -> f64 {
        let total: f64 = residuals.iter().map(|(club, _)| worth(*club)).sum();
        let square: f64 = residuals.iter().map(|(club, r)| worth(*club) * r * r).sum();
        (square / total.max(f64::MIN_POSITIVE)).sqrt().max(LEAST_SD_SHARE * self.overall_sd)
    }
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

/// Mean at row r: a straight line in year plus sum(k res)/(sum k + 8) of its residuals, averaged over bandwidths by the
/// leave-one-out normal log score. `None` for under four readings or no spread.
pub(crate) fn fit_measured(kernels: &Kernels, readings: &[MeasuredReading]) -> Option<MeasuredFit> {
    let total: f64 = readings.iter().map(|r| r.worth).sum();
    if readings.len() < LEAST_READINGS || total <= 0.0 {
        return None;
    }
    let weighted: Vec<(f64, f64)> = readings.iter().map(|r| (r.place, r.worth)).collect();
    let overall = weighted_moments(&weighted)?;
    let (overall_mean, overall_sd) = (overall.mean, overall.sd);
    // A spread that is rounding alone is no spread.
    if overall_sd.is_nan() || overall_sd <= 1e-9 * overall_mean.abs().max(1e-3) {
        return None;
    }
    let origin = kernels.axis.row_centre(0);
    let date = |r: &MeasuredReading| kernels.middle[r.club] - origin;
    let mut line_sums = LineSums::default();
    for r in readings {
        line_sums.add(date(r), r.place, r.worth);
    }
    let sums: Vec<RowSums> = (0..BANDWIDTHS.len()).map(|h| row_sums(kernels, readings, origin, h)).collect();
    let residuals: Vec<Vec<f64>> = sums
        .iter()
        .enumerate()
        .map(|(h, sums)| readings.iter().map(|r| left_out_residual(kernels, r, origin, line_sums, sums, h)).collect())
        .collect();
    let scores: Vec<f64> = residuals.iter().map(|res| normal_log_score(readings, res, total)).collect();
    let weights = score_weights(&scores);
    let averaged: Vec<f64> =
        (0..readings.len()).map(|i| weights.iter().zip(&residuals).map(|(w, res)| w * res[i]).sum()).collect();
    let line = line_sums.line();
    let mut mean = vec![0.0; kernels.axis.n_rows()];
    let mut clubs = vec![0.0; kernels.axis.n_rows()];
    for row in 0..mean.len() {
        for (weight, sums) in weights.iter().zip(&sums) {
            mean[row] +=
                weight * mean_at(kernels, row, origin, line, sums.clubs[row], sums.values[row], sums.dates[row]);
            clubs[row] += weight * sums.clubs[row];
        }
    }
    Some(MeasuredFit {
        mean,
        clubs,
        overall_mean,
        overall_sd,
        bandwidth: weights.iter().enumerate().map(|(h, w)| w * kernels.years(h)).sum(),
        residuals: readings.iter().map(|r| r.club).zip(averaged).collect(),
    })
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

/// Line at the row's centre plus the shrunk kernel mean of the residuals, from the kernel sums.
fn mean_at(kernels: &Kernels, row: usize, origin: f64, line: Line, clubs: f64, values: f64, dates: f64) -> f64 {
    let residuals = values - line.at_zero * clubs - line.slope * dates;
    line.at(kernels.axis.row_centre(row) - origin) + residuals / (clubs + LINE_WORTH)
}

/// Reading less its prediction from all other clubs: line and kernel sums with its own part taken out.
fn left_out_residual(
    kernels: &Kernels,
    reading: &MeasuredReading,
    origin: f64,
    line_sums: LineSums,
    sums: &RowSums,
    h: usize,
) -> f64 {
    let date = kernels.middle[reading.club] - origin;
    let line = line_sums.without(date, reading.place, reading.worth).line();
    let predicted: f64 = kernels.row_shares[reading.club]
        .iter()
        .map(|&(row, share)| {
            let k = kernels.at[h][reading.club][row] * reading.worth;
            let (clubs, values, dates) =
                (sums.clubs[row] - k, sums.values[row] - k * reading.place, sums.dates[row] - k * date);
            share * mean_at(kernels, row, origin, line, clubs.max(0.0), values, dates)
        })
        .sum();
    reading.place - predicted
}

/// Normal log score with the spread that the residuals themselves have.
fn normal_log_score(readings: &[MeasuredReading], residuals: &[f64], total: f64) -> f64 {
    let variance = readings.iter().zip(residuals).map(|(r, res)| r.worth * res * res).sum::<f64>() / total;
    -0.5 * total * ((2.0 * std::f64::consts::PI * variance.max(f64::MIN_POSITIVE)).ln() + 1.0)
}
