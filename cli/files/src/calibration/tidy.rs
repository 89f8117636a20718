//! Numbers as a calibration file has them: to six digits, shares summing to 1.

use agewright_model::Clue;
use indexmap::IndexMap;

/// A number to six significant digits.
pub fn tidy(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// Numbers to six significant digits.
pub fn tidy_each(values: impl Iterator<Item = f64>) -> Vec<f64> {
    values.map(tidy).collect()
}

/// Numbers to six significant digits.
pub fn tidy_all(values: &[f64]) -> Vec<f64> {
    tidy_each(values.iter().copied())
}

/// Numbers to six significant digits, by level id in catalogue order.
pub fn by_level(clue: &Clue, values: impl Iterator<Item = f64>) -> IndexMap<String, f64> {
    clue.levels.iter().map(|level| level.id.clone()).zip(values.map(tidy)).collect()
}

/// Shares to six significant digits, by level id in catalogue order; the largest takes the rounding, so that the sum is
/// 1.
pub fn tidy_shares(clue: &Clue, shares: &[f64]) -> IndexMap<String, f64> {
    let mut tidied: Vec<f64> = shares.iter().map(|share| tidy(*share)).collect();
    let largest = (0..tidied.len()).max_by(|a, b| tidied[*a].total_cmp(&tidied[*b])).unwrap_or(0);
    let others: f64 = tidied.iter().enumerate().filter(|(k, _)| *k != largest).map(|(_, share)| share).sum();
    tidied[largest] = ((1.0 - others) * 1e9).round() / 1e9;
    clue.levels.iter().map(|level| level.id.clone()).zip(tidied).collect()
}
