//! The axis of years and the rows that the tables stand on.

use crate::numbers::between::Blend;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// The years a club may have been made in, `from..to` (`to` not included), and the rows of the tables on it.
///
/// Whole years; 1 BC is year 0. Row r is centred on from + step (r + 1/2); a year y stands at y + 1/2.
///
/// ```
/// use agewright_model::Axis;
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// assert_eq!((axis.n_years(), axis.n_rows(), axis.last()), (160, 16, 1939));
/// // 1884 stands half a year before the centre of the row 1880-89.
/// assert_eq!(axis.rows_to_years(&[0.0; 16])[axis.year_ix(1884).unwrap()], 0.0);
/// assert!(Axis::new(1940, 1780, 10).is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "AxisRecord", into = "AxisRecord")]
pub struct Axis {
    from: i32,
    to: i32,
    step: i32,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct AxisRecord {
    from: i32,
    to: i32,
    step: i32,
}

/// Why a range of years and a step make no axis.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum AxisError {
    /// The axis has no year.
    #[error("years run from {from} to {to}: `to` must be later than `from`")]
    Empty {
        /// First year.
        from: i32,
        /// First year after the axis.
        to: i32,
    },
    /// The step is below one year or leaves a single row.
    #[error("step = {step} years: it must be at least 1 and leave two rows or more between {from} and {to}")]
    Step {
        /// Years from row to row.
        step: i32,
        /// First year.
        from: i32,
        /// First year after the axis.
        to: i32,
    },
    /// The axis is longer than the grid is meant for.
    #[error("{years} years: an axis holds at most {limit}")]
    TooLong {
        /// Years asked for.
        years: i64,
        /// Most years allowed.
        limit: i64,
    },
}

const MOST_YEARS: i64 = 20_000;

impl Axis {
    /// An axis from the first year, the first year after it, and the years from row to row.
    ///
    /// # Errors
    /// [`AxisError`] when there is no year, fewer than two rows, or more than 20 000 years.
    pub fn new(from: i32, to: i32, step: i32) -> Result<Self, AxisError> {
        let years = i64::from(to) - i64::from(from);
        if years <= 0 {
            return Err(AxisError::Empty { from, to });
        }
        if years > MOST_YEARS {
            return Err(AxisError::TooLong { years, limit: MOST_YEARS });
        }
        if step < 1 || i64::from(step) >= years {
            return Err(AxisError::Step { step, from, to });
        }
        Ok(Self { from, to, step })
    }

    /// First year.
    #[must_use]
    pub fn from(&self) -> i32 {
        self.from
    }

    /// First year after the axis.
    #[must_use]
    pub fn to(&self) -> i32 {
        self.to
    }

    /// Last year, inclusive.
    #[must_use]
    pub fn last(&self) -> i32 {
        self.to - 1
    }

    /// Years from row to row.
    #[must_use]
    pub fn step(&self) -> i32 {
        self.step
    }

    /// Number of years.
    #[must_use]
    pub fn n_years(&self) -> usize {
        usize::try_from(self.to - self.from).unwrap_or(0)
    }

    /// Number of rows.
    #[must_use]
    pub fn n_rows(&self) -> usize {
        self.n_years().div_ceil(usize::try_from(self.step).unwrap_or(1))
    }

    /// The years in order.
    pub fn years(&self) -> impl Iterator<Item = i32> + use<> {
        self.from..self.to
    }

    /// Whether the year is on the axis.
    #[must_use]
    pub fn contains(&self, year: i32) -> bool {
        (self.from..self.to).contains(&year)
    }

    /// Place of a year on the axis, if it is there.
    #[must_use]
    pub fn year_ix(&self, year: i32) -> Option<usize> {
        self.contains(year).then(|| usize::try_from(year - self.from).unwrap_or(0))
    }

    /// The year at a place on the axis.
    #[must_use]
    pub fn year_at(&self, ix: usize) -> i32 {
        self.from + i32::try_from(ix).unwrap_or(i32::MAX / 2)
    }

