//! How the kind of club shifts its measures: a ridge regression of residuals on indicators of the levels.

use crate::dated::sets::Sets;
use crate::smooth::kernels::Kernels;
use crate::smooth::line::{Line, LineSums};
use crate::tables::level_fit::LevelReading;
use nalgebra::{DMatrix, DVector};
use std::collections::BTreeMap;

/// Penalties tried, in clubs; the best leave-one-out squared error is taken.
const PENALTIES: [f64; 6] = [3.0, 6.0, 12.0, 25.0, 50.0, 100.0];
/// A club that decides its own fit leaves no honest residual.
const MOST_LEVERAGE: f64 = 0.95;

/// Indicators z - zbar(year) of all level adjusters of a part, by club.
pub(crate) struct Indicators {
    /// For each adjuster: number of levels, and the straight line in year of each level's share.
    pub adjusters: Vec<AdjusterLines>,
    /// `by_club[club]`: z - zbar, all adjusters one behind another; zeros where one is not known.
    by_club: Vec<Vec<f64>>,
    /// The same not centred: z.
    plain_by_club: Vec<Vec<f64>>,
    origin: f64,
}

/// Share of each level of one adjuster as a line in year.
pub(crate) struct AdjusterLines {
    pub clue: usize,
    lines: Vec<Line>,
}

/// What was read of an adjuster over all clubs.
pub(crate) struct AdjusterReadings {
    pub clue: usize,
    pub n_levels: usize,
    pub readings: Vec<LevelReading>,
}

impl Indicators {
    /// Over clubs for which `members` holds.
    pub fn new(kernels: &Kernels, adjusters: &[AdjusterReadings], members: &[bool]) -> Self {
        let origin = kernels.axis.row_centre(0);
        let date = |club: usize| kernels.middle[club] - origin;
        let width: usize = adjusters.iter().map(|adjuster| adjuster.n_levels).sum();
        let mut by_club = vec![vec![0.0; width]; members.len()];
        let mut plain_by_club = by_club.clone();
        let mut fitted = Vec::with_capacity(adjusters.len());
        let mut start = 0;
        for &AdjusterReadings { clue, n_levels, ref readings } in adjusters {
            let lines: Vec<Line> = (0..n_levels)
                .map(|level| {
                    let mut sums = LineSums::default();
                    for r in readings.iter().filter(|r| members[r.club]) {
                        sums.add(date(r.club), indicator(r, level), r.worth);
                    }
                    sums.line()
                })
                .collect();
            for r in readings {
                for (level, line) in lines.iter().enumerate() {
                    plain_by_club[r.club][start + level] = indicator(r, level);
                    by_club[r.club][start + level] = indicator(r, level) - line.at(date(r.club)).clamp(0.0, 1.0);
                }
            }
            start += n_levels;
            fitted.push(AdjusterLines { clue, lines });
        }
        Self { adjusters: fitted, by_club, plain_by_club, origin }
    }

    pub fn is_empty(&self) -> bool {
        self.adjusters.is_empty()
    }

    /// Indicators of a club, those of the adjusters for which `centred` does not hold not centred.
    fn of_club(&self, club: usize, centred: &[bool]) -> Vec<f64> {
        let mut row = self.by_club[club].clone();
        let mut start = 0;
        for (adjuster, centred) in self.adjusters.iter().zip(centred) {
            let own = start..start + adjuster.lines.len();
            if !centred {
                row[own.clone()].copy_from_slice(&self.plain_by_club[club][own.clone()]);
            }
            start = own.end;
        }
        row
    }

    fn width(&self) -> usize {
        self.adjusters.iter().map(|a| a.lines.len()).sum()
    }

    /// Expected share of each level of an adjuster at each row.
    pub fn expected(&self, kernels: &Kernels, adjuster: &AdjusterLines) -> Vec<Vec<f64>> {
        let at = |row: usize| kernels.axis.row_centre(row) - self.origin;
        let shares = |row: usize| adjuster.lines.iter().map(|line| line.at(at(row)).clamp(0.0, 1.0)).collect();
        (0..kernels.axis.n_rows()).map(shares).collect()
    }

