//! Evidence of measured clues read on one club: joint densities for every set of them, misread one at a time.

use crate::numbers::ln_sums::ln_add;
use crate::numbers::student_t::{ln_multivariate_t, ln_student_t};
use crate::reading::cell::{Reading, Seen};
use crate::reading::misread::misread_of;
use crate::tables::measured_block::MeasuredBlock;

/// A misreading falls anywhere: a t with 3 degrees of freedom, 1.5 times as wide as the clue over all years.
const MISREAD_DEGREES_OF_FREEDOM: f64 = 3.0;
const MISREAD_WIDTH: f64 = 1.5;
/// A mean is known as if from four clubs more than there are: each scale is times sqrt(1 + 1/(n + 4)).
const ROW_PRIOR_CLUBS: f64 = 4.0;
/// Least share of a variance that is left after conditioning; guards the square root against rounding.
const LEAST_SHARE_LEFT: f64 = 1e-10;

/// Readings of a block's measured clues and adjusters, against its tables.
///
/// A set of them is a bit mask: bit i for the i-th measure given, then one bit for each level adjuster given.
#[derive(Debug, Clone)]
pub(crate) struct MeasuredEvidence {
    n_measures: usize,
    n_adjusters: usize,
    degrees_of_freedom: f64,
    /// For each row: difference of each reading from the row's mean, and scale matrix.
    rows: Vec<RowOfMeasures>,
    /// e/(1 - e) for each measure.
    misread_odds: Vec<f64>,
    /// ln density of each measure if misread.
    ln_misread: Vec<f64>,
    /// Measures that correct the others: the evidence is M(S)/M(adjusting measures in S).
    adjusting: usize,
}

#[derive(Debug, Clone)]
struct RowOfMeasures {
    difference: Vec<f64>,
    scale: Vec<Vec<f64>>,
    /// Shift of each measure's mean by each adjuster: `[adjuster][measure]`.
    shifts: Vec<Vec<f64>>,
}

impl MeasuredEvidence {
    /// Measures by (place of the clue in the block, reading) and level adjusters by (place among them, reading);
    /// readings of another kind are not passed.
    pub fn new(block: &MeasuredBlock, readings: &[(usize, &Reading)], adjusters: &[(usize, &Reading)]) -> Self {
        let n_rows = block.clues.first().map_or(0, |table| table.rows.len());
        let places: Vec<(f64, f64)> =
            readings.iter().map(|&(j, reading)| place_and_variance(block, j, reading)).collect();
        let rows = (0..n_rows).map(|row| row_of_measures(block, readings, adjusters, &places, row)).collect();
        let odds = readings.iter().map(|&(j, reading)| {
            let misread = misread_of(block.clues[j].misread, reading);
            misread / (1.0 - misread)
        });
        let ln_misread = readings.iter().zip(&places).map(|(&(j, _), &(place, _))| {
            let width = MISREAD_WIDTH * block.clues[j].overall_sd;
            ln_student_t((place - block.clues[j].overall_mean) / width, MISREAD_DEGREES_OF_FREEDOM) - width.ln()
        });
        let adjusting = readings.iter().enumerate().filter(|(_, (j, _))| block.clues[*j].adjusts);
        Self {
            n_measures: readings.len(),
            n_adjusters: adjusters.len(),
            degrees_of_freedom: block.degrees_of_freedom,
            rows,
            misread_odds: odds.collect(),
            ln_misread: ln_misread.collect(),
            adjusting: adjusting.fold(0, |mask, (i, _)| mask | (1 << i)),
        }
    }

    pub fn n_clues(&self) -> usize {
        self.n_measures + self.n_adjusters
    }

    fn n_rows(&self) -> usize {
        self.rows.len()
    }

    fn measures_of(&self, mask: usize) -> usize {
        mask & ((1 << self.n_measures) - 1)
    }

    /// A row as it is under the adjusters of a set: their shifts taken off the differences.
    fn adjusted(&self, row: &RowOfMeasures, mask: usize) -> RowOfMeasures {
        let mut row = row.clone();
        for adjuster in (0..self.n_adjusters).filter(|a| mask & (1 << (self.n_measures + a)) != 0) {
            for (difference, shift) in row.difference.iter_mut().zip(&row.shifts[adjuster]) {
                *difference -= shift;
            }
        }
        row
    }

