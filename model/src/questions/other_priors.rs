//! How differently two priors take clubs to be spread over the years that an answer is about.

use crate::answer::dating::Dating;
use crate::answer::posterior::Posterior;
use crate::tables::calibration::Calibration;

/// The prior of an answer against the first of the others, at two decades.
#[derive(Debug, Clone, PartialEq)]
pub struct PriorContrast {
    /// Name of the prior used.
    pub used: String,
    /// Name of the other.
    pub other: String,
    /// First and last year of the row of the answer's median.
    pub here: (i32, i32),
    /// First and last year of the row that the other prior finds commonest.
    pub common: (i32, i32),
    /// How many times rarer the prior used takes clubs of `here` to be than those of `common`.
    pub rarer_by_used: f64,
    /// The same by the other.
    pub rarer_by_other: f64,
}

/// The contrast; `None` where the calibration has no other prior.
#[must_use]
pub fn prior_contrast(calibration: &Calibration, dating: &Dating) -> Option<PriorContrast> {
    let (other, _) = dating.other_priors.first()?;
    let axis = calibration.catalogue().axis();
    let by_row = |name: &str| -> Option<Vec<f64>> {
        let prior = calibration.prior(Some(name)).ok()?;
        Some(Posterior::new(axis, &[prior.ln_by_year()]).by_row().into_iter().map(|row| row.2).collect())
    };
    let (used, by_other) = (by_row(&dating.prior)?, by_row(other)?);
    let median = dating.posterior.median();
    let here = (0..axis.n_rows()).find(|&row| axis.row_years(row).1 >= median)?;
    let common = (0..axis.n_rows()).max_by(|&a, &b| by_other[a].total_cmp(&by_other[b]))?;
    Some(PriorContrast {
        used: dating.prior.clone(),
        other: other.clone(),
        here: axis.row_years(here),
        common: axis.row_years(common),
        rarer_by_used: used[common] / used[here],
        rarer_by_other: by_other[common] / by_other[here],
    })
}
