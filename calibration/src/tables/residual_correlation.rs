//! Correlation of the residuals of measured clues, shrunk until it is safe to use.

use nalgebra::{DMatrix, SymmetricEigen};
use std::collections::BTreeMap;

/// Eigenvalues are kept at or above this, so that no combination of measures is taken as known exactly.
const LEAST_EIGENVALUE: f64 = 0.05;

/// Without shrinkage eigenvalues are kept clear of rounding only.
const ROUNDING: f64 = 1e-9;

/// Whether a correlation is drawn to its target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shrinkage {
    /// As the model has it.
    On,
    /// As the sample has it.
    Off,
}

/// Correlation of residuals, from pairs where both are known: (r_jk N_jk + t_jk p)/(N_jk + p) with t the target (0, or
/// what a rule expects), eigenvalues floored at 0.05, rescaled to a unit diagonal; p the number of clues.
///
/// `residuals[j]` holds (club, residual) for clue j; `worth` gives the weight of a pair of clues on a club. The result
/// is symmetric and positive definite.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "clues are few")]
pub fn shrunk_correlation(
    residuals: &[Vec<(usize, f64)>],
    worth: impl Fn(usize, usize, usize) -> f64,
    target: impl Fn(usize, usize) -> f64,
    shrinkage: Shrinkage,
) -> Vec<Vec<f64>> {
    let p = residuals.len();
    let by_club: Vec<BTreeMap<usize, f64>> = residuals.iter().map(|r| r.iter().copied().collect()).collect();
    let mut matrix = DMatrix::<f64>::identity(p, p);
    for j in 0..p {
        for k in 0..j {
            let (mut jj, mut kk, mut jk, mut pairs) = (0.0, 0.0, 0.0, 0.0);
            for (club, a) in &by_club[j] {
                let Some(b) = by_club[k].get(club) else { continue };
                let w = worth(j, k, *club);
                jj += w * a * a;
                kk += w * b * b;
                jk += w * a * b;
                pairs += w;
            }
            let scale = (jj * kk).sqrt();
            let r = if scale > 0.0 { (jk / scale).clamp(-1.0, 1.0) } else { 0.0 };
            let pull = if shrinkage == Shrinkage::On { p as f64 } else { 0.0 };
            let shrunk = if pairs + pull > 0.0 { (r * pairs + target(j, k) * pull) / (pairs + pull) } else { 0.0 };
            matrix[(j, k)] = shrunk;
            matrix[(k, j)] = shrunk;
        }
    }
    floored(&matrix, if shrinkage == Shrinkage::On { LEAST_EIGENVALUE } else { ROUNDING })
}

fn floored(matrix: &DMatrix<f64>, least: f64) -> Vec<Vec<f64>> {
    let p = matrix.nrows();
    let eigen = SymmetricEigen::new(matrix.clone());
    let values = eigen.eigenvalues.map(|v| v.max(least));
    let raised = &eigen.eigenvectors * DMatrix::from_diagonal(&values) * eigen.eigenvectors.transpose();
    let at = |i: usize, j: usize| {
        if i == j { 1.0 } else { 0.5 * (raised[(i, j)] + raised[(j, i)]) / (raised[(i, i)] * raised[(j, j)]).sqrt() }
    };
    (0..p).map(|i| (0..p).map(|j| at(i, j)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_correlation_is_drawn_to_its_target_by_so_many_clubs_as_there_are_clues() {
        // Four clubs, their residuals in proportion: r = 1; (1 x 4 + 0.25 x 2)/(4 + 2) = 0.75.
        let residuals = [vec![(0, 1.0), (1, -1.0), (2, 2.0), (3, 0.5)], vec![(0, 2.0), (1, -2.0), (2, 4.0), (3, 1.0)]];
        let drawn = shrunk_correlation(&residuals, |_, _, _| 1.0, |_, _| 0.25, Shrinkage::On);
        assert!((drawn[0][1] - 0.75).abs() < 1e-12, "{drawn:?}");
        let raw = shrunk_correlation(&residuals, |_, _, _| 1.0, |_, _| 0.25, Shrinkage::Off);
        assert!(raw[0][1] > 1.0 - 1e-6 && raw[0][1] <= 1.0);
        // Clubs read for one of the two only say nothing of both.
        let apart = [vec![(0, 1.0)], vec![(1, 1.0)]];
        assert!((shrunk_correlation(&apart, |_, _, _| 1.0, |_, _| 0.25, Shrinkage::On)[0][1] - 0.25).abs() < 1e-12);
        // A club worth nothing does not count: r of the other three stays 1.
        let mut wild = residuals;
        wild[1][3].1 = -50.0;
        let worth = |_, _, club| if club == 3 { 0.0 } else { 1.0 };
        assert!((shrunk_correlation(&wild, worth, |_, _| 0.0, Shrinkage::On)[0][1] - 3.0 / 5.0).abs() < 1e-12);
    }
}
