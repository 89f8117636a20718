//! What the measured clues of one part look like through time, together.

use crate::reading::catalogue::Part;
use crate::reading::scale::Scale;
use thiserror::Error;

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

/// Table of one measured clue.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredTable {
    /// The clue's id.
    pub clue: String,
    /// Scale of means and deviations.
    pub scale: Scale,
    /// Number of dated clubs measured for the clue.
    pub clubs: usize,
    /// Kernel width in years (weighted mean over the widths averaged).
    pub bandwidth: f64,
    /// Chance of misreading.
    pub misread: f64,
    /// Stands in the block to correct the others and is no evidence of date by itself (loft, blade height).
    pub adjusts: bool,
    /// Usual error of one measuring, in the clue's unit: already within the spread of the dated clubs.
    pub tolerance: f64,
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
    /// Shift of a measured clue's mean at a row for a reading of one of some levels.
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
}

/// Why a block is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum MeasuredBlockError {
    /// A number that makes no sense in its place.
    #[error("{clue}: {what} = {value}: {limit}")]
    Number {
        /// The clue's id, or the block's part.
        clue: String,
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it must be.
        limit: &'static str,
    },
    /// The correlation matrix has the wrong shape.
    #[error("correlation of the {part} has not {clues} rows of {clues} numbers")]
    Shape {
        /// The part.
        part: &'static str,
        /// Number of clues.
        clues: usize,
    },
    /// The correlation matrix is not one.
    #[error("correlation of the {part}: {problem}")]
    Correlation {
        /// The part.
        part: &'static str,
        /// What is wrong.
        problem: String,
    },
}

const SYMMETRY: f64 = 1e-6;

impl MeasuredBlock {
    /// Checks every number of the block.
    ///
    /// # Errors
    /// [`MeasuredBlockError`] with the first number that makes no sense.
    pub fn check(&self) -> Result<(), MeasuredBlockError> {
        let positive = |clue: &str, what, value: f64| {
            if value > 0.0 && !value.is_nan() {
                return Ok(());
            }
            Err(MeasuredBlockError::Number { clue: clue.to_owned(), what, value, limit: "it must be above 0" })
        };
        positive(self.part.word(), "degrees_of_freedom", self.degrees_of_freedom)?;
        for table in &self.clues {
            let finite = |what, value: f64| {
                if value.is_finite() {
                    return Ok(());
                }
                Err(MeasuredBlockError::Number { clue: table.clue.clone(), what, value, limit: "it must be a number" })
            };
            finite("overall_mean", table.overall_mean)?;
            finite("overall_sd", table.overall_sd)?;
            positive(&table.clue, "overall_sd", table.overall_sd)?;
            for row in &table.rows {
                finite("mean", row.mean)?;
                finite("sd", row.sd)?;
                positive(&table.clue, "sd", row.sd)?;
                if !(row.clubs >= 0.0 && row.clubs.is_finite()) {
                    let (value, limit) = (row.clubs, "it must not be below 0");
                    return Err(MeasuredBlockError::Number { clue: table.clue.clone(), what: "clubs", value, limit });
                }
            }
        }
        let all_finite = |rows: &[Vec<f64>]| rows.iter().flatten().all(|value| value.is_finite());
        if let Some(adjuster) = self.adjusters.iter().find(|a| !(all_finite(&a.expected) && all_finite(&a.shifts))) {
            let (clue, value) = (adjuster.clue.clone(), f64::NAN);
            return Err(MeasuredBlockError::Number {
                clue,
                what: "shift or share",
                value,
                limit: "it must be a number",
            });
        }
        self.check_correlation()
    }

    fn check_correlation(&self) -> Result<(), MeasuredBlockError> {
        let (part, n) = (self.part.word(), self.clues.len());
        if self.correlation.len() != n || self.correlation.iter().any(|row| row.len() != n) {
            return Err(MeasuredBlockError::Shape { part, clues: n });
        }
        let wrong = |problem: String| Err(MeasuredBlockError::Correlation { part, problem });
        for (i, row) in self.correlation.iter().enumerate() {
            for (j, &value) in row.iter().enumerate() {
                let pair = || format!("{} with {}: {value}", self.clues[i].clue, self.clues[j].clue);
                if i == j && (value - 1.0).abs() > SYMMETRY {
                    return wrong(format!("{}: a clue's correlation with itself is 1", pair()));
                }
                if !(-1.0..=1.0).contains(&value) || (value - self.correlation[j][i]).abs() > SYMMETRY {
                    return wrong(format!("{}: it must lie between -1 and 1 and stand the same on both sides", pair()));
                }
            }
        }
        if crate::evidence::measures::is_positive_definite(&self.correlation) {
            Ok(())
        } else {
            wrong("no set of clubs can have these correlations together (not positive definite)".to_owned())
        }
    }
}
