//! Sums of many normal kernels of one width over runs of a line, by way of a fine grid.

use crate::numbers::normal::{normal_below, normal_density};

/// Widths that a kernel reaches to on either side: beyond, less than 1e-16 of it is left.
const REACH: f64 = 8.3;
/// Points about a place, at the most.
const MOST_SPREAD: usize = 10;

/// Kernels of one width, cut at the edges of the line's runs.
///
/// A kernel at a place between grid points is put together from those at the points about it (Lagrange's polynomial
/// through them), so that a sum over kernels is a sum over places and one product with a fixed matrix.
#[derive(Debug, Clone, PartialEq)]
pub struct NormalSums {
    first: f64,
    /// Points to a unit of the line.
    density: f64,
    n_points: usize,
    n_runs: usize,
    /// Of Lagrange's polynomials through the points about a place.
    denominators: Vec<f64>,
    /// For each grid point: the first run that its kernel reaches, and its share in each from there on.
    kernels: Vec<(usize, Vec<f64>)>,
}

/// How finely kernels are summed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fineness {
    /// To better than 1e-9: eight points to a width, ten about each place.
    Exact,
    /// Within a thousandth of a kernel's height: three points to a width, four about each place.
    Quick,
}

impl Fineness {
    fn points_to_a_width(self) -> f64 {
        if self == Self::Exact { 8.0 } else { 3.0 }
    }

    fn spread(self) -> usize {
        if self == Self::Exact { 10 } else { 4 }
    }

    fn reach(self) -> f64 {
        if self == Self::Exact { REACH } else { 4.5 }
    }
}

impl NormalSums {
    /// Kernels of a width over the runs between rising edges; the first and the last run take the tails.
    #[must_use]
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a grid")]
    pub fn new(edges: &[f64], width: f64, fineness: Fineness) -> Self {
        let n_runs = edges.len() - 1;
        let inner = &edges[1..n_runs.max(1)];
        let (low, high) = (inner.first().copied().unwrap_or(0.0), inner.last().copied().unwrap_or(0.0));
        let spacing = width / fineness.points_to_a_width();
        let spread = fineness.spread();
        // More points than the reach on either side, for places at its end.
        let margin = REACH * width + spread as f64 * spacing;
        let first = low - margin;
        let n_points = ((high + margin - first) / spacing).ceil() as usize + 1;
        let reach = fineness.reach() * width;
        let table = BelowTable::new();
        // Edges that a kernel cuts; of the runs below and above them it has nothing.
        let kernel = |k: usize| {
            let place = first + k as f64 * spacing;
            let low = inner.partition_point(|edge| *edge < place - reach);
            let high = inner.partition_point(|edge| *edge <= place + reach);
            let mut below = 0.0;
            let mut shares = Vec::with_capacity(high - low + 1);
            for edge in &inner[low..high] {
                let next = table.below((edge - place) / width);
                shares.push(next - below);
                below = next;
            }
            shares.push(1.0 - below);
            (low, shares)
        };
        let kernels = (0..n_points).map(kernel).collect();
        Self { first, density: spacing.recip(), n_points, n_runs, denominators: denominators(spread), kernels }
    }

    /// Room for the weights of the grid's points, all 0.
    #[must_use]
    pub fn room(&self) -> Vec<f64> {
        vec![0.0; self.n_points]
    }

    /// Adds a kernel of a weight at a place to the weights of the grid's points.
    #[inline]
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a grid")]
    pub fn add(&self, points: &mut [f64], place: f64, weight: f64) {
        let spread = self.denominators.len();
        let before = spread / 2 - 1;
        let last = (self.n_points - spread / 2 - 1) as f64;
        let at = ((place - self.first) * self.density).clamp(before as f64, last);
        let low = at as usize;
        let t = at - low as f64;
        let own = &mut points[low - before..low - before + spread];
        if let [a, b, c, d] = own {
            let (inner, outer) = (t * (t - 1.0), (t + 1.0) * (t - 2.0));
            let (half, sixth) = (0.5 * weight * outer, weight * inner * (1.0 / 6.0));
            *a -= sixth * (t - 2.0);
            *b += half * (t - 1.0);
            *c -= half * t;
            *d += sixth * (t + 1.0);
            return;
        }
        // Products of the distances to the points before each, then those behind.
        let mut product = weight;
        let mut before_each = [0.0; MOST_SPREAD];
        for (j, value) in before_each.iter_mut().enumerate().take(spread) {
            *value = product;
            product *= t + before as f64 - j as f64;
        }
        let mut behind = 1.0;
        for j in (0..spread).rev() {
            own[j] += before_each[j] * behind * self.denominators[j];
            behind *= t + before as f64 - j as f64;
        }
    }