    /// Splits coefficients into those of each adjuster.
    pub fn split(&self, coefficients: &[f64]) -> Vec<Vec<f64>> {
        let mut rest = coefficients;
        self.adjusters
            .iter()
            .map(|adjuster| {
                let (own, behind) = rest.split_at(adjuster.lines.len());
                rest = behind;
                own.to_vec()
            })
            .collect()
    }
}

#[expect(clippy::cast_precision_loss, reason = "levels are few")]
fn indicator(reading: &LevelReading, level: usize) -> f64 {
    if reading.levels.contains(&level) { 1.0 / reading.levels.len() as f64 } else { 0.0 }
}

/// Coefficients for one measured clue and the leave-one-out residuals that they leave.
pub(crate) struct Shifts {
    pub coefficients: Vec<f64>,
    pub residuals: Vec<(usize, f64)>,
}

/// Ridge regression of a clue's residuals on the indicators, towards `expected` coefficients (zero without a rule):
/// b = b0 + (X'WX + p I)^-1 X'W (y - X b0), the penalty p by the squared error of what is left of each club by a fit
/// without its set: (I - H)^-1 (y - X b), H the set's block of X (X'WX + p I)^-1 X'W. Where a rule tells how a
/// club differs from one without the effect, the indicators are not centred: the means are then those of the latter.
pub(crate) fn fit_shifts(
    indicators: &Indicators,
    residuals: &[(usize, f64)],
    worth: impl Fn(usize) -> f64,
    expected: Option<&[f64]>,
    centred: &[bool],
    sets: &Sets,
) -> Shifts {
    let rows: Vec<Vec<f64>> = residuals.iter().map(|(club, _)| indicators.of_club(*club, centred)).collect();
    let width = indicators.width();
    let zero = vec![0.0; width];
    let expected = DVector::from_column_slice(expected.unwrap_or(&zero));
    let x = DMatrix::from_fn(residuals.len(), width, |i, j| rows[i][j]);
    let w: Vec<f64> = residuals.iter().map(|(club, _)| worth(*club)).collect();
    let y = DVector::from_iterator(residuals.len(), residuals.iter().map(|(_, residual)| *residual)) - &x * &expected;
    let weighted = DMatrix::from_fn(residuals.len(), width, |i, j| w[i] * x[(i, j)]);
    let (cross, towards) = (x.transpose() * &weighted, weighted.transpose() * &y);
    let mates = rows_by_set(sets, residuals);
    let mut best: Option<(f64, Shifts)> = None;
    for penalty in PENALTIES {
        let ridge = &cross + DMatrix::identity(width, width) * penalty;
        let Some(factor) = ridge.cholesky() else { continue };
        let change = factor.solve(&towards);
        let smoother = factor.solve(&weighted.transpose());
        let off = &y - &x * &change;
        let left = left_out(&x, &smoother, &off, &mates);
        let error: f64 = left.iter().zip(&w).map(|(residual, w)| w * residual * residual).sum();
        let left = residuals.iter().zip(left).map(|((club, _), residual)| (*club, residual)).collect();
        if best.as_ref().is_none_or(|(least, _)| error < *least) {
            let coefficients = (&expected + &change).iter().copied().collect();
            best = Some((error, Shifts { coefficients, residuals: left }));
        }
    }
    best.map_or_else(
        || Shifts { coefficients: expected.iter().copied().collect(), residuals: residuals.to_vec() },
        |(_, shifts)| shifts,
    )
}

/// Rows of the regression that are left out together.
fn rows_by_set(sets: &Sets, residuals: &[(usize, f64)]) -> Vec<Vec<usize>> {
    let mut rows: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (row, (club, _)) in residuals.iter().enumerate() {
        rows.entry(sets.set_of(*club)).or_default().push(row);
    }
    rows.into_values().collect()
}

