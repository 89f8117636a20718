//! A line that a few wrong points cannot move.

use crate::smooth::line::Line;

/// Median of some values (mean of the middle two for an even number); `None` for no value.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    match n {
        0 => None,
        _ if n % 2 == 1 => Some(sorted[n / 2]),
        _ => Some(f64::midpoint(sorted[n / 2 - 1], sorted[n / 2])),
    }
}

/// Theil-Sen line through (place, value) points: the median of the slopes of all pairs at different places, and the
/// median of what is left; level where all places are one. `None` for no point.
///
/// Source: P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, 1968 (from memory).
/// ```
/// use agewright_calibration::smooth::theil_sen::theil_sen;
///
/// // One wild point of five moves neither slope nor height.
/// let line = theil_sen(&[(0.0, 1.0), (1.0, 3.0), (2.0, 500.0), (3.0, 7.0), (4.0, 9.0)]).unwrap();
/// assert!((line.slope - 2.0).abs() < 1e-12 && (line.at(10.0) - 21.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn theil_sen(points: &[(f64, f64)]) -> Option<Line> {
    let mut slopes = Vec::with_capacity(points.len() * points.len() / 2);
    for (i, (x, y)) in points.iter().enumerate() {
        for (other_x, other_y) in &points[i + 1..] {
            let run = other_x - x;
            if run.abs() > 1e-9 {
                slopes.push((other_y - y) / run);
            }
        }
    }
    let slope = middle(&mut slopes).unwrap_or(0.0);
    let rest: Vec<f64> = points.iter().map(|(x, y)| y - slope * x).collect();
    Some(Line { at_zero: median(&rest)?, slope })
}

/// Median of many values by selection, in linear time.
fn middle(values: &mut [f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    let half = values.len() / 2;
    let (below, &mut upper, _) = values.select_nth_unstable_by(half, f64::total_cmp);
    if below.len() < half || values.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = values[..half].iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some(f64::midpoint(lower, upper))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slope_is_the_median_of_all_slopes() {
        // Slopes of the six pairs: 1, 1, 1, 3, 4, 6: their median 2; what is left of each: 0, -1, -2, 4.
        let line = theil_sen(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (3.0, 8.999_999_999)]).unwrap();
        assert!((line.slope - 2.0).abs() < 1e-8 && (line.at_zero + 0.5).abs() < 1e-8, "{line:?}");
    }

    #[test]
    fn a_wild_point_moves_nothing_and_one_place_is_level() {
        let mut points: Vec<(f64, f64)> = (0..21).map(|n| (f64::from(n), 5.0 - 0.25 * f64::from(n))).collect();
        points[4].1 = 1e6;
        let line = theil_sen(&points).unwrap();
        assert!((line.slope + 0.25).abs() < 1e-12 && (line.at_zero - 5.0).abs() < 1e-12);
        let level = theil_sen(&[(2.0, 1.0), (2.0, 9.0), (2.0, 3.0)]).unwrap();
        assert!(level.slope == 0.0 && (level.at_zero - 3.0).abs() < 1e-12);
        assert!(theil_sen(&[]).is_none());
    }

    #[test]
    fn medians_of_odd_and_even_counts() {
        assert_eq!(median(&[5.0, 1.0, 3.0]), Some(3.0));
        assert_eq!(median(&[5.0, 1.0, 3.0, 4.0]), Some(3.5));
        assert_eq!(median(&[]), None);
        assert_eq!(middle(&mut [9.0, 1.0, 7.0, 3.0]), Some(5.0));
    }
}
