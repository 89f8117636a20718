//! Scores of a posterior against a known date.

use crate::audit::truth::Truth;
use agewright_model::{Band, Posterior};

/// Log score in nats: ln of the mean probability a year over from..=to, ln(P(from..to)/(to - from + 1)).
///
/// Source: I. J. Good, Rational decisions, 1952, p. 112 (page from memory).
#[must_use]
pub fn log_score(posterior: &Posterior, from: i32, to: i32) -> f64 {
    (posterior.probability_between(from, to) / f64::from(to - from + 1)).ln()
}

/// Continuous ranked probability score in years, its mean over what the true year may be.
///
/// For one year t: the sum over years y of (F(y) - [y >= t])^2, F the cumulative probability; 0 is perfect.
/// Source: T. Gneiting and A. E. Raftery, Strictly proper scoring rules, 2007, p. 367 (page from memory).
/// ```
/// use agewright_calibration::audit::scores::crps;
/// use agewright_calibration::audit::truth::Truth;
/// use agewright_model::{Axis, Posterior};
///
/// let axis = Axis::new(1800, 1820, 10).unwrap();
/// // Two years, even: half a step off for a year whichever is true.
/// let ln: Vec<f64> = axis.years().map(|year| if year < 1802 { 0.0 } else { -1000.0 }).collect();
/// let posterior = Posterior::new(axis, &[&ln]);
/// let of = |year| crps(&posterior, &Truth::within(&posterior, year, year));
/// assert!((of(1800) - 0.25).abs() < 1e-12 && (of(1801) - 0.25).abs() < 1e-12);
/// ```
#[must_use]
pub fn crps(posterior: &Posterior, truth: &Truth) -> f64 {
    truth.mean(|year_made| {
        let mut cumulative = 0.0;
        let years = posterior.axis().years().zip(posterior.by_year());
        years.fold(0.0, |sum, (year, p)| {
            cumulative += p;
            let step = if year >= year_made { 1.0 } else { 0.0 };
            sum + (cumulative - step) * (cumulative - step)
        })
    })
}

/// Absolute error of the median in years, its mean over what the true year may be.
#[must_use]
pub fn absolute_error(posterior: &Posterior, truth: &Truth) -> f64 {
    let median = posterior.median();
    truth.mean(|year| f64::from(median.abs_diff(year)))
}

/// Chance that the true year lies inside a band's set.
#[must_use]
pub fn covered_share(band: &Band, truth: &Truth) -> f64 {
    truth.mean(|year| if band.contains(year) { 1.0 } else { 0.0 })
}

/// Randomised probability integral transform at a year: F(year - 1) + u p(year), u uniform on 0 to 1; uniform over
/// clubs where the posterior is calibrated.
///
/// Source: C. Czado, T. Gneiting and L. Held, Predictive model assessment for count data, 2009 (from memory).
#[must_use]
pub fn randomised_pit(posterior: &Posterior, year: i32, uniform: f64) -> f64 {
    posterior.probability_before(year) + uniform * posterior.probability_between(year, year)
}
