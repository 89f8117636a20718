//! What every table of a calibration must keep to.

use crate::reading::catalogue::Catalogue;
use crate::reading::clue::{Clue, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use std::collections::BTreeSet;

pub(crate) type Checked = Result<(), CalibrationError>;

/// Exponents lie between these.
pub(crate) const EXPONENTS: [f64; 2] = [0.0, 1.2];
/// Weight in clubs behind a row.
pub(crate) const CLUBS: [f64; 2] = [0.0, 1e13];
/// Kernel widths in years: those of a fit are above 0.
pub(crate) const BANDWIDTHS: [f64; 2] = [0.001, 1e6];
/// A clue that is surely misread has no odds of being right.
pub(crate) const MISREAD: [f64; 2] = [0.0, 0.999];

/// A check of the tables of one set, which remembers the clues that had theirs.
pub(crate) struct Check<'a> {
    pub catalogue: &'a Catalogue,
    seen: BTreeSet<String>,
}

impl<'a> Check<'a> {
    pub fn new(catalogue: &'a Catalogue) -> Self {
        Self { catalogue, seen: BTreeSet::new() }
    }

    /// The clue of a table: one that has tables of that form, of that part.
    pub fn clue(
        &self,
        path: &DocumentPath,
        id: &str,
        form: TableForm,
        part: Option<Part>,
    ) -> Result<&'a Clue, CalibrationError> {
        let fits = |clue: &&Clue| clue.kind.table_form() == form && part.is_none_or(|part| part == clue.part);
        let unknown = || CalibrationError::at(path.clone(), CalibrationProblem::Clue(id.to_owned()));
        self.catalogue.clue(id).filter(fits).ok_or_else(unknown)
    }

    /// Whether a clue has its first table.
    pub fn once(&mut self, path: &DocumentPath, clue: &str) -> Checked {
        if self.seen.insert(clue.to_owned()) {
            return Ok(());
        }
        Err(CalibrationError::at(path.clone(), CalibrationProblem::Twice(clue.to_owned())))
    }

    /// Whether a table has a row for every `step` years.
    pub fn rows(&self, path: &DocumentPath, clue: &str, found: usize) -> Checked {
        shape(path, clue, "rows", found, self.catalogue.axis().n_rows())
    }
}

pub(crate) fn shape(path: &DocumentPath, clue: &str, what: &'static str, found: usize, wanted: usize) -> Checked {
    if found == wanted {
        return Ok(());
    }
    let problem = CalibrationProblem::Shape { clue: clue.to_owned(), what, found, wanted };
    Err(CalibrationError::at(path.clone(), problem))
}

/// Sets of clues that speak together are bits of a number, which has 32 on the smallest machines.
const MOST_TOGETHER: usize = 30;

pub(crate) fn few_together(path: &DocumentPath, what: &'static str, found: usize) -> Checked {
    let problem = CalibrationProblem::TooMany { what, found, most: MOST_TOGETHER };
    if found > MOST_TOGETHER { Err(CalibrationError::at(path.clone(), problem)) } else { Ok(()) }
}

pub(crate) fn lies_within(
    path: &DocumentPath,
    clue: &str,
    what: &'static str,
    value: f64,
    [low, high]: [f64; 2],
) -> Checked {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    let problem = CalibrationProblem::Number { clue: clue.to_owned(), what, value, low, high };
    Err(CalibrationError::at(path.clone(), problem))
}
