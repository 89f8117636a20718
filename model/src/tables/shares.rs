//! Shares that sum to 1, and what is told of those that do not.

use std::fmt;
use thiserror::Error;

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

/// Brings shares to a sum of 1, each at or above the least; `Some` where they were off by more than rounding.
///
/// # Errors
/// [`SharesError`] where a share is negative or the sum is off by more than 0.005.
pub(crate) fn normalise(clue: &str, years: RowName, shares: &mut [f64]) -> Result<Option<SharesMoved>, SharesError> {
    let clue = || clue.to_owned();
    if let Some(&value) = shares.iter().find(|s| !(s.is_finite() && **s >= 0.0)) {
        return Err(SharesError::Share { clue: clue(), years, value });
    }
    let sum: f64 = shares.iter().sum();
    if (sum - 1.0).abs() > SUM_TOLERANCE {
        return Err(SharesError::Sum { clue: clue(), years, sum });
    }
    bring_to_one(shares, sum);
    Ok(((sum - 1.0).abs() > ROUNDING).then(|| SharesMoved { clue: clue(), years, sum }))
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

    fn one(shares: &mut [f64]) -> Result<Option<SharesMoved>, SharesError> {
        normalise("pin", RowName::Overall, shares)
    }

    #[test]
    fn shares_off_by_rounding_pass_an_edit_is_noted_and_nonsense_is_refused() {
        assert_eq!(one(&mut [0.300_001, 0.7]), Ok(None));
        let mut edited = [0.302, 0.7];
        assert!(one(&mut edited).unwrap().is_some_and(|moved| (moved.sum - 1.002).abs() < 1e-12));
        assert!((edited.iter().sum::<f64>() - 1.0).abs() < 1e-15);
        let once = edited;
        assert!(
            one(&mut edited) == Ok(None) && edited.map(f64::to_bits) == once.map(f64::to_bits),
            "twice is once, to the bit"
        );
        assert!(matches!(one(&mut [0.31, 0.7]), Err(SharesError::Sum { .. })));
        assert!(matches!(one(&mut [-0.1, 1.1]), Err(SharesError::Share { .. })));
        assert!(matches!(one(&mut [f64::NAN, 1.0]), Err(SharesError::Share { .. })));
    }
}
