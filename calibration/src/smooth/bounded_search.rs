//! Least values of smooth functions in a box.

/// Pairs of steps and changes of slope that are remembered.
const MEMORY: usize = 10;
/// Share of the slope that a step must bring.
const ENOUGH: f64 = 1e-4;
const MOST_HALVINGS: usize = 40;

/// What a search ends with.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Found {
    /// Where.
    pub at: Vec<f64>,
    /// The value there.
    pub value: f64,
}

/// How long a search goes on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Patience {
    pub steps: usize,
    /// A projected slope below this has arrived.
    pub slope: f64,
    /// So has a step that brings less than this share of the value.
    pub gain: f64,
}

/// Least value of a function that gives its value and slopes, from a start in the box `bounds`.
///
/// Limited-memory quasi-Newton steps (J. Nocedal, Updating quasi-Newton matrices with limited storage, 1980) in the
/// places that are not held at a bound, projected to the box and halved until the value falls enough (D. P. Bertsekas,
/// Projected Newton methods for optimization problems with simple constraints, 1982; both from memory).
pub(crate) fn least_in_box(
    start: &[f64],
    bounds: &[[f64; 2]],
    patience: Patience,
    function: impl Fn(&[f64]) -> (f64, Vec<f64>),
) -> Found {
    let into_box = |at: Vec<f64>| -> Vec<f64> {
        at.into_iter().zip(bounds).map(|(x, [low, high])| x.clamp(*low, *high)).collect()
    };
    let mut at = into_box(start.to_vec());
    let (mut value, mut slope) = function(&at);
    let mut memory: Vec<(Vec<f64>, Vec<f64>)> = Vec::new();
    for _ in 0..patience.steps {
        let is_held: Vec<bool> = (0..at.len())
            .map(|k| (at[k] <= bounds[k][0] && slope[k] > 0.0) || (at[k] >= bounds[k][1] && slope[k] < 0.0))
            .collect();
        let free: Vec<f64> = slope.iter().zip(&is_held).map(|(s, held)| if *held { 0.0 } else { *s }).collect();
        if free.iter().fold(0.0_f64, |most, s| most.max(s.abs())) < patience.slope {
            break;
        }
        let mut direction = quasi_newton(&free, &memory, &is_held);
        if dot(&direction, &free) >= 0.0 {
            memory.clear();
            direction = free.iter().map(|s| -s).collect();
        }
        // Nothing is known of the curvature yet: a short step.
        let mut length = if memory.is_empty() { (1.0 / dot(&free, &free).sqrt()).min(1.0) } else { 1.0 };
        let mut next = None;
        for _ in 0..MOST_HALVINGS {
            let tried = into_box(at.iter().zip(&direction).map(|(x, d)| x + length * d).collect());
            let step: Vec<f64> = tried.iter().zip(&at).map(|(a, b)| a - b).collect();
            let (tried_value, tried_slope) = function(&tried);
            if tried_value <= value + ENOUGH * dot(&slope, &step) && tried_value.is_finite() {
                next = Some((tried, step, tried_value, tried_slope));
                break;
            }
            length *= 0.5;
        }
        let Some((tried, step, tried_value, tried_slope)) = next else { break };
        let change: Vec<f64> = tried_slope.iter().zip(&slope).map(|(a, b)| a - b).collect();
        if dot(&step, &change) > 1e-12 * dot(&change, &change) {
            memory.push((step, change));
            if memory.len() > MEMORY {
                memory.remove(0);
            }
        }
        let gain = value - tried_value;
        (at, value, slope) = (tried, tried_value, tried_slope);
        if gain <= patience.gain * value.abs().max(1.0) {
            break;
        }
    }
    Found { at, value }
}

/// Minus the inverse curvature times the slope, from the steps remembered, in the places that are not held.
fn quasi_newton(slope: &[f64], memory: &[(Vec<f64>, Vec<f64>)], is_held: &[bool]) -> Vec<f64> {
    let free = |values: &[f64]| -> Vec<f64> {
        values.iter().zip(is_held).map(|(v, held)| if *held { 0.0 } else { *v }).collect()
    };
    let pairs: Vec<(Vec<f64>, Vec<f64>)> =
        memory.iter().map(|(step, change)| (free(step), free(change))).filter(|(s, y)| dot(s, y) > 0.0).collect();
    let mut left = slope.to_vec();
    let mut shares = Vec::new();
    for (step, change) in pairs.iter().rev() {
        let share = dot(step, &left) / dot(step, change);
        left.iter_mut().zip(change).for_each(|(value, y)| *value -= share * y);
        shares.push(share);
    }
    if let Some((step, change)) = pairs.last() {
        let scale = dot(step, change) / dot(change, change);
        left.iter_mut().for_each(|value| *value *= scale);
    }
    for ((step, change), share) in pairs.iter().zip(shares.iter().rev()) {
        let back = share - dot(change, &left) / dot(step, change);
        left.iter_mut().zip(step).for_each(|(value, s)| *value += back * s);
    }
    left.iter().map(|value| -value).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATIENT: Patience = Patience { steps: 200, slope: 1e-9, gain: 0.0 };

    /// H. H. Rosenbrock's valley, 1960 (from memory): least at (1, 1); below a bound of 0.5 for x, at (0.5, 0.25).
    #[test]
    fn a_curved_valley_is_followed_to_its_end_or_to_the_wall() {
        let valley = |x: &[f64]| {
            let (a, b) = (1.0 - x[0], x[1] - x[0] * x[0]);
            (a * a + 100.0 * b * b, vec![-2.0 * a - 400.0 * x[0] * b, 200.0 * b])
        };
        for (most, want) in [(2.0, [1.0, 1.0]), (0.5, [0.5, 0.25])] {
            let found = least_in_box(&[-1.2, 1.0], &[[-2.0, most], [-2.0, 2.0]], PATIENT, valley);
            assert!(found.at.iter().zip(want).all(|(got, want)| (got - want).abs() < 1e-6), "{found:?}");
        }
    }

    /// A bowl with its least outside of the box: each place by itself, at its bound or at its own least.
    #[test]
    fn places_are_held_at_their_bounds() {
        let centre = [0.3, -5.0, 9.0];
        let bowl = |x: &[f64]| {
            let off: Vec<f64> = x.iter().zip(centre).map(|(x, c)| x - c).collect();
            (off.iter().map(|o| o * o).sum(), off.iter().map(|o| 2.0 * o).collect())
        };
        let found = least_in_box(&[0.9, 0.5, 0.5], &[[0.0, 1.0]; 3], PATIENT, bowl);
        assert!(found.at.iter().zip([0.3, 0.0, 1.0]).all(|(got, want)| (got - want).abs() < 1e-8), "{found:?}");
        assert!((found.value - (25.0 + 64.0)).abs() < 1e-8);
    }
}
