//! What a level clue looks like through time.

use crate::numbers::axis::Axis;
use crate::reading::cell::{Reading, Seen};
use crate::reading::misread::misread_of;
use thiserror::Error;

/// Shares of the levels among clubs of one row of years.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelRow {
    /// Effective number of dated clubs behind the row.
    pub clubs: f64,
    /// Share of each level, summing to 1.
    pub shares: Vec<f64>,
}

/// Table of a level clue: shares of its levels at each row.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelTable {
    /// The clue's id.
    pub clue: String,
    /// Number of dated clubs read for the clue.
    pub clubs: usize,
    /// Kernel width in years (weighted mean over the widths averaged).
    pub bandwidth: f64,
    /// Chance of misreading.
    pub misread: f64,
    /// Exponent of the clue in the posterior, 0 to 1.2.
    pub weight: f64,
    /// Share of each level over all years: what a misreading looks like.
    pub overall: Vec<f64>,
    /// One row for every `step` years.
    pub rows: Vec<LevelRow>,
}

/// Why a table is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LevelTableError {
    /// A share is negative or not a number.
    #[error("{clue}, {place}: share {value} is not a number of 0 or more")]
    Share {
        /// The clue's id.
        clue: String,
        /// Row or "overall".
        place: String,
        /// The share.
        value: f64,
    },
    /// Shares do not sum to 1 within 0.005.
    #[error("{clue}, {place}: the shares sum to {sum}; they must sum to 1 within 0.005")]
    Sum {
        /// The clue's id.
        clue: String,
        /// Row or "overall".
        place: String,
        /// Their sum.
        sum: f64,
    },
}

/// Shares are kept at or above this, so that no one level can veto a year.
const LEAST_SHARE: f64 = 1e-9;
const SUM_TOLERANCE: f64 = 0.005;
/// Below this a sum is off by the rounding of a printed table, not by an edit.
const ROUNDING: f64 = 1e-5;

impl LevelTable {
    /// Brings every row, and the overall shares, to a sum of 1; returns a note for each that was off by more than rounding.
    ///
    /// # Errors
    /// [`LevelTableError`] where a share is negative or a sum is off by more than 0.005.
    pub fn normalise(&mut self, axis: Axis) -> Result<Vec<String>, LevelTableError> {
        let mut notes = Vec::new();
        let clue = self.clue.clone();
        let places = (0..self.rows.len()).map(|row| axis.row_years(row)).map(|(from, to)| format!("row {from}-{to}"));
        let rows = places.zip(self.rows.iter_mut().map(|row| &mut row.shares));
        for (place, shares) in rows.chain(std::iter::once(("overall".to_owned(), &mut self.overall))) {
            if let Some(&value) = shares.iter().find(|s| !(s.is_finite() && **s >= 0.0)) {
                return Err(LevelTableError::Share { clue, place, value });
            }
            let sum: f64 = shares.iter().sum();
            if (sum - 1.0).abs() > SUM_TOLERANCE {
                return Err(LevelTableError::Sum { clue, place, sum });
            }
            if (sum - 1.0).abs() > ROUNDING {
                notes.push(format!("{clue}, {place}: shares summed to {sum:.4} and were brought to 1"));
            }
            bring_to_one(shares);
        }
        Ok(notes)
    }

    /// Probability of a reading at each row: (1 - e) P + e q, summed over the levels it names.
    #[must_use]
    pub fn likelihood_rows(&self, reading: &Reading) -> Vec<f64> {
        let (right, wrong) = self.cases(reading);
        right.iter().map(|r| r + wrong).collect()
    }

    /// The two cases at each row: read right, (1 - e) P, by row; and misread, e q, the same in all rows.
    pub(crate) fn cases(&self, reading: &Reading) -> (Vec<f64>, f64) {
        let Seen::Levels(levels) = &reading.seen else {
            return (vec![0.0; self.rows.len()], 1.0);
        };
        let misread = misread_of(self.misread, reading);
        let right =
            self.rows.iter().map(|row| (1.0 - misread) * levels.iter().map(|&k| row.shares[k]).sum::<f64>()).collect();
        (right, misread * levels.iter().map(|&k| self.overall[k]).sum::<f64>())
    }
}

fn bring_to_one(shares: &mut [f64]) {
    for share in shares.iter_mut() {
        *share = share.max(LEAST_SHARE);
    }
    let sum: f64 = shares.iter().sum();
    for share in shares.iter_mut() {
        *share /= sum;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(shares: Vec<f64>) -> LevelTable {
        LevelTable {
            clue: "pin".into(),
            clubs: 10,
            bandwidth: 10.0,
            misread: 0.1,
            weight: 1.0,
            overall: vec![0.5, 0.5],
            rows: vec![LevelRow { clubs: 3.0, shares: shares.clone() }, LevelRow { clubs: 3.0, shares }],
        }
    }

    fn axis() -> Axis {
        Axis::new(1850, 1870, 10).unwrap()
    }

    #[test]
    fn shares_off_by_rounding_pass_an_edit_is_noted_and_nonsense_is_refused() {
        assert!(table(vec![0.300_001, 0.7]).normalise(axis()).unwrap().is_empty());
        let mut edited = table(vec![0.302, 0.7]);
        assert_eq!(edited.normalise(axis()).unwrap().len(), 2);
        assert!((edited.rows[0].shares.iter().sum::<f64>() - 1.0).abs() < 1e-15);
        assert!(matches!(table(vec![0.31, 0.7]).normalise(axis()), Err(LevelTableError::Sum { .. })));
        assert!(matches!(table(vec![-0.1, 1.1]).normalise(axis()), Err(LevelTableError::Share { .. })));
        assert!(matches!(table(vec![f64::NAN, 1.0]).normalise(axis()), Err(LevelTableError::Share { .. })));
    }

    #[test]
    fn a_reading_of_either_level_is_certain_and_a_misreading_looks_like_the_rest() {
        let mut table = table(vec![0.2, 0.8]);
        table.normalise(axis()).unwrap();
        let reading =
            |levels: Vec<usize>, doubtful| Reading { text: String::new(), seen: Seen::Levels(levels), doubtful };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} is not {b}");
        near(table.likelihood_rows(&reading(vec![0, 1], false))[0], 1.0);
        near(table.likelihood_rows(&reading(vec![0], false))[0], 0.9 * 0.2 + 0.1 * 0.5);
        near(table.likelihood_rows(&reading(vec![0], true))[0], 0.7 * 0.2 + 0.3 * 0.5);
    }
}
