//! Priors: how clubs are spread over the years before one looks at this one.

use crate::numbers::axis::Axis;
use crate::numbers::between::between;
use thiserror::Error;

/// A prior by year.
///
/// ```
/// use agewright_model::tables::prior::{PriorRow, Spread};
/// use agewright_model::{Axis, Prior};
///
/// let axis = Axis::new(1850, 1900, 10).unwrap();
/// let rows = vec![PriorRow { from: 1850, to: 1879, mass: 1.0 }, PriorRow { from: 1880, to: 1899, mass: 3.0 }];
/// let prior = Prior::from_rows(axis, "survival", Spread::Even, rows).unwrap();
/// let by_year: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
/// assert!((by_year[30..].iter().sum::<f64>() - 0.75).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    /// Its name.
    pub name: String,
    /// How the rows become years.
    pub spread: Spread,
    /// The rows it is given by; empty for the flat prior.
    pub rows: Vec<PriorRow>,
    /// What clubs it is of, in a few words for the reader; may be empty.
    pub about: String,
    /// Whether it is the one for a whole collection, where none is asked for.
    pub for_collections: bool,
    ln_by_year: Vec<f64>,
    after: f64,
}

/// One row of a prior's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PriorRow {
    /// First year.
    pub from: i32,
    /// Last year, inclusive.
    pub to: i32,
    /// Share or count of clubs; only ratios matter.
    pub mass: f64,
}

/// How the mass of a prior's rows lies on the years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// The same in every year of a row.
    Even,
    /// Linear between the centres of the rows (which are the table rows of the axis).
    Linear,
    /// Smooth over the years, each row keeping its mass: linear in ln between the centres of rows that follow one
    /// another.
    Smooth,
}

/// Why a prior is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum PriorError {
    /// A mass is negative or not a number.
    #[error("prior \"{name}\", {from}-{to}: mass {mass} is not a number of 0 or more")]
    Mass {
        /// The prior.
        name: String,
        /// First year of the row.
        from: i32,
        /// Last year of the row.
        to: i32,
        /// The mass.
        mass: f64,
    },
    /// A row is not on the axis, or ends before it begins.
    #[error("prior \"{name}\": row {from}-{to} is not a run of years between {first} and {last}")]
    Years {
        /// The prior.
        name: String,
        /// First year of the row.
        from: i32,
        /// Last year of the row.
        to: i32,
        /// First year of the axis.
        first: i32,
        /// Last year of the axis.
        last: i32,
    },
    /// All mass is zero.
    #[error("prior \"{0}\" gives no mass to any year")]
    Nothing(String),
    /// A prior that is linear between centres does not have the rows of the axis.
    #[error("prior \"{name}\" is linear between row centres and needs the {rows} rows of the tables")]
    Rows {
        /// The prior.
        name: String,
        /// Rows of the axis.
        rows: usize,
    },
}

/// A prior that a calibration does not have.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("the calibration has no prior \"{name}\"")]
pub struct UnknownPrior {
    /// The name asked for.
    pub name: String,
    /// The names there are.
    pub allowed: Vec<String>,
}

/// A year's share of a prior is kept at or above this part of the average year's: nothing is exactly impossible.
const LEAST_SHARE: f64 = 1e-6;

impl Prior {
    /// Name of the flat prior.
    pub const FLAT: &'static str = "flat";
    /// Name of the prior fitted from the dated collection.
    pub const AS_COLLECTED: &'static str = "as-collected";

