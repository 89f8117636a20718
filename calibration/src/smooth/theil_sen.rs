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
