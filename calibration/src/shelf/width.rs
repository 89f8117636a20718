//! The least width of a vote: it must not chase dates that are heaped on round years.

use crate::shelf::side_by_side::MiddleDate;
use std::collections::BTreeMap;

/// Widths that are tried above the least one.
const WIDTHS: [f64; 8] = [0.06, 0.09, 0.13, 0.18, 0.25, 0.35, 0.5, 0.7];
/// No vote is wider.
pub(crate) const MOST_WIDTH: f64 = 0.9;

/// 0.13 min(1.4, max(1, 90/n)) min(1, (200/n)^(1/3)), and at least the heaping of the dates: the mean over clubs of
/// dz max(0, 1 - m/dy), dz and dy the distances in z and in years to the nearest other date and m the years of the
/// club's own, over which its vote is spread already. 0 where every year is used; a five's width where all dates are in
/// fives. At most 0.9.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
pub(crate) fn least_width(dates: &[MiddleDate]) -> f64 {
    let n = dates.len() as f64;
    let by_number = 0.13 * (90.0 / n).clamp(1.0, 1.4) * (200.0 / n).cbrt().min(1.0);
    by_number.max(heaping(dates)).min(MOST_WIDTH)
}

#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn heaping(dates: &[MiddleDate]) -> f64 {
    let by_year: BTreeMap<i32, f64> = dates.iter().map(|date| (date.year, date.z)).collect();
    if by_year.len() < 2 {
        return 0.0;
    }
    let of = |date: &MiddleDate| {
        let before = by_year.range(..date.year).next_back();
        let after = by_year.range(date.year + 1..).next();
        let gaps = || before.into_iter().chain(after);
        let dz = gaps().map(|(_, z)| (z - date.z).abs()).fold(f64::INFINITY, f64::min);
        let dy = gaps().map(|(year, _)| f64::from((year - date.year).abs())).fold(f64::INFINITY, f64::min);
        dz * (1.0 - f64::from(date.n_years) / dy).max(0.0)
    };
    dates.iter().map(of).sum::<f64>() / dates.len() as f64
}

/// The least width and those above it.
pub(crate) fn widths(least: f64) -> Vec<f64> {
    std::iter::once(least).chain(WIDTHS.into_iter().filter(|width| *width > 1.01 * least)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Dates of so many years, so far apart, a hundredth of z to a year.
    fn dates(n: i32, apart: i32, n_years: i32) -> Vec<MiddleDate> {
        (0..n).map(|k| MiddleDate { year: apart * k, z: 0.01 * f64::from(apart * k), n_years }).collect()
    }

    #[test]
    fn dates_on_round_years_keep_votes_as_wide_as_their_gaps() {
        // 0.13 from 90 to 200 clubs; 1.4 times that of few, and narrower with the third root of many.
        assert!((least_width(&dates(100, 1, 1)) - 0.13).abs() < 1e-12);
        assert!((least_width(&dates(20, 1, 1)) - 1.4 * 0.13).abs() < 1e-12);
        assert!((least_width(&dates(1600, 1, 1)) - 0.065).abs() < 1e-12);
        // All in thirties: 0.3 (1 - 1/30); with a date of thirty years each, the votes are spread over them already.
        assert!((least_width(&dates(100, 30, 1)) - 0.29).abs() < 1e-12);
        assert!((least_width(&dates(100, 30, 15)) - 0.15).abs() < 1e-12);
        assert!((least_width(&dates(100, 30, 30)) - 0.13).abs() < 1e-12);
        // However far apart, a vote is not wider than what it votes on; one date alone is no heap.
        assert!((least_width(&dates(100, 500, 1)) - MOST_WIDTH).abs() < 1e-12);
        assert!((least_width(&vec![dates(1, 1, 1)[0]; 100]) - 0.13).abs() < 1e-12);
        assert_eq!(widths(0.2), [0.2, 0.25, 0.35, 0.5, 0.7]);
    }
}
