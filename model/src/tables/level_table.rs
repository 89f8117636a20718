//! What a level clue looks like through time.

use crate::numbers::axis::Axis;
use crate::reading::cell::{Reading, Seen};
use crate::reading::misread::misread_of;
use std::fmt;
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
    /// Exponent of the clue in the posterior, 0 to 1.2.
    pub weight: f64,
    /// Share of each level over all years: what a misreading looks like.
    pub overall: Vec<f64>,
    /// One row for every `step` years.
    pub rows: Vec<LevelRow>,
}

/// Shares that an edit had moved off a sum of 1, and that were brought back to it.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{clue}, {years}: shares summed to {sum:.4} and were brought to 1")]
pub struct SharesMoved {
    /// The clue's id.
    pub clue: String,
    /// The row.
    pub years: RowName,
    /// Their sum.
    pub sum: f64,
}

/// Which shares of a table are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowName {
    /// Those of a row, by its place and its first and last year.
    Row(usize, i32, i32),
    /// Those over all years.
    Overall,
}

impl fmt::Display for RowName {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Row(_, from, to) => write!(out, "row {from}-{to}"),
            Self::Overall => write!(out, "overall"),
        }
    }
}

/// Why shares are refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum SharesError {
    /// A share is negative or not a number.
    #[error("{clue}, {years}: share {value} is not a number of 0 or more")]
    Share {
        /// The clue's id.
        clue: String,
        /// The row.
        years: RowName,
        /// The share.
        value: f64,
    },
    /// Shares do not sum to 1 within 0.005.
    #[error("{clue}, {years}: the shares sum to {sum}; they must sum to 1 within 0.005")]
    Sum {
        /// The clue's id.
        clue: String,
        /// The row.
        years: RowName,
        /// Their sum.
        sum: f64,
    },
}

impl SharesError {
    /// The row concerned.
    #[must_use]
    pub fn years(&self) -> RowName {
        match self {
            Self::Share { years, .. } | Self::Sum { years, .. } => *years,
        }
    }
}

/// Shares are kept at or above this, so that no one level can veto a year.
const LEAST_SHARE: f64 = 1e-9;
const SUM_TOLERANCE: f64 = 0.005;
/// Below this a sum is off by the rounding of a printed table, not by an edit.
const ROUNDING: f64 = 1e-5;
/// Below this a sum is off by the computer's arithmetic.
const ARITHMETIC: f64 = 1e-12;

impl LevelTable {
    /// Brings every row, and the overall shares, to a sum of 1; returns those that were off by more than rounding.
    ///
    /// # Errors
    /// [`SharesError`] where a share is negative or a sum is off by more than 0.005.
    pub(crate) fn normalise(&mut self, axis: Axis) -> Result<Vec<SharesMoved>, SharesError> {
        let mut moved = Vec::new();
        let clue = self.clue.clone();
        let rows = self.rows.iter_mut().enumerate().map(|(row, shares)| {
            let (from, to) = axis.row_years(row);
            (RowName::Row(row, from, to), &mut shares.shares)
        });
        for (years, shares) in rows.chain(std::iter::once((RowName::Overall, &mut self.overall))) {
            if let Some(&value) = shares.iter().find(|s| !(s.is_finite() && **s >= 0.0)) {
                return Err(SharesError::Share { clue, years, value });
            }
            let sum: f64 = shares.iter().sum();
            if (sum - 1.0).abs() > SUM_TOLERANCE {
                return Err(SharesError::Sum { clue, years, sum });
            }
            if (sum - 1.0).abs() > ROUNDING {
                moved.push(SharesMoved { clue: clue.clone(), years, sum });
            }
            bring_to_one(shares, sum);
        }
        Ok(moved)
    }

    /// Probability of a reading at each row: (1 - e) P + e q, summed over the levels it names; e the clue's chance of
    /// misreading, more for a doubtful reading.
    #[must_use]
    pub fn likelihood_rows(&self, misread: f64, reading: &Reading) -> Vec<f64> {
        let (right, wrong) = self.cases(misread, reading);
        right.iter().map(|r| r + wrong).collect()
    }

    /// The two cases at each row: read right, (1 - e) P, by row; and misread, e q, the same in all rows.
    pub(crate) fn cases(&self, misread: f64, reading: &Reading) -> (Vec<f64>, f64) {
        let Seen::Levels(levels) = &reading.seen else {
            return (vec![0.0; self.rows.len()], 1.0);
        };
        let misread = misread_of(misread, reading);
        let share = |shares: &[f64]| levels.iter().map(|&k| shares[k]).sum::<f64>();
        let right = self.rows.iter().map(|row| (1.0 - misread) * share(&row.shares)).collect();
        (right, misread * share(&self.overall))
    }
}

/// Shares that are brought to one already keep every bit: to be checked twice changes nothing.
fn bring_to_one(shares: &mut [f64], sum: f64) {
    if (sum - 1.0).abs() < ARITHMETIC && shares.iter().all(|share| *share >= LEAST_SHARE * (1.0 - ARITHMETIC)) {
        return;
    }
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
        let once = edited.clone();
        assert!(edited.normalise(axis()).unwrap().is_empty() && edited == once, "twice is once, to the bit");
        assert!(matches!(table(vec![0.31, 0.7]).normalise(axis()), Err(SharesError::Sum { .. })));
        assert!(matches!(table(vec![-0.1, 1.1]).normalise(axis()), Err(SharesError::Share { .. })));
        assert!(matches!(table(vec![f64::NAN, 1.0]).normalise(axis()), Err(SharesError::Share { .. })));
    }

    /// A level never seen in a row is unlikely there, and no veto.
    #[test]
    fn no_share_is_nothing() {
        let mut table = table(vec![0.0, 1.0]);
        assert!(table.normalise(axis()).unwrap().is_empty());
        assert!(table.rows[0].shares[0] > 0.0 && table.rows[0].shares[0] < 1e-8);
        let reading = Reading { text: String::new(), seen: Seen::Levels(vec![0]), doubtful: false };
        assert!(table.likelihood_rows(0.0, &reading)[0].ln().is_finite());
    }

    #[test]
    fn a_reading_of_either_level_is_certain_and_a_misreading_looks_like_the_rest() {
        let mut table = table(vec![0.2, 0.8]);
        table.normalise(axis()).unwrap();
        let reading =
            |levels: Vec<usize>, doubtful| Reading { text: String::new(), seen: Seen::Levels(levels), doubtful };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} is not {b}");
        near(table.likelihood_rows(0.1, &reading(vec![0, 1], false))[0], 1.0);
        near(table.likelihood_rows(0.1, &reading(vec![0], false))[0], 0.9 * 0.2 + 0.1 * 0.5);
        near(table.likelihood_rows(0.1, &reading(vec![0], true))[0], 0.7 * 0.2 + 0.3 * 0.5);
    }
}
