//! Evidence of measured clues read on one club: joint densities for every set of them, misread one at a time.

use crate::evidence::remembered::Remembered;
use crate::evidence::usable::Usable;
use crate::evidence::weighed::{BySet, Weighed};
use crate::numbers::axis::Axis;
use crate::numbers::cholesky::Cholesky;
use crate::numbers::ln_sums::ln_add;
use crate::numbers::student_t::ln_multivariate_t;
use crate::reading::cell::Seen;
use crate::tables::measured_block::{MeasuredBlock, MeasuredTable, ln_density_misread};
use std::sync::Arc;

/// Least share of a variance that is left after conditioning; guards the square root against rounding.
const LEAST_SHARE_LEFT: f64 = 1e-10;

/// Readings of a block's measured clues and adjusters, against its tables.
///
/// A set of them is a bit mask: bit i for the i-th measure given, then one bit for each level adjuster given.
#[derive(Debug, Clone)]
pub(crate) struct Measures {
    axis: Axis,
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
    /// What sets of them say, by year.
    remembered: Remembered<usize>,
}

#[derive(Debug, Clone)]
struct RowOfMeasures {
    difference: Vec<f64>,
    scale: Vec<Vec<f64>>,
    /// Shift of each measure's mean by each adjuster: `[adjuster][measure]`.
    shifts: Vec<Vec<f64>>,
}

/// A measure as it is held against its table.
struct Measure<'a> {
    /// Place of its table in the block.
    table_ix: usize,
    table: &'a MeasuredTable,
    /// On the clue's scale.
    place: f64,
    /// Variance of its own tolerance beyond the clue's usual error, which the dated clubs' spread holds already.
    variance: f64,
    misread: f64,
    adjusts: bool,
}

impl<'a> Measure<'a> {
    fn of(block: &'a MeasuredBlock, usable: Usable<'_>) -> Option<Self> {
        let table_ix = block.clues.iter().position(|table| table.clue == usable.clue.id)?;
        let (table, clue) = (&block.clues[table_ix], usable.clue);
        let Seen::Measure { value, tolerance } = usable.reading.seen else { return None };
        let place = clue.scale.place(value)?;
        let error = |tolerance: f64| clue.scale.error(tolerance, value);
        let own = tolerance.unwrap_or(0.0).max(clue.usual_error());
        let variance = (error(own).powi(2) - error(clue.usual_error()).powi(2)).max(0.0);
        Some(Self { table_ix, table, place, variance, misread: usable.misread(), adjusts: clue.adjusts })
    }

    /// ln density if it is misread.
    fn ln_misread(&self) -> f64 {
        ln_density_misread(self.place, self.table.overall_mean, self.table.overall_sd)
    }
}

/// A level adjuster that was read: its place among the block's, and the levels seen.
type Adjusting<'a> = (usize, &'a [usize]);