    /// ln of the evidence M(S)/M(adjusting measures in S) for every set S at every row: `[mask * n_rows + row]`.
    pub fn ln_evidence_all(&self) -> Vec<f64> {
        let n_rows = self.n_rows();
        let mut all = vec![0.0; (1 << self.n_clues()) * n_rows];
        let n_sets = 1_usize << self.n_measures;
        for (row_ix, row) in self.rows.iter().enumerate() {
            for adjusters in 0..1_usize << self.n_adjusters {
                let row = self.adjusted(row, adjusters << self.n_measures);
                let joint = self.ln_joint_all(&row);
                let mixture: Vec<f64> =
                    (0..n_sets).map(|set| self.mix(set, joint[set], |clue| joint[set & !(1 << clue)])).collect();
                for set in 0..n_sets {
                    let mask = set | (adjusters << self.n_measures);
                    all[mask * n_rows + row_ix] = mixture[set] - mixture[set & self.adjusting];
                }
            }
        }
        all
    }

    /// The same at every row for one set.
    pub fn ln_evidence(&self, mask: usize) -> Vec<f64> {
        let set = self.measures_of(mask);
        let at = |row: &RowOfMeasures| {
            let row = self.adjusted(row, mask);
            self.mixture_at(&row, set).0 - self.mixture_at(&row, set & self.adjusting).0
        };
        self.rows.iter().map(at).collect()
    }

    /// ln M of all measures at every row, the adjusting ones among them: how likely they all are together.
    pub fn ln_all_together(&self) -> Vec<f64> {
        let all = (1 << self.n_clues()) - 1;
        let set = self.measures_of(all);
        self.rows.iter().map(|row| self.mixture_at(&self.adjusted(row, all), set).0).collect()
    }

    /// For the full set: ln of the evidence at every row, and for each measure ln of its misread term over the same.
    pub fn misread_terms(&self) -> (Vec<f64>, Vec<Vec<f64>>) {
        let mask = (1 << self.n_clues()) - 1;
        let set = self.measures_of(mask);
        let mut terms = vec![Vec::with_capacity(self.n_rows()); self.n_measures];
        let mut mixture = Vec::with_capacity(self.n_rows());
        let ln_weight = self.ln_total_weight(set);
        for row in &self.rows {
            let row = self.adjusted(row, mask);
            let (ln_mixture, without) = self.mixture_at(&row, set);
            let ln_adjusting = self.mixture_at(&row, set & self.adjusting).0;
            mixture.push(ln_mixture - ln_adjusting);
            for (clue, term) in terms.iter_mut().enumerate() {
                term.push(
                    self.misread_odds[clue].ln() + self.ln_misread[clue] + without[clue] - ln_weight - ln_adjusting,
                );
            }
        }
        (mixture, terms)
    }

    /// ln J(T) for every set T of measures at one row.
    fn ln_joint_all(&self, row: &RowOfMeasures) -> Vec<f64> {
        let mut all = vec![0.0; 1 << self.n_measures];
        let mut factor = Factor::default();
        self.visit(row, &mut factor, 0, 0, &mut |mask, ln| all[mask] = ln);
        all
    }

    /// Goes through all sets that extend `mask` by clues from `next` on, growing one factor as it goes.
    fn visit(
        &self,
        row: &RowOfMeasures,
        factor: &mut Factor,
        mask: usize,
        next: usize,
        keep: &mut impl FnMut(usize, f64),
    ) {
        keep(mask, factor.ln_density(self.degrees_of_freedom));
        for clue in next..self.n_measures {
            factor.push(clue, row);
            self.visit(row, factor, mask | (1 << clue), clue + 1, keep);
            factor.pop();
        }
    }

    /// ln M(S) at one row, and ln J(S without j) for each j of S. Each is factored on its own: taking j out of the whole
    /// by the inverse matrix would cancel all digits where j lies far off.
    fn mixture_at(&self, row: &RowOfMeasures, mask: usize) -> (f64, Vec<f64>) {
        let mut without = vec![0.0; self.n_measures];
        for clue in (0..self.n_measures).filter(|clue| mask & (1 << clue) != 0) {
            without[clue] = self.ln_joint(row, mask & !(1 << clue));
        }
        (self.mix(mask, self.ln_joint(row, mask), |clue| without[clue]), without)
    }

    fn ln_joint(&self, row: &RowOfMeasures, mask: usize) -> f64 {
        let mut factor = Factor::default();
        for clue in (0..self.n_measures).filter(|clue| mask & (1 << clue) != 0) {
            factor.push(clue, row);
        }
        factor.ln_density(self.degrees_of_freedom)
    }

    /// ln of [J(S) + sum_j o_j J(S without j) q_j] / (1 + sum_j o_j), o_j = e_j/(1 - e_j).
    fn mix(&self, mask: usize, ln_joint: f64, ln_without: impl Fn(usize) -> f64) -> f64 {
        let mut ln_total = ln_joint;
        for clue in (0..self.n_measures).filter(|clue| mask & (1 << clue) != 0) {
            if self.misread_odds[clue] > 0.0 {
                ln_total = ln_add(ln_total, self.misread_odds[clue].ln() + ln_without(clue) + self.ln_misread[clue]);
            }
        }
        ln_total - self.ln_total_weight(mask)
    }

