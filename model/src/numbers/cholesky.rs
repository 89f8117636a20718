//! The Cholesky factor of a covariance, grown and shrunk by one row at a time.

/// A variance of a correlation matrix that leaves less than this is no variance.
const NOTHING_LEFT: f64 = 1e-12;

/// Lower triangle L with L L' the matrix of the rows pushed so far.
#[derive(Debug, Clone, Default)]
pub struct Cholesky {
    lower: Vec<Vec<f64>>,
}

impl Cholesky {
    /// The next row of the factor up to its diagonal, and the variance that is left for that.
    fn next(&self, covariance: impl Fn(usize) -> f64, variance: f64) -> (Vec<f64>, f64) {
        let mut line: Vec<f64> = Vec::with_capacity(self.lower.len() + 1);
        for (i, other) in self.lower.iter().enumerate() {
            let known: f64 = line.iter().zip(other).map(|(a, b)| a * b).sum();
            line.push((covariance(i) - known) / other[i]);
        }
        let left = variance - line.iter().map(|v| v * v).sum::<f64>();
        (line, left)
    }

    /// Adds a row: its covariance with each row before it, and its own variance, of which at least `least_share` is
    /// taken to be left (that guards the root against rounding).
    pub fn push(&mut self, covariance: impl Fn(usize) -> f64, variance: f64, least_share: f64) {
        let (mut line, left) = self.next(covariance, variance);
        line.push(left.max(variance * least_share).sqrt());
        self.lower.push(line);
    }

    /// Takes the last row away.
    pub fn pop(&mut self) {
        self.lower.pop();
    }

    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.lower.len()
    }

    /// Whether there is no row yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lower.is_empty()
    }

    /// The last place of L^-1 x, x a vector with as many places as there are rows, from the places before it.
    #[must_use]
    pub fn whitened_last(&self, value: f64, before: &[f64]) -> f64 {
        let Some((root, line)) = self.lower.last().and_then(|line| line.split_last()) else { return value };
        let known: f64 = line.iter().zip(before).map(|(a, b)| a * b).sum();
        (value - known) / root
    }

    /// ln of the root of the determinant: the sum of the logarithms of the diagonal.
    #[must_use]
    pub fn ln_root_determinant(&self) -> f64 {
        self.lower.iter().enumerate().map(|(i, line)| line[i].ln()).sum()
    }
}

/// Whether a symmetric matrix of correlations, given row by row, is positive definite: whether it has a Cholesky
/// factor.
///
/// ```
/// use agewright_model::numbers::cholesky::is_positive_definite;
///
/// assert!(is_positive_definite(&[vec![1.0, 0.9], vec![0.9, 1.0]]));
/// assert!(!is_positive_definite(&[vec![1.0, 1.0], vec![1.0, 1.0]]));
/// ```
#[must_use]
pub fn is_positive_definite(matrix: &[Vec<f64>]) -> bool {
    let mut factor = Cholesky::default();
    matrix.iter().enumerate().all(|(i, row)| {
        let (_, left) = factor.next(|j| row[j], row[i]);
        factor.push(|j| row[j], row[i], 0.0);
        left > NOTHING_LEFT
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// [[4, 2], [2, 5]] has the factor [[2, 0], [1, 2]] and the determinant 16.
    #[test]
    fn a_factor_worked_by_hand() {
        let mut factor = Cholesky::default();
        factor.push(|_| 0.0, 4.0, 0.0);
        let first = factor.whitened_last(6.0, &[]);
        factor.push(|_| 2.0, 5.0, 0.0);
        let second = factor.whitened_last(7.0, &[first]);
        assert!((first - 3.0).abs() < 1e-15 && (second - 2.0).abs() < 1e-15);
        assert!((factor.ln_root_determinant() - 4.0_f64.ln()).abs() < 1e-15);
        factor.pop();
        assert!((factor.ln_root_determinant() - 2.0_f64.ln()).abs() < 1e-15 && factor.len() == 1);
    }

    #[test]
    fn three_measures_cannot_all_disagree() {
        let all = |r: f64| vec![vec![1.0, r, r], vec![r, 1.0, r], vec![r, r, 1.0]];
        assert!(is_positive_definite(&all(-0.49)), "the least common correlation of three is -1/2");
        assert!(!is_positive_definite(&all(-0.51)));
        assert!(!is_positive_definite(&[vec![f64::NAN]]));
    }
}