    /// Every year alike.
    #[must_use]
    pub fn flat(axis: Axis) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "years are few")]
        let ln = -(axis.n_years() as f64).ln();
        Self {
            name: Self::FLAT.to_owned(),
            spread: Spread::Even,
            rows: Vec::new(),
            about: String::new(),
            for_collections: false,
            ln_by_year: vec![ln; axis.n_years()],
            after: 0.0,
        }
    }

    /// A prior from a table of masses, normalised; years that no row covers keep a millionth of an average year.
    ///
    /// # Errors
    /// [`PriorError`] for a row off the axis, a bad mass, or no mass at all.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn from_rows(axis: Axis, name: &str, spread: Spread, rows: Vec<PriorRow>) -> Result<Self, PriorError> {
        for &PriorRow { from, to, mass } in &rows {
            if !(mass.is_finite() && mass >= 0.0) {
                return Err(PriorError::Mass { name: name.to_owned(), from, to, mass });
            }
            if from > to || !axis.contains(from) || !axis.contains(to) {
                let (first, last) = (axis.from(), axis.last());
                return Err(PriorError::Years { name: name.to_owned(), from, to, first, last });
            }
        }
        let by_year = match spread {
            Spread::Even => even_by_year(axis, &rows),
            Spread::Smooth => smooth_by_year(axis, &rows).unwrap_or_else(|| even_by_year(axis, &rows)),
            Spread::Linear => {
                let on_rows = rows.iter().enumerate().all(|(r, row)| axis.row_years(r) == (row.from, row.to));
                if rows.len() != axis.n_rows() || !on_rows {
                    return Err(PriorError::Rows { name: name.to_owned(), rows: axis.n_rows() });
                }
                let density: Vec<f64> = rows.iter().map(|row| row.mass / f64::from(row.to - row.from + 1)).collect();
                axis.rows_to_years(&density)
            }
        };
        let total: f64 = by_year.iter().sum();
        if total <= 0.0 {
            return Err(PriorError::Nothing(name.to_owned()));
        }
        let floor = LEAST_SHARE * total / axis.n_years() as f64;
        let floored: Vec<f64> = by_year.iter().map(|v| v.max(floor)).collect();
        let total: f64 = floored.iter().sum();
        let ln_by_year = floored.iter().map(|v| (v / total).ln()).collect();
        let name = name.to_owned();
        Ok(Self { name, spread, rows, about: String::new(), for_collections: false, ln_by_year, after: 0.0 })
    }

    /// The same with what clubs it is of, and whether it is the one for a whole collection.
    #[must_use]
    pub fn described(self, about: &str, for_collections: bool) -> Self {
        Self { about: about.to_owned(), for_collections, ..self }
    }

    /// The prior of this name with other weights by year (positive, in any unit), normalised.
    pub(crate) fn with_weights(&self, weights: &[f64]) -> Self {
        let total: f64 = weights.iter().sum();
        let least = f64::MIN_POSITIVE;
        let ln_by_year = weights.iter().map(|w| (w / total).max(least).ln()).collect();
        Self { spread: Spread::Even, rows: Vec::new(), ln_by_year, ..self.clone() }
    }

    /// The same with a chance, from 0 to below 1, that the part was made after all years of the axis.
    pub(crate) fn with_after(self, after: f64) -> Self {
        Self { after, ..self }
    }

    /// Chance that the part was made after all years of the axis; 0 where nothing is said of them.
    #[must_use]
    pub fn after(&self) -> f64 {
        self.after
    }

    /// ln probability of each year, given that it is one of the axis: they sum to 1.
    #[must_use]
    pub fn ln_by_year(&self) -> &[f64] {
        &self.ln_by_year
    }
}

fn even_by_year(axis: Axis, rows: &[PriorRow]) -> Vec<f64> {
    let mut by_year = vec![0.0; axis.n_years()];
    for row in rows {
        let years = f64::from(row.to - row.from + 1);
        for ix in (row.from..=row.to).filter_map(|year| axis.year_ix(year)) {
            by_year[ix] += row.mass / years;
        }
    }
    by_year
}

/// Rounds in which the values at the centres are brought to where every row keeps its mass.
const SMOOTHING_ROUNDS: usize = 5000;
const SMOOTHED: f64 = 1e-11;