    fn ln_total_weight(&self, mask: usize) -> f64 {
        let odds = (0..self.n_measures).filter(|clue| mask & (1 << clue) != 0).map(|clue| self.misread_odds[clue]);
        odds.sum::<f64>().ln_1p()
    }
}

fn place_and_variance(block: &MeasuredBlock, j: usize, reading: &Reading) -> (f64, f64) {
    let table = &block.clues[j];
    let Seen::Measure { value, tolerance } = reading.seen else {
        return (table.overall_mean, 0.0);
    };
    let place = table.scale.place(value).unwrap_or(table.overall_mean);
    // The usual error is already in the spread between dated clubs; only what goes beyond it is added.
    let own = tolerance.unwrap_or(0.0).max(table.tolerance);
    let error = |tolerance: f64| table.scale.error(tolerance, value);
    (place, (error(own).powi(2) - error(table.tolerance).powi(2)).max(0.0))
}

fn row_of_measures(
    block: &MeasuredBlock,
    readings: &[(usize, &Reading)],
    adjusters: &[(usize, &Reading)],
    places: &[(f64, f64)],
    row: usize,
) -> RowOfMeasures {
    let scales: Vec<f64> = readings
        .iter()
        .map(|&(j, _)| {
            let at = &block.clues[j].rows[row];
            at.sd * (1.0 + 1.0 / (at.clubs + ROW_PRIOR_CLUBS)).sqrt()
        })
        .collect();
    let difference =
        readings.iter().zip(places).map(|(&(j, _), (place, _))| place - block.clues[j].rows[row].mean).collect();
    let scale = readings
        .iter()
        .enumerate()
        .map(|(a, &(i, _))| {
            let line = readings.iter().enumerate().map(|(b, &(j, _))| {
                let own = if a == b { places[a].1 } else { 0.0 };
                block.correlation[i][j] * scales[a] * scales[b] + own
            });
            line.collect()
        })
        .collect();
    let shifts = adjusters.iter().map(|&(a, reading)| {
        let Seen::Levels(levels) = &reading.seen else { return vec![0.0; readings.len()] };
        readings.iter().map(|&(j, _)| block.adjusters[a].shift(j, row, levels)).collect()
    });
    RowOfMeasures { difference, scale, shifts: shifts.collect() }
}

/// A Cholesky factor that grows and shrinks by one clue at a time, with the whitened differences.
#[derive(Debug, Default)]
struct Factor {
    clues: Vec<usize>,
    lower: Vec<Vec<f64>>,
    whitened: Vec<f64>,
}

impl Factor {
    fn push(&mut self, clue: usize, row: &RowOfMeasures) {
        let mut line: Vec<f64> = Vec::with_capacity(self.clues.len() + 1);
        for (i, &other) in self.clues.iter().enumerate() {
            let known: f64 = line.iter().zip(&self.lower[i]).map(|(a, b)| a * b).sum();
            line.push((row.scale[clue][other] - known) / self.lower[i][i]);
        }
        let variance = row.scale[clue][clue];
        let left = variance - line.iter().map(|v| v * v).sum::<f64>();
        let root = left.max(variance * LEAST_SHARE_LEFT).sqrt();
        let known: f64 = line.iter().zip(&self.whitened).map(|(a, b)| a * b).sum();
        self.whitened.push((row.difference[clue] - known) / root);
        line.push(root);
        self.lower.push(line);
        self.clues.push(clue);
    }

    fn pop(&mut self) {
        self.clues.pop();
        self.lower.pop();
        self.whitened.pop();
    }

    fn squared_distance(&self) -> f64 {
        self.whitened.iter().map(|z| z * z).sum()
    }

    fn ln_root_determinant(&self) -> f64 {
        self.lower.iter().enumerate().map(|(i, line)| line[i].ln()).sum()
    }

    fn ln_density(&self, degrees_of_freedom: f64) -> f64 {
        if self.clues.is_empty() {
            return 0.0;
        }
        ln_multivariate_t(self.squared_distance(), self.ln_root_determinant(), self.clues.len(), degrees_of_freedom)
    }
}

/// Whether a symmetric matrix has a Cholesky factor.
pub(crate) fn is_positive_definite(matrix: &[Vec<f64>]) -> bool {
    let n = matrix.len();
    let mut lower = vec![vec![0.0_f64; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let known: f64 = (0..j).map(|m| lower[i][m] * lower[j][m]).sum();
            let left = matrix[i][j] - known;
            if i == j {
                if left.is_nan() || left <= 1e-12 {
                    return false;
                }
                lower[i][i] = left.sqrt();
            } else {
                lower[i][j] = left / lower[j][j];
            }
        }
    }
    true
}
