//! What the measured clues of one part look like through time, together.

use crate::numbers::cholesky::is_positive_definite;
use crate::numbers::student_t::ln_student_t;
use crate::reading::clue::{Clue, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::calibration_error::CalibrationError;
use crate::tables::check::{BANDWIDTHS, Check, Checked, EXPONENTS, MISREAD, few_together, lies_within, shape};
use crate::tables::measured_error::MeasuredBlockError;

/// One row of a measured clue's table, on the clue's scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredRow {
    /// Effective number of dated clubs behind the row.
    pub clubs: f64,
    /// Mean on the clue's scale (for a log scale, of the natural logarithms).
    pub mean: f64,
    /// Standard deviation between clubs on the clue's scale.
    pub sd: f64,
}

/// Table of one measured clue; its scale, usual error, chance of misreading and whether it adjusts are those of the
/// clue.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredTable {
    /// The clue's id.
    pub clue: String,
    /// Number of dated clubs measured for the clue.
    pub clubs: usize,
    /// Kernel width in years (weighted mean over the widths averaged).
    pub bandwidth: f64,
    /// Mean over all years, on the clue's scale: where a misreading falls.
    pub overall_mean: f64,
    /// Standard deviation over all years, on the clue's scale.
    pub overall_sd: f64,
    /// One row for every `step` years.
    pub rows: Vec<MeasuredRow>,
}

/// The measured clues of one part, as one joint Student t at every row.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredBlock {
    /// The part that the clues date.
    pub part: Part,
    /// Degrees of freedom of the predictive t (infinite: normal).
    pub degrees_of_freedom: f64,
    /// Exponent of the block in the posterior, 0 to 1.2.
    pub weight: f64,
    /// A table for each clue.
    pub clues: Vec<MeasuredTable>,
    /// Level clues that shift the means (club type, hand) and are no evidence of date by themselves.
    pub adjusters: Vec<LevelAdjuster>,
    /// Residual correlation between the clues, one for all rows: symmetric, unit diagonal, positive definite.
    pub correlation: Vec<Vec<f64>>,
}

/// A level clue that shifts the means of the measured clues: mean at row r is mu(r) + B (z - zbar(r)).
#[derive(Debug, Clone, PartialEq)]
pub struct LevelAdjuster {
    /// The clue's id.
    pub clue: String,
    /// zbar: share of each level expected at each row, `[row][level]`: a straight line in year, kept within 0 to 1.
    pub expected: Vec<Vec<f64>>,
    /// B: shift of each measured clue for each level on the measured clue's scale, `[clue of the block][level]`.
    pub shifts: Vec<Vec<f64>>,
    /// For each measured clue, whether zbar is taken off: not where its mean is of a club without the effect.
    pub centred: Vec<bool>,
}

impl LevelAdjuster {
    /// Shift of a measured clue's mean, on its scale, at a row for a reading of one of some levels; the clue by its
    /// place in the block, levels by theirs in the adjusting clue.
    ///
    /// # Panics
    /// When clue, row or a level is not there.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "levels are few")]
    pub fn shift(&self, clue: usize, row: usize, levels: &[usize]) -> f64 {
        let seen = levels.iter().map(|&level| self.shifts[clue][level]).sum::<f64>() / levels.len().max(1) as f64;
        if !self.centred[clue] {
            return seen;
        }
        let expected: f64 = self.expected[row].iter().zip(&self.shifts[clue]).map(|(share, shift)| share * shift).sum();
        seen - expected
    }

    fn check(&self, check: &Check<'_>, block: &MeasuredBlock, path: &DocumentPath) -> Checked {
        let clue = check.clue(path, &self.clue, TableForm::Shares, Some(block.part))?;
        check.rows(path, &self.clue, self.expected.len())?;
        shape(path, &self.clue, "shifts", self.shifts.len(), block.clues.len())?;
        shape(path, &self.clue, "shifts", self.centred.len(), block.clues.len())?;
        for levels in self.expected.iter().chain(&self.shifts) {
            shape(path, &self.clue, "levels", levels.len(), clue.levels.len())?;
        }
        for (place, row) in self.expected.iter().enumerate() {
            let path = path.clone().then("rows").at(place).then("shares");
            row.iter().try_for_each(|&share| lies_within(&path, &self.clue, "share", share, [0.0, 1.0]))?;
        }
        Ok(())
    }
}

const SYMMETRY: f64 = 1e-6;
/// (v - 2)/v of a t of ten degrees of freedom: what its squared scale is of its variance.
const VARIANCE_SHARE: f64 = 0.8;
/// A mean is known as if from four clubs more than there are.
const ROW_PRIOR_CLUBS: f64 = 4.0;

