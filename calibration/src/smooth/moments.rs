//! Weighted means and spreads.

/// Mean and standard deviation of weighted values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moments {
    /// Sum of the weights.
    pub weight: f64,
    /// sum w x / sum w.
    pub mean: f64,
    /// Square root of sum w (x - mean)^2 / sum w.
    pub sd: f64,
}

/// Moments of (value, weight) pairs in two passes, the mean refined by the mean of the residuals; `None` where the
/// weights do not sum to more than 0.
#[must_use]
pub fn weighted_moments(values: &[(f64, f64)]) -> Option<Moments> {
    let weight: f64 = values.iter().map(|(_, w)| w).sum();
    if weight.is_nan() || weight <= 0.0 {
        return None;
    }
    let rough = values.iter().map(|(x, w)| w * x).sum::<f64>() / weight;
    let shift = values.iter().map(|(x, w)| w * (x - rough)).sum::<f64>() / weight;
    let square = values.iter().map(|(x, w)| w * (x - rough) * (x - rough)).sum::<f64>() / weight;
    Some(Moments { weight, mean: rough + shift, sd: (square - shift * shift).max(0.0).sqrt() })
}