    /// Centre of a row in years: from + step (r + 1/2).
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "rows are few")]
    pub fn row_centre(&self, row: usize) -> f64 {
        f64::from(self.from) + f64::from(self.step) * (row as f64 + 0.5)
    }

    /// First and last year of a row, both inclusive.
    #[must_use]
    pub fn row_years(&self, row: usize) -> (i32, i32) {
        let from = self.from + self.step * i32::try_from(row).unwrap_or(i32::MAX / self.step);
        (from, (from + self.step - 1).min(self.last()))
    }

    /// Where a year stands between the row centres: linear between the two nearest, constant outside.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the rows first")]
    pub fn blend(&self, year: i32) -> Blend {
        let last = self.n_rows() - 1;
        let place = (f64::from(year) + 0.5 - self.row_centre(0)) / f64::from(self.step);
        if place <= 0.0 {
            return Blend::at(0);
        }
        let low = place.floor() as usize;
        if low >= last {
            return Blend::at(last);
        }
        Blend { low, high: low + 1, high_share: place - place.floor() }
    }

    /// Spreads values at the rows over the years, linearly between row centres.
    #[must_use]
    pub fn rows_to_years(&self, rows: &[f64]) -> Vec<f64> {
        self.years().map(|year| self.blend(year).of(|row| rows[row])).collect()
    }

    /// Row of a year; the nearest for a year off the axis.
    #[must_use]
    pub fn row_ix(&self, year: i32) -> usize {
        let within = year.clamp(self.from, self.last());
        usize::try_from((within - self.from) / self.step).unwrap_or(0)
    }

    /// Spreads ln likelihoods at the rows over the years: linear in likelihood, returned as ln. A reading that no row
    /// allows at all says nothing: zeros.
    #[must_use]
    pub fn ln_rows_to_ln_years(&self, ln_rows: &[f64]) -> Vec<f64> {
        self.ln_rows_to_scaled_years(ln_rows)
            .map_or_else(|| vec![0.0; self.n_years()], |(top, years)| years.iter().map(|v| top + v.ln()).collect())
    }

    /// The same, as (ln scale, likelihoods divided by that scale), so that nothing underflows in between; `None` when
    /// every row is impossible.
    pub(crate) fn ln_rows_to_scaled_years(&self, ln_rows: &[f64]) -> Option<(f64, Vec<f64>)> {
        let top = ln_rows.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !top.is_finite() {
            return None;
        }
        let scaled: Vec<f64> = ln_rows.iter().map(|v| (v - top).exp()).collect();
        Some((top, self.rows_to_years(&scaled)))
    }
}

impl TryFrom<AxisRecord> for Axis {
    type Error = AxisError;
    fn try_from(record: AxisRecord) -> Result<Self, AxisError> {
        Self::new(record.from, record.to, record.step)
    }
}

impl From<Axis> for AxisRecord {
    fn from(axis: Axis) -> Self {
        Self { from: axis.from, to: axis.to, step: axis.step }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_between_two_centres_takes_from_both_and_the_ends_are_constant() {
        let axis = Axis::new(1850, 1880, 10).unwrap();
        let years = axis.rows_to_years(&[0.0, 10.0, 30.0]);
        // Centres 1855, 1865, 1875; year y stands at y + 1/2.
        let expect = |year: i32, value: f64| {
            let got = years[axis.year_ix(year).unwrap()];
            assert!((got - value).abs() < 1e-12, "{year}: {got}, not {value}");
        };
        expect(1850, 0.0);
        expect(1854, 0.0);
        expect(1855, 0.5);
        expect(1864, 9.5);
        expect(1865, 11.0);
        expect(1879, 30.0);
    }

    #[test]
    fn an_axis_needs_years_and_two_rows() {
        assert!(matches!(Axis::new(1900, 1900, 10), Err(AxisError::Empty { .. })));
        assert!(matches!(Axis::new(1900, 1910, 10), Err(AxisError::Step { .. })));
        assert!(matches!(Axis::new(1900, 1950, 0), Err(AxisError::Step { .. })));
        assert!(matches!(Axis::new(-30_000, 1950, 10), Err(AxisError::TooLong { .. })));
        assert!(matches!(Axis::new(i32::MIN, i32::MAX, 10), Err(AxisError::TooLong { .. })));
    }

    #[test]
    fn a_short_last_row_ends_with_the_axis() {
        let axis = Axis::new(-5, 20, 10).unwrap();
        assert_eq!(axis.n_rows(), 3);
        assert_eq!(axis.row_years(0), (-5, 4));
        assert_eq!(axis.row_years(2), (15, 19));
    }

    #[test]
    fn far_apart_ln_rows_blend_without_underflow() {
        let axis = Axis::new(1850, 1880, 10).unwrap();
        let years = axis.ln_rows_to_ln_years(&[-1000.0, -2000.0, -1500.0]);
        assert!(years.iter().all(|v| !v.is_nan() && *v <= -1000.0));
        assert!((years[0] + 1000.0).abs() < 1e-9);
    }
}