impl Measures {
    /// Of readings with their places among all clues that count, the measures and level adjusters of a block; `None`
    /// where none is of it.
    pub fn of(axis: Axis, block: &MeasuredBlock, readings: &[(usize, Usable<'_>)]) -> Option<Weighed<Self>> {
        let (mut places, mut adjuster_places) = (Vec::new(), Vec::new());
        let (mut measures, mut adjusters) = (Vec::new(), Vec::new());
        for &(place, usable) in readings {
            if let Some(measure) = Measure::of(block, usable) {
                places.push(place);
                measures.push(measure);
            } else if let Some(a) = block.adjusters.iter().position(|adjuster| adjuster.clue == usable.clue.id)
                && let Seen::Levels(levels) = &usable.reading.seen
            {
                adjuster_places.push(place);
                adjusters.push((a, levels.as_slice()));
            }
        }
        places.extend(adjuster_places);
        let evidence = Self::new(axis, block, &measures, &adjusters);
        (!places.is_empty()).then_some(Weighed { places, weight: block.weight, evidence })
    }

    fn new(axis: Axis, block: &MeasuredBlock, measures: &[Measure<'_>], adjusters: &[Adjusting<'_>]) -> Self {
        let adjusting = measures.iter().enumerate().filter(|(_, measure)| measure.adjusts);
        Self {
            axis,
            n_measures: measures.len(),
            n_adjusters: adjusters.len(),
            degrees_of_freedom: block.degrees_of_freedom,
            rows: (0..axis.n_rows()).map(|row| row_of_measures(block, measures, adjusters, row)).collect(),
            misread_odds: measures.iter().map(|measure| measure.misread / (1.0 - measure.misread)).collect(),
            ln_misread: measures.iter().map(Measure::ln_misread).collect(),
            adjusting: adjusting.fold(0, |mask, (i, _)| mask | (1 << i)),
            remembered: Remembered::default(),
        }
    }

    fn n_clues(&self) -> usize {
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
    fn ln_evidence_all(&self) -> Vec<f64> {
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
    fn ln_evidence(&self, mask: usize) -> Vec<f64> {
        let set = self.measures_of(mask);
        let at = |row: &RowOfMeasures| {
            let row = self.adjusted(row, mask);
            self.mixture_at(&row, set).0 - self.mixture_at(&row, set & self.adjusting).0
        };
        self.rows.iter().map(at).collect()
    }

    /// ln of the evidence by year for one set.
    fn remembered_ln(&self, set: usize) -> Arc<[f64]> {
        self.remembered.or_made(set, || self.axis.ln_rows_to_ln_years(&self.ln_evidence(set)))
    }

    /// ln M by year of all measures, the adjusting ones among them: how likely they all are together.
    pub fn ln_all_together(&self) -> Vec<f64> {
        let all = (1 << self.n_clues()) - 1;
        let set = self.measures_of(all);
        let rows: Vec<f64> = self.rows.iter().map(|row| self.mixture_at(&self.adjusted(row, all), set).0).collect();
        self.axis.ln_rows_to_ln_years(&rows)
    }

    /// For the full set: ln of the evidence at every row, and for each measure ln of its misread term over the same.
    fn misread_terms(&self) -> (Vec<f64>, Vec<Vec<f64>>) {
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
        let mut factor = Whitened::default();
        self.visit(row, &mut factor, 0, 0, &mut |mask, ln| all[mask] = ln);
        all
    }

    /// Goes through all sets that extend `mask` by clues from `next` on, growing one factor as it goes.
    fn visit(
        &self,
        row: &RowOfMeasures,
        factor: &mut Whitened,
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

    /// ln M(S) at one row, and ln J(S without j) for each j of S. Each is factored on its own: taking j out of the
    /// whole by the inverse matrix would cancel all digits where j lies far off.
    fn mixture_at(&self, row: &RowOfMeasures, mask: usize) -> (f64, Vec<f64>) {
        let mut without = vec![0.0; self.n_measures];
        for clue in (0..self.n_measures).filter(|clue| mask & (1 << clue) != 0) {
            without[clue] = self.ln_joint(row, mask & !(1 << clue));
        }
        (self.mix(mask, self.ln_joint(row, mask), |clue| without[clue]), without)
    }

    fn ln_joint(&self, row: &RowOfMeasures, mask: usize) -> f64 {
        let mut factor = Whitened::default();
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

impl BySet for Measures {
    fn n_years(&self) -> usize {
        self.axis.n_years()
    }

    fn ln_by_year(&self, set: usize) -> Vec<f64> {
        self.remembered_ln(set).to_vec()
    }

    fn add_ln(&self, set: usize, weight: f64, total: &mut [f64]) {
        total.iter_mut().zip(self.remembered_ln(set).iter()).for_each(|(sum, ln)| *sum += weight * ln);
    }

    fn ln_of_all_sets(&self, n_clues: usize) -> Box<dyn Iterator<Item = Vec<f64>> + '_> {
        let (all, n_rows) = (self.ln_evidence_all(), self.n_rows());
        let years = move |set: usize| self.axis.ln_rows_to_ln_years(&all[set * n_rows..(set + 1) * n_rows]);
        Box::new((0..1_usize << n_clues).map(years))
    }

    fn first_absurd(&self, n_clues: usize) -> Option<usize> {
        let says_something = |mask: usize| self.ln_evidence(mask).iter().any(|ln| ln.is_finite());
        let alone = (0..self.n_measures).find(|clue| !says_something(1 << clue));
        alone.or((!says_something((1 << n_clues) - 1)).then_some(0))
    }

    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let (mixture, terms) = self.misread_terms();
        let below = self.axis.ln_rows_to_ln_years(&mixture);
        let ratio = |term: &Vec<f64>| {
            let above = self.axis.ln_rows_to_ln_years(term);
            above.iter().zip(&below).map(|(a, b)| (a - b).exp().min(1.0)).collect()
        };
        // Level adjusters, which stand last, have no such term.
        terms.iter().map(ratio).collect()
    }
}

fn row_of_measures(
    block: &MeasuredBlock,
    measures: &[Measure<'_>],
    adjusters: &[Adjusting<'_>],
    row: usize,
) -> RowOfMeasures {
    let scales: Vec<f64> = measures.iter().map(|measure| block.scale(measure.table_ix, row)).collect();
    let line = |(a, one): (usize, &Measure<'_>)| {
        let covariance = |(b, other): (usize, &Measure<'_>)| {
            let own = if a == b { one.variance } else { 0.0 };
            block.correlation[one.table_ix][other.table_ix] * scales[a] * scales[b] + own
        };
        measures.iter().enumerate().map(covariance).collect()
    };
    let shifts = |&(a, levels): &Adjusting<'_>| {
        measures.iter().map(|measure| block.adjusters[a].shift(measure.table_ix, row, levels)).collect()
    };
    RowOfMeasures {
        difference: measures.iter().map(|measure| measure.place - measure.table.rows[row].mean).collect(),
        scale: measures.iter().enumerate().map(line).collect(),
        shifts: adjusters.iter().map(shifts).collect(),
    }
}

/// Differences of some measures, whitened by the factor of their scale matrix as it grows and shrinks.
#[derive(Debug, Default)]
struct Whitened {
    clues: Vec<usize>,
    factor: Cholesky,
    differences: Vec<f64>,
}

impl Whitened {
    fn push(&mut self, clue: usize, row: &RowOfMeasures) {
        let scale = &row.scale[clue];
        self.factor.push(|i| scale[self.clues[i]], scale[clue], LEAST_SHARE_LEFT);
        self.differences.push(self.factor.whitened_last(row.difference[clue], &self.differences));
        self.clues.push(clue);
    }

    fn pop(&mut self) {
        self.clues.pop();
        self.factor.pop();
        self.differences.pop();
    }

    fn ln_density(&self, degrees_of_freedom: f64) -> f64 {
        if self.clues.is_empty() {
            return 0.0;
        }
        let squared_distance = self.differences.iter().map(|z| z * z).sum();
        ln_multivariate_t(squared_distance, self.factor.ln_root_determinant(), self.clues.len(), degrees_of_freedom)
    }
}
