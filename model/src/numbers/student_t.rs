//! Student t densities, in ln.

use statrs::function::gamma::ln_gamma;
use std::f64::consts::PI;

/// ln density of a standard Student t.
///
/// Formula: lnG((v+1)/2) - lnG(v/2) - ln(v pi)/2 - (v+1)/2 ln(1 + x^2/v), G the gamma function.
#[must_use]
pub fn ln_student_t(x: f64, degrees_of_freedom: f64) -> f64 {
    ln_multivariate_t(x * x, 0.0, 1, degrees_of_freedom)
}

/// ln density of a p-variate Student t with location m and scale matrix V.
///
/// Formula: lnG((v+p)/2) - lnG(v/2) - p/2 ln(v pi) - ln|V|/2 - (v+p)/2 ln(1 + Q/v), with Q = (x-m)' V^-1 (x-m)
/// (`squared_distance`) and ln|V|/2 given as `ln_root_determinant`. An infinite v gives the normal density.
/// Source: S. Kotz and S. Nadarajah, Multivariate t Distributions and Their Applications, 2004, p. 1 (from memory).
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "the number of measures is small")]
pub fn ln_multivariate_t(
    squared_distance: f64,
    ln_root_determinant: f64,
    n_measures: usize,
    degrees_of_freedom: f64,
) -> f64 {
    let (p, v) = (n_measures as f64, degrees_of_freedom);
    if v.is_infinite() {
        return -0.5 * (p * (2.0 * PI).ln() + squared_distance) - ln_root_determinant;
    }
    ln_gamma(f64::midpoint(v, p))
        - ln_gamma(v / 2.0)
        - 0.5 * p * (v * PI).ln()
        - ln_root_determinant
        - f64::midpoint(v, p) * (squared_distance / v).ln_1p()
}
