//! The spread of measures that were read right, where some of a collection were not.

use agewright_model::tables::measured_block::ln_density_misread;
use std::f64::consts::PI;

/// A measure that is left after its mean is taken off.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Residual {
    /// What is left.
    pub off: f64,
    /// Variance of the mean within the club's date.
    pub within_date: f64,
    /// Weight in clubs.
    pub worth: f64,
    /// The measure itself, on the clue's scale.
    pub place: f64,
}

/// A clue over all years, and how often it is misread.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Overall {
    pub mean: f64,
    pub sd: f64,
    pub misread: f64,
}

/// Rounds of weighing: the spread settles to under a hundredth in fewer.
const ROUNDS: usize = 10;

/// Standard deviation of the residuals of measures that were read right, each weighed by the chance that it was:
/// w = (1 - e) N(r; 0, s)/((1 - e) N(r; 0, s) + e m), N the normal density, m that of a misread measure, e the clue's
/// chance of misreading; s^2 = sum w r^2/sum w, a few times over (expectation maximisation: A. P. Dempster, N. M. Laird
/// and D. B. Rubin, 1977). Not below `least`.
pub(crate) fn well_read_sd(residuals: &[Residual], overall: Overall, least: f64) -> f64 {
    let ln_misread: Vec<f64> = residuals
        .iter()
        .map(|r| ln_density_misread(r.place, overall.mean, overall.sd) + overall.misread.ln())
        .collect();
    let mut weights: Vec<f64> = residuals.iter().map(|r| r.worth).collect();
    let mut sd = spread(residuals, &weights).max(least);
    if overall.misread <= 0.0 {
        return sd;
    }
    for _ in 0..ROUNDS {
        for ((weight, residual), ln_misread) in weights.iter_mut().zip(residuals).zip(&ln_misread) {
            let square = (residual.off * residual.off + residual.within_date) / (sd * sd);
            let ln_right = (1.0 - overall.misread).ln() - 0.5 * square - (sd * (2.0 * PI).sqrt()).ln();
            *weight = residual.worth / (1.0 + (ln_misread - ln_right).exp());
        }
        sd = spread(residuals, &weights).max(least);
    }
    sd
}

fn spread(residuals: &[Residual], weights: &[f64]) -> f64 {
    let total: f64 = weights.iter().sum();
    let square = |(r, w): (&Residual, &f64)| w * (r.off * r.off + r.within_date);
    (residuals.iter().zip(weights).map(square).sum::<f64>() / total.max(f64::MIN_POSITIVE)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn residuals(offs: &[f64]) -> Vec<Residual> {
        offs.iter().map(|&off| Residual { off, within_date: 0.0, worth: 1.0, place: 4.0 + off }).collect()
    }

    #[test]
    fn what_was_misread_does_not_widen_the_spread() {
        let near = [0.1, -0.1, 0.2, -0.2, 0.1, -0.1, 0.15, -0.15, 0.05, -0.05];
        let right = residuals(&near);
        let with_wild = residuals(&[&near[..], &[2.5]].concat());
        let overall = Overall { mean: 4.0, sd: 1.0, misread: 0.05 };
        let plain = spread(&right, &[1.0; 10]);
        assert!((well_read_sd(&right, overall, 0.0) / plain - 1.0).abs() < 0.05, "all well read: as they are");
        assert!((well_read_sd(&with_wild, overall, 0.0) / plain - 1.0).abs() < 0.05);
        assert!(spread(&with_wild, &[1.0; 11]) > 4.0 * plain, "which it would");
        // Never misread, every one counts.
        let sure = Overall { misread: 0.0, ..overall };
        assert!((well_read_sd(&with_wild, sure, 0.0) - spread(&with_wild, &[1.0; 11])).abs() < 1e-15);
        assert!((well_read_sd(&right, overall, 0.7) - 0.7).abs() < 1e-15, "not below the least");
    }
}
