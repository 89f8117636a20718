//! What readings are worth in z by a straight line, so that a club laid beside another may differ from it.

use crate::shelf::side_by_side::{FOLDS, SideBySide};
use nalgebra::{Cholesky, DMatrix, DVector, SymmetricEigen};

/// Penalties that are tried.
const PENALTIES: [f64; 8] = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0];
/// A club is held to determine itself no further than this.
const MOST_LEVERAGE: f64 = 0.95;

/// Ridge regression of z on the features of the readings.
pub(crate) struct Allowance {
    /// Slope of each feature, features clue by clue.
    pub slopes: Vec<f64>,
    /// The chosen penalty.
    pub penalty: f64,
    /// Slope times features of club j for the slopes that were fitted without the fold of club i, by clue:
    /// `[fold][clue][club]`.
    leans: Vec<Vec<Vec<f64>>>,
}

impl Allowance {
    /// The penalty by the leave-one-out error (A. E. Hoerl and R. W. Kennard, Ridge regression, 1970; the error from
    /// the hat matrix), then slopes on all clubs, and on all but each fold.
    pub fn fit(clubs: &SideBySide<'_>) -> Self {
        let (features, z) = (features(clubs), DVector::from_vec(clubs.z()));
        let worths = DVector::from_vec(clubs.worths.clone());
        let penalty = penalty_of(&features, &z, &worths);
        let slopes = |keep: &dyn Fn(usize) -> bool| {
            let kept = DVector::from_fn(worths.len(), |i, _| if keep(i) { worths[i] } else { 0.0 });
            ridge(&features, &z, &kept, penalty)
        };
        let without = |fold: usize| leans(clubs, &slopes(&|club| clubs.folds[club] != fold));
        Self { slopes: slopes(&|_| true), penalty, leans: (0..FOLDS).map(without).collect() }
    }

    /// How much later than club j the readings of club i have it, in z: over the clues that i has, by slopes that never
    /// saw it.
    pub fn shift(&self, clubs: &SideBySide<'_>, i: usize, j: usize) -> f64 {
        let of_fold = self.leans[clubs.folds[i]].iter().enumerate();
        of_fold.filter(|(clue, _)| clubs.placed[*clue][i].is_some()).map(|(_, leans)| leans[i] - leans[j]).sum()
    }
}

fn features(clubs: &SideBySide<'_>) -> DMatrix<f64> {
    let n_features = clubs.clues.iter().map(|(_, _, scale)| scale.n_features()).sum();
    let mut matrix = DMatrix::zeros(clubs.n_clubs(), n_features);
    let mut first = 0;
    for ((_, _, scale), column) in clubs.clues.iter().zip(&clubs.placed) {
        for (club, placed) in column.iter().enumerate() {
            let Some(placed) = placed else { continue };
            for (k, value) in scale.features(placed).into_iter().enumerate() {
                matrix[(club, first + k)] = value;
            }
        }
        first += scale.n_features();
    }
    matrix
}

/// Slopes times features of each club, by clue: `[clue][club]`.
fn leans(clubs: &SideBySide<'_>, slopes: &[f64]) -> Vec<Vec<f64>> {
    let mut first = 0;
    let mut all = Vec::new();
    for ((_, _, scale), column) in clubs.clues.iter().zip(&clubs.placed) {
        let own = &slopes[first..first + scale.n_features()];
        let lean = |placed: &_| scale.features(placed).iter().zip(own).map(|(feature, slope)| feature * slope).sum();
        all.push(column.iter().map(|placed| placed.as_ref().map_or(0.0, lean)).collect());
        first += scale.n_features();
    }
    all
}

/// F'WF and its way back to z: (F'WF + penalty I) slopes = F'W(z - mean z).
fn ridge(features: &DMatrix<f64>, z: &DVector<f64>, worths: &DVector<f64>, penalty: f64) -> Vec<f64> {
    let weighted = weighted(features, worths);
    let mean = z.dot(worths) / worths.sum();
    let square = weighted.transpose() * features + DMatrix::identity(features.ncols(), features.ncols()) * penalty;
    let right = weighted.transpose() * z.map(|z| z - mean);
    Cholesky::new(square).map_or_else(|| vec![0.0; features.ncols()], |root| root.solve(&right).as_slice().to_vec())
}

fn weighted(features: &DMatrix<f64>, worths: &DVector<f64>) -> DMatrix<f64> {
    DMatrix::from_fn(features.nrows(), features.ncols(), |i, j| worths[i] * features[(i, j)])
}

/// The penalty of least weighted leave-one-out error.
fn penalty_of(features: &DMatrix<f64>, z: &DVector<f64>, worths: &DVector<f64>) -> f64 {
    let weighted = weighted(features, worths);
    let (total, mean) = (worths.sum(), z.dot(worths) / worths.sum());
    let centred = z.map(|z| z - mean);
    let eigen = SymmetricEigen::new(weighted.transpose() * features);
    let turned = features * &eigen.eigenvectors;
    let right = eigen.eigenvectors.transpose() * (weighted.transpose() * &centred);
    let error = |penalty: f64| {
        let shrunk = eigen.eigenvalues.map(|value| 1.0 / (value.max(0.0) + penalty));
        let of_club = |i: usize| {
            let (mut fitted, mut leverage) = (0.0, 1.0 / total);
            for k in 0..shrunk.len() {
                fitted += turned[(i, k)] * shrunk[k] * right[k];
                leverage += turned[(i, k)].powi(2) * shrunk[k];
            }
            let left = 1.0 - (worths[i] * leverage).min(MOST_LEVERAGE);
            worths[i] * ((centred[i] - fitted) / left).powi(2)
        };
        (0..z.len()).map(of_club).sum::<f64>()
    };
    PENALTIES
        .into_iter()
        .map(|penalty| (error(penalty), penalty))
        .fold((f64::INFINITY, 1.0), |best, one| if one.0 < best.0 { one } else { best })
        .1
}