impl MeasuredBlock {
    /// Scale of the block's Student t for one of its clues at a row: sd sqrt(8/10) sqrt(1 + 1/(n + 4)), n the row's
    /// clubs; for a normal the first root is 1.
    ///
    /// A t of ten degrees of freedom, the most that a fit gives, has heavier tails than a normal, and with that root
    /// the table's sd as its own. Fewer degrees of freedom stand for an sd that few clubs tell: their heavier tails
    /// remain.
    ///
    /// # Panics
    /// When clue or row is not there.
    #[must_use]
    pub fn scale(&self, clue: usize, row: usize) -> f64 {
        let at = &self.clues[clue].rows[row];
        let of_the_sd = if self.degrees_of_freedom.is_finite() { VARIANCE_SHARE.sqrt() } else { 1.0 };
        at.sd * of_the_sd * (1.0 + 1.0 / (at.clubs + ROW_PRIOR_CLUBS)).sqrt()
    }

    /// Checks every number of the block against the catalogue and the others.
    pub(crate) fn check(&self, check: &mut Check<'_>, path: &DocumentPath) -> Checked {
        few_together(path, self.part.word(), self.clues.len() + self.adjusters.len())?;
        lies_within(path, self.part.word(), "weight", self.weight, EXPONENTS)?;
        for (place, table) in self.clues.iter().enumerate() {
            let path = path.clone().then("clues").at(place);
            let clue = check.clue(&path, &table.clue, TableForm::Measures, Some(self.part))?;
            check.once(&path, &table.clue)?;
            check.rows(&path, &table.clue, table.rows.len())?;
            lies_within(&path, &table.clue, "misread", clue.misread, MISREAD)?;
            lies_within(&path.clone().then("bandwidth"), &table.clue, "bandwidth", table.bandwidth, BANDWIDTHS)?;
            table.check_means(clue, &path)?;
        }
        for (place, adjuster) in self.adjusters.iter().enumerate() {
            let path = path.clone().then("adjusters").at(place);
            check.once(&path, &adjuster.clue)?;
            adjuster.check(check, self, &path)?;
        }
        self.check_numbers().map_err(|(within, error)| CalibrationError::at(within.within(path.clone()), error))
    }

    /// Whether a draw's block is of the same clues.
    pub(crate) fn is_like(&self, drawn: &Self) -> bool {
        let named = |block: &Self| block.clues.iter().map(|table| table.clue.clone()).collect::<Vec<_>>();
        self.adjusters.len() == drawn.adjusters.len() && named(self) == named(drawn)
    }

    /// Checks every number of the block by itself; an error tells where in the block it stands.
    fn check_numbers(&self) -> Result<(), (DocumentPath, MeasuredBlockError)> {
        let block = self.part.word();
        if self.degrees_of_freedom.is_nan() || self.degrees_of_freedom <= 0.0 {
            let path = DocumentPath::key("degrees_of_freedom");
            return Err((path, number(block, "degrees_of_freedom", self.degrees_of_freedom, "it must be above 0")));
        }
        for (place, table) in self.clues.iter().enumerate() {
            table.check().map_err(|(within, error)| (within.within(DocumentPath::key("clues").at(place)), error))?;
        }
        let all_finite = |rows: &[Vec<f64>]| rows.iter().flatten().all(|value| value.is_finite());
        let sound = |adjuster: &LevelAdjuster| all_finite(&adjuster.expected) && all_finite(&adjuster.shifts);
        if let Some(place) = self.adjusters.iter().position(|adjuster| !sound(adjuster)) {
            let path = DocumentPath::key("adjusters").at(place);
            let clue = &self.adjusters[place].clue;
            return Err((path, number(clue, "shift or share", f64::NAN, "it must be a number")));
        }
        self.check_correlation()
    }

    fn check_correlation(&self) -> Result<(), (DocumentPath, MeasuredBlockError)> {
        let (part, n) = (self.part.word(), self.clues.len());
        let path = || DocumentPath::key("correlation");
        if self.correlation.len() != n || self.correlation.iter().any(|row| row.len() != n) {
            return Err((path(), MeasuredBlockError::Shape { part, clues: n }));
        }
        for (i, row) in self.correlation.iter().enumerate() {
            for (j, &value) in row.iter().enumerate() {
                let wrong = |limit: &'static str| {
                    let [first, second] = [i, j].map(|k| self.clues[k].clue.clone());
                    Err((path().at(i), MeasuredBlockError::Pair { part, first, second, value, limit }))
                };
                if i == j && (value - 1.0).abs() > SYMMETRY {
                    return wrong("a clue's correlation with itself is 1");
                }
                if !(-1.0..=1.0).contains(&value) || (value - self.correlation[j][i]).abs() > SYMMETRY {
                    return wrong("it must lie between -1 and 1 and stand the same on both sides");
                }
            }
        }
        if is_positive_definite(&self.correlation) {
            Ok(())
        } else {
            Err((path(), MeasuredBlockError::NotPositiveDefinite { part }))
        }
    }
}