/// Weights by year, linear in ln between the rows' centres and constant beyond the outer ones; the values at the
/// centres are such that each row sums to its mass (found by multiplying each by what its row lacks). `None` where rows
/// do not follow one another or one has no mass, and where no such values are found.
fn smooth_by_year(axis: Axis, rows: &[PriorRow]) -> Option<Vec<f64>> {
    let follow = rows.windows(2).all(|pair| pair[0].to + 1 == pair[1].from);
    if rows.len() < 2 || !follow || rows.iter().any(|row| row.mass <= 0.0) {
        return None;
    }
    let centre = |row: &PriorRow| f64::midpoint(f64::from(row.from), f64::from(row.to) + 1.0);
    let density = |row: &PriorRow| row.mass / f64::from(row.to - row.from + 1);
    let mut ln: Vec<(f64, f64)> = rows.iter().map(|row| (centre(row), density(row).ln())).collect();
    for _ in 0..SMOOTHING_ROUNDS {
        let by_year: Vec<f64> = axis
            .years()
            .map(|year| {
                let at = f64::from(year) + 0.5;
                let inside = (rows[0].from..=rows[rows.len() - 1].to).contains(&year);
                if inside { between(&ln, at, |ln| *ln).map_or(0.0, f64::exp) } else { 0.0 }
            })
            .collect();
        let mut worst: f64 = 0.0;
        for (row, (_, value)) in rows.iter().zip(&mut ln) {
            let (from, to) = axis.year_ix(row.from).zip(axis.year_ix(row.to))?;
            let lacks = (row.mass / by_year[from..=to].iter().sum::<f64>()).ln();
            worst = worst.max(lacks.abs());
            *value += 0.7 * lacks;
        }
        if worst < SMOOTHED {
            return Some(by_year);
        }
        if !worst.is_finite() {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_without_mass_is_unlikely_and_not_impossible() {
        let axis = Axis::new(1850, 1900, 10).unwrap();
        let rows = vec![PriorRow { from: 1860, to: 1869, mass: 2.0 }, PriorRow { from: 1870, to: 1879, mass: 6.0 }];
        let prior = Prior::from_rows(axis, "mine", Spread::Even, rows).unwrap();
        let p: Vec<f64> = prior.ln_by_year().iter().map(|v| v.exp()).collect();
        assert!((p.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((p[20] / p[10] - 3.0).abs() < 1e-9);
        assert!(p[0] > 0.0 && p[0] < 1e-6);
    }

    #[test]
    fn a_smooth_prior_keeps_every_mass_and_has_no_steps() {
        let axis = Axis::new(1850, 1900, 10).unwrap();
        let row = |from, to, mass| PriorRow { from, to, mass };
        let rows = vec![row(1850, 1869, 3.0), row(1870, 1879, 10.0), row(1880, 1889, 70.0), row(1890, 1899, 60.0)];
        let smooth = Prior::from_rows(axis, "s", Spread::Smooth, rows.clone()).unwrap();
        let p: Vec<f64> = smooth.ln_by_year().iter().map(|v| v.exp()).collect();
        let mass = |from: usize, to: usize| p[from..to].iter().sum::<f64>() * 143.0;
        for (got, want) in [(mass(0, 20), 3.0), (mass(20, 30), 10.0), (mass(30, 40), 70.0), (mass(40, 50), 60.0)] {
            assert!((got - want).abs() < 1e-6, "{got}, not {want}");
        }
        assert!(p.windows(2).all(|pair| (pair[1] / pair[0]).ln().abs() < 0.4), "{p:?}");
        // Rows with a gap between them are spread evenly.
        let gap = vec![rows[0], rows[2]];
        let even = Prior::from_rows(axis, "e", Spread::Even, gap.clone()).unwrap();
        assert_eq!(Prior::from_rows(axis, "e", Spread::Smooth, gap).unwrap().ln_by_year(), even.ln_by_year());
    }

    #[test]
    fn nonsense_is_refused() {
        let axis = Axis::new(1850, 1900, 10).unwrap();
        let row = |from, to, mass| vec![PriorRow { from, to, mass }];
        let make = |rows| Prior::from_rows(axis, "mine", Spread::Even, rows);
        assert!(matches!(make(row(1860, 1869, -1.0)), Err(PriorError::Mass { .. })));
        assert!(matches!(make(row(1869, 1860, 1.0)), Err(PriorError::Years { .. })));
        assert!(matches!(make(row(1700, 1860, 1.0)), Err(PriorError::Years { .. })));
        assert!(matches!(make(row(1860, 1869, 0.0)), Err(PriorError::Nothing(_))));
    }
}