    /// Sum over the kernels of weight times what lies in each run.
    pub fn over_runs(&self, points: &[f64], into: &mut [f64]) {
        into[..self.n_runs].fill(0.0);
        for (weight, (from, shares)) in points.iter().zip(&self.kernels).filter(|(weight, _)| **weight != 0.0) {
            for (sum, share) in into[*from..].iter_mut().zip(shares) {
                *sum += weight * share;
            }
        }
    }
}

/// 1/product of (j - m) over the other points m, for each of so many points j.
#[expect(clippy::cast_precision_loss, reason = "a few points")]
fn denominators(spread: usize) -> Vec<f64> {
    let of = |j: usize| (0..spread).filter(|m| *m != j).map(|m| j as f64 - m as f64).product::<f64>().recip();
    (0..spread).map(of).collect()
}

/// Phi(x) between its values and slopes at places 1/128 apart: a cubic through both is within 2e-11.
struct BelowTable {
    nodes: Vec<[f64; 2]>,
}

const NODES_TO_ONE: f64 = 128.0;

impl BelowTable {
    fn new() -> Self {
        let n = 2 * 8 * 128 + 2 * 40;
        let node = |k: i32| {
            let x = f64::from(k) / NODES_TO_ONE - REACH;
            [normal_below(x), normal_density(x) / NODES_TO_ONE]
        };
        Self { nodes: (0..=n).map(node).collect() }
    }

    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a table")]
    fn below(&self, x: f64) -> f64 {
        let at = ((x + REACH) * NODES_TO_ONE).clamp(0.0, (self.nodes.len() - 2) as f64);
        let low = at as usize;
        let t = at - low as f64;
        let ([a, slope_a], [b, slope_b]) = (self.nodes[low], self.nodes[low + 1]);
        let s = 1.0 - t;
        a * s * s * (1.0 + 2.0 * t) + slope_a * t * s * s + b * t * t * (3.0 - 2.0 * t) - slope_b * t * t * s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn direct(edges: &[f64], width: f64, kernels: &[(f64, f64)]) -> Vec<f64> {
        let n = edges.len() - 1;
        let below = |edge: usize, place: f64| match edge {
            0 => 0.0,
            edge if edge == n => 1.0,
            edge => normal_below((edges[edge] - place) / width),
        };
        let run = |run: usize| kernels.iter().map(|(place, w)| w * (below(run + 1, *place) - below(run, *place))).sum();
        (0..n).map(run).collect()
    }

    /// Against the sum of the kernels themselves, near and far from the grid's points and beyond its ends.
    #[test]
    fn sums_on_the_grid_are_those_of_the_kernels() {
        let edges: Vec<f64> = (0..=60).map(|k| -6.0 + 0.2 * f64::from(k)).collect();
        let kernels: Vec<(f64, f64)> =
            (0..80).map(|k| (-9.0 + 0.229 * f64::from(k), 0.01 + f64::from(k * 7 % 11) / 200.0)).collect();
        for width in [0.06, 0.13, 0.35, 0.9] {
            let want = direct(&edges, width, &kernels);
            for (fineness, within) in [(Fineness::Exact, 1e-9), (Fineness::Quick, 2e-4)] {
                let sums = NormalSums::new(&edges, width, fineness);
                let (mut points, mut got) = (sums.room(), vec![0.0; 60]);
                kernels.iter().for_each(|(place, weight)| sums.add(&mut points, *place, *weight));
                sums.over_runs(&points, &mut got);
                for (run, (got, want)) in got.iter().zip(&want).enumerate() {
                    assert!((got - want).abs() < within, "{fineness:?} {width}, run {run}: {got} and {want}");
                }
            }
        }
    }
}
