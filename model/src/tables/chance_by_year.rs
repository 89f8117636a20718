//! A chance that changes with the years.

use crate::numbers::axis::Axis;
use crate::numbers::between::between;

/// A chance by the year of what it belongs to: linear between the points, constant outside.
#[derive(Debug, Clone, PartialEq)]
pub struct ChanceByYear {
    /// (year, chance), in the order of years.
    pub points: Vec<(f64, f64)>,
}

impl ChanceByYear {
    /// Chance at each year of an axis.
    pub(crate) fn by_year(&self, axis: Axis) -> Vec<f64> {
        axis.years().map(|year| between(&self.points, f64::from(year), |chance| *chance).unwrap_or(0.5)).collect()
    }
}