/// Where a misread measure falls: a Student t of so many degrees of freedom, so many times as wide as the clue is over
/// all years.
const MISREAD_DEGREES_OF_FREEDOM: f64 = 3.0;
const MISREAD_WIDTH: f64 = 1.5;

/// ln density of a misread measure at a place on its clue's scale, from mean and standard deviation of the clue over
/// all years: a Student t with 3 degrees of freedom, 1.5 times as wide.
#[must_use]
pub fn ln_density_misread(place: f64, overall_mean: f64, overall_sd: f64) -> f64 {
    let width = MISREAD_WIDTH * overall_sd;
    ln_student_t((place - overall_mean) / width, MISREAD_DEGREES_OF_FREEDOM) - width.ln()
}

impl MeasuredTable {
    /// Whether its means could be those of the clue: within its range and as much again on either side, on its scale. A
    /// fitted line may lead out of the range; a slip of a digit leads further.
    fn check_means(&self, clue: &Clue, path: &DocumentPath) -> Checked {
        let Some([low, high]) = clue.range else { return Ok(()) };
        let (Some(low), Some(high)) = (clue.scale.place(low), clue.scale.place(high)) else { return Ok(()) };
        let [least, most] = [low - (high - low), high + (high - low)];
        // As a message tells them: to a thousandth.
        let limits = [least, most].map(|limit| (clue.scale.measure(limit) * 1e3).round() / 1e3);
        let rows = self.rows.iter().enumerate();
        let rows = rows.map(|(place, row)| (path.clone().then("rows").at(place).then("mean"), row.mean));
        for (path, mean) in rows.chain(std::iter::once((path.clone().then("overall_mean"), self.overall_mean))) {
            // What is no number is told with the other numbers.
            if mean.is_finite() && !(least..=most).contains(&mean) {
                return lies_within(&path, &self.clue, "mean", clue.scale.measure(mean), limits);
            }
        }
        Ok(())
    }

    fn check(&self) -> Result<(), (DocumentPath, MeasuredBlockError)> {
        let wrong = |path: DocumentPath, what, value, limit| Err((path, number(&self.clue, what, value, limit)));
        let overall = [("overall_mean", self.overall_mean, false), ("overall_sd", self.overall_sd, true)];
        for (what, value, above_zero) in overall {
            if !value.is_finite() {
                return wrong(DocumentPath::key(what), what, value, "it must be a number");
            }
            if above_zero && value <= 0.0 {
                return wrong(DocumentPath::key(what), what, value, "it must be above 0");
            }
        }
        for (place, row) in self.rows.iter().enumerate() {
            let path = |field: &str| DocumentPath::key("rows").at(place).then(field);
            for (what, value) in [("mean", row.mean), ("sd", row.sd)] {
                if !value.is_finite() {
                    return wrong(path(what), what, value, "it must be a number");
                }
            }
            if row.sd <= 0.0 {
                return wrong(path("sd"), "sd", row.sd, "it must be above 0");
            }
            if !(row.clubs >= 0.0 && row.clubs.is_finite()) {
                return wrong(path("clubs"), "clubs", row.clubs, "it must not be below 0");
            }
        }
        Ok(())
    }
}

fn number(clue: &str, what: &'static str, value: f64, limit: &'static str) -> MeasuredBlockError {
    MeasuredBlockError::Number { clue: clue.to_owned(), what, value, limit }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// mu(r) + B (z - zbar(r)): a reading of two levels lies between them; not centred, nothing is taken off.
    #[test]
    fn an_adjuster_shifts_by_what_is_seen_less_what_was_expected() {
        let adjuster = |centred| LevelAdjuster {
            clue: "kind".into(),
            expected: vec![vec![0.5, 0.3, 0.2], vec![0.1, 0.3, 0.6]],
            shifts: vec![vec![0.2, -0.1, 0.4]],
            centred: vec![centred],
        };
        let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-12, "{got}, not {want}");
        // Expected: 0.5 x 0.2 - 0.3 x 0.1 + 0.2 x 0.4 = 0.15; in the second row 0.23.
        near(adjuster(true).shift(0, 0, &[2]), 0.4 - 0.15);
        near(adjuster(true).shift(0, 1, &[2]), 0.4 - 0.23);
        near(adjuster(true).shift(0, 0, &[0, 1]), 0.05 - 0.15);
        near(adjuster(false).shift(0, 0, &[2]), 0.4);
    }
}
