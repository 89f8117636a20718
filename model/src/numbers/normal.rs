//! The standard normal distribution.

use libm::erfc;
use statrs::function::erf::erfc_inv;
use std::f64::consts::{PI, SQRT_2};

/// Phi(x), the chance of less than x: erfc(-x/sqrt 2)/2.
#[must_use]
pub fn normal_below(x: f64) -> f64 {
    0.5 * erfc(-x / SQRT_2)
}

/// The x with Phi(x) = p, for 0 < p < 1: -sqrt 2 times the inverse of erfc at 2p, and one step of Newton's.
///
/// ```
/// use agewright_model::numbers::normal::normal_quantile;
///
/// assert!(normal_quantile(0.5).abs() < 1e-15);
/// assert!((normal_quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-13);
/// ```
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    let x = -SQRT_2 * erfc_inv(2.0 * p);
    // Above the middle the chance of more is the smaller number, and the better one to compare.
    let off = if p <= 0.5 { normal_below(x) - p } else { (1.0 - p) - normal_below(-x) };
    let density = normal_density(x);
    if density > 0.0 { x - off / density } else { x }
}

/// phi(x) = exp(-x^2/2)/sqrt(2 pi).
#[must_use]
pub fn normal_density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}
