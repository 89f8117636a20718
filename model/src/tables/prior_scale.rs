//! Years on the scale of a prior's normal quantiles: on it, dated clubs lie as a normal sample does.

use crate::numbers::normal::normal_quantile;
use crate::tables::prior::Prior;

/// A running sum of a prior is kept from 0 and 1 by this.
const LEAST: f64 = 1e-9;

/// z(y) = Phi^-1(F(y)) at the edges of the years, F the running sum of a prior.
///
/// ```
/// use agewright_model::tables::prior_scale::PriorScale;
/// use agewright_model::{Axis, Prior};
///
/// let scale = PriorScale::of(&Prior::flat(Axis::new(1800, 1900, 10).unwrap()));
/// assert!(scale.edges[50].abs() < 1e-12, "half of a flat prior lies before the middle");
/// assert!((scale.middle(97) - 1.959_963_984_540_054).abs() < 1e-9, "97.5 in 100 before the middle of the 98th year");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct PriorScale {
    /// z at the edges of the years: one more than there are years.
    pub edges: Vec<f64>,
    /// Probability of each year.
    pub by_year: Vec<f64>,
    below: Vec<f64>,
}

impl PriorScale {
    /// The scale of a prior.
    #[must_use]
    pub fn of(prior: &Prior) -> Self {
        let by_year: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
        let total: f64 = by_year.iter().sum();
        let mut sum = 0.0;
        let mut below = vec![0.0];
        below.extend(by_year.iter().map(|p| {
            sum += p;
            sum / total
        }));
        let edges = below.iter().map(|f| normal_quantile(f.clamp(LEAST, 1.0 - LEAST))).collect();
        Self { edges, by_year, below }
    }

    /// z of the middle of a year, by its place on the axis: Phi^-1((F(y) + F(y + 1))/2).
    #[must_use]
    pub fn middle(&self, year_ix: usize) -> f64 {
        normal_quantile(f64::midpoint(self.below[year_ix], self.below[year_ix + 1]).clamp(LEAST, 1.0 - LEAST))
    }
}