/// What is left of each row by the fit without the rows that are left out with it: (I - H)^-1 (y - X b), H their block
/// of the hat matrix.
fn left_out(x: &DMatrix<f64>, smoother: &DMatrix<f64>, off: &DVector<f64>, sets: &[Vec<usize>]) -> Vec<f64> {
    let mut left: Vec<f64> = off.iter().copied().collect();
    for rows in sets {
        let hat = |i: usize, j: usize| x.row(rows[i]).dot(&smoother.column(rows[j]).transpose());
        if let [row] = rows[..] {
            left[row] = off[row] / (1.0 - hat(0, 0).min(MOST_LEVERAGE));
            continue;
        }
        let n = rows.len();
        let without = DMatrix::identity(n, n) - DMatrix::from_fn(n, n, hat);
        let own = DVector::from_iterator(n, rows.iter().map(|&row| off[row]));
        // A penalty above 0 leaves every set some freedom; a matrix that is singular by rounding leaves the fit's own.
        if let Some(solved) = without.lu().solve(&own) {
            rows.iter().zip(solved.iter()).for_each(|(&row, value)| left[row] = *value);
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::date_spread::DateSpread;
    use crate::dated::sets::sets_of;
    use agewright_model::Axis;

    /// By brute force: for each penalty solved again without each club and its set; the least squared error of those it
    /// leaves is the one chosen.
    #[test]
    fn left_out_residuals_are_those_of_fits_without_the_set() {
        for sets in [Sets::single(14), sets_of(&[0, 1, 2, 0, 3, 3, 3, 4, 5, 6, 6, 4, 7, 0])] {
            left_out_residuals_are_by_brute_force(&sets);
        }
    }

    fn left_out_residuals_are_by_brute_force(sets: &Sets) {
        let axis = Axis::new(1800, 1860, 10).unwrap();
        let at = |n: usize| DateSpread { first_ix: (n * 23) % 60, share: vec![1.0] };
        let kernels = Kernels::new(axis, &(0..14).map(at).collect::<Vec<_>>(), &[1.0]);
        let of_club = |club: usize| LevelReading { club, worth: 1.0, levels: vec![club % 3] };
        let readings: Vec<LevelReading> = (0..14).map(of_club).collect();
        let indicators = Indicators::new(&kernels, &[AdjusterReadings { clue: 0, n_levels: 3, readings }], &[true; 14]);
        let wander = |club: usize| 0.3 * ((club * 37 % 11) as f64 / 5.0 - 1.0);
        let residuals: Vec<(usize, f64)> = (0..14).map(|c| (c, [0.5, -0.2, 0.0][c % 3] + wander(c))).collect();
        let worth = |club: usize| if club.is_multiple_of(4) { 0.4 } else { 1.0 };
        let expected = [0.1, 0.0, -0.1];
        let row = |club: usize| DVector::from_vec(indicators.of_club(club, &[true]));
        let left_by = |penalty: f64| -> Vec<f64> {
            let one = |out: usize| {
                let mut cross = DMatrix::identity(3, 3) * penalty;
                let mut towards = DVector::zeros(3);
                for &(club, y) in residuals.iter().filter(|(club, _)| !sets.mates(out).contains(club)) {
                    cross += worth(club) * row(club) * row(club).transpose();
                    towards += worth(club) * row(club) * (y - row(club).dot(&DVector::from_row_slice(&expected)));
                }
                let b = cross.lu().solve(&towards).unwrap() + DVector::from_row_slice(&expected);
                residuals[out].1 - row(out).dot(&b)
            };
            (0..14).map(one).collect()
        };
        let error = |left: &[f64]| left.iter().enumerate().map(|(club, r)| worth(club) * r * r).sum::<f64>();
        let best = PENALTIES.into_iter().reduce(|a, b| if error(&left_by(b)) < error(&left_by(a)) { b } else { a });
        let want = left_by(best.unwrap());
        let got = fit_shifts(&indicators, &residuals, worth, Some(&expected), &[true], sets);
        for ((_, got), want) in got.residuals.iter().zip(&want) {
            assert!((got - want).abs() < 1e-9, "{got}, not {want}");
        }
        assert!(got.coefficients[0] > got.coefficients[1]);
    }
}
