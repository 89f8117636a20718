//! Everything that a calibration must keep to, and what is told where it does not.

use crate::reading::catalogue::Catalogue;
use crate::reading::clue::{Clue, ClueKind};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::contents::CalibrationContents;
use crate::tables::level_table::{LevelTable, RowName, SharesError, SharesMoved};
use crate::tables::mark_use::MarkError;
use crate::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredBlockError};
use crate::tables::replacement::PartsError;
use crate::tables::table_set::TableSet;
use std::collections::BTreeSet;
use thiserror::Error;

/// Why a calibration is refused, and where.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{problem}")]
pub struct CalibrationError {
    /// Where in the calibration, by the keys of its file; the table of a measured clue is `block[b].clues[c]`.
    pub path: DocumentPath,
    /// What.
    pub problem: CalibrationProblem,
}

/// What is wrong with a calibration.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CalibrationProblem {
    /// Shares of a level table.
    #[error(transparent)]
    Shares(#[from] SharesError),
    /// A measured block.
    #[error(transparent)]
    Measured(#[from] MeasuredBlockError),
    /// Years of use of a mark.
    #[error(transparent)]
    Mark(#[from] MarkError),
    /// How the parts belong together.
    #[error(transparent)]
    Parts(#[from] PartsError),
    /// A table for a clue that the catalogue does not have, or has as another kind or part.
    #[error("table \"{0}\": the catalogue has no such clue of that kind and part")]
    Clue(String),
    /// Two tables for one clue.
    #[error("table \"{0}\" stands twice")]
    Twice(String),
    /// More clues than sets of them can be told apart.
    #[error("{what}: {found} clues that speak together; there may be {most}")]
    TooMany {
        /// Of which clues.
        what: &'static str,
        /// Their number.
        found: usize,
        /// The most there may be.
        most: usize,
    },
    /// A prior that stands twice.
    #[error("prior \"{0}\" stands twice")]
    TwicePrior(String),
    /// A prior that is not over the catalogue's years.
    #[error("prior \"{name}\" has {found} years where {wanted} belong")]
    PriorYears {
        /// The prior.
        name: String,
        /// Years it has.
        found: usize,
        /// Years of the catalogue.
        wanted: usize,
    },
    /// A table has the wrong number of rows or shares.
    #[error("table \"{clue}\": {what}: {found} where {wanted} belong")]
    Shape {
        /// The clue's id.
        clue: String,
        /// Rows or shares.
        what: &'static str,
        /// Number found.
        found: usize,
        /// Number wanted.
        wanted: usize,
    },
    /// A number outside its limits.
    #[error("table \"{clue}\": {what} = {value}: it must lie between {low} and {high}")]
    Number {
        /// The clue's id or block's part.
        clue: String,
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Lowest.
        low: f64,
        /// Highest.
        high: f64,
    },
    /// A draw that lacks a table of the whole fit, or has it in another form.
    #[error("a draw has no numbers for {0}, or not as many as the table has rows")]
    Draw(String),
    /// The default prior is not among the priors.
    #[error("default prior \"{0}\" is not among the priors")]
    DefaultPrior(String),
}

type Checked = Result<(), CalibrationError>;

/// Exponents lie between these.
const WEIGHTS: [f64; 2] = [0.0, 1.2];
/// A clue that is surely misread has no odds of being right.
const MISREAD: [f64; 2] = [0.0, 0.999];

impl CalibrationError {
    /// A problem at a place.
    pub fn at(path: DocumentPath, problem: impl Into<CalibrationProblem>) -> Self {
        Self { path, problem: problem.into() }
    }
}

/// Checks everything, and brings shares to a sum of 1; returns those that an edit had moved.
pub(super) fn check_contents(contents: &mut CalibrationContents) -> Result<Vec<SharesMoved>, CalibrationError> {
    let moved = Check { catalogue: &contents.catalogue }.table_set(&mut contents.tables)?;
    let check = Check { catalogue: &contents.catalogue };
    for (place, mark) in contents.marks.iter().enumerate() {
        let path = || DocumentPath::key("mark").at(place);
        mark.check().map_err(|error| CalibrationError::at(path(), error))?;
        let clue = check.find(&path(), &mark.clue, ClueKind::Mark, None)?;
        if clue.level_ix(&mark.mark).is_none() {
            return Err(CalibrationError::at(path(), CalibrationProblem::Clue(mark.mark.clone())));
        }
    }
    if let Some(parts) = &contents.parts {
        let fixed = contents.catalogue.clues().iter().filter(|clue| clue.part != Part::Head).count();
        few_together(&DocumentPath::key("parts"), "shaft and grip", fixed)?;
        parts.check().map_err(|(path, error)| CalibrationError::at(path, error))?;
        for (place, sign) in parts.signs.iter().enumerate() {
            let path = DocumentPath::key("sign").at(place);
            let clue = check.find(&path, &sign.clue, ClueKind::Levels, None)?;
            if clue.part == Part::Head {
                return Err(CalibrationError::at(path, CalibrationProblem::Clue(sign.clue.clone())));
            }
            for shares in [&sign.original, &sign.replaced] {
                shape(&path, &sign.clue, "shares", shares.len(), clue.levels.len())?;
            }
        }
    }
    for (place, draw) in contents.draws.iter_mut().enumerate() {
        let path = || DocumentPath::key("draw").at(place);
        same_form(&contents.tables, draw)
            .map_err(|what| CalibrationError::at(path(), CalibrationProblem::Draw(what)))?;
        // Rounding to six digits is no edit: what a draw's shares are off by is told of none.
        check.table_set(draw).map_err(|error| CalibrationError { path: error.path.within(path()), ..error })?;
    }
    if contents.tables.prior(&contents.default_prior).is_err() {
        let problem = CalibrationProblem::DefaultPrior(contents.default_prior.clone());
        return Err(CalibrationError::at(DocumentPath::key("default_prior"), problem));
    }
    Ok(moved)
}

/// Whether a draw has the tables of the whole fit; otherwise what it lacks.
fn same_form(whole: &TableSet, draw: &TableSet) -> Result<(), String> {
    for table in &whole.levels {
        let own = draw.level_table(&table.clue).filter(|own| own.rows.len() == table.rows.len());
        own.ok_or_else(|| table.clue.clone())?;
    }
    for block in &whole.blocks {
        let own = draw.block(block.part).filter(|own| own.adjusters.len() == block.adjusters.len());
        let own = own.ok_or_else(|| block.part.word().to_owned())?;
        let named = |block: &MeasuredBlock| block.clues.iter().map(|table| table.clue.clone()).collect::<Vec<_>>();
        if named(own) != named(block) {
            return Err(block.part.word().to_owned());
        }
    }
    match whole.priors.iter().find(|prior| draw.prior(&prior.name).is_err()) {
        Some(prior) => Err(prior.name.clone()),
        None => Ok(()),
    }
}

struct Check<'a> {
    catalogue: &'a Catalogue,
}

impl Check<'_> {
    fn table_set(&self, tables: &mut TableSet) -> Result<Vec<SharesMoved>, CalibrationError> {
        let mut moved = Vec::new();
        let mut seen = BTreeSet::new();
        for (place, table) in tables.levels.iter_mut().enumerate() {
            moved.extend(self.level_table(table, DocumentPath::key("levels").at(place), &mut seen)?);
        }
        let mut parts = BTreeSet::new();
        for (place, block) in tables.blocks.iter().enumerate() {
            let path = DocumentPath::key("block").at(place);
            if !parts.insert(block.part) {
                return Err(CalibrationError::at(path, CalibrationProblem::Twice(block.part.word().to_owned())));
            }
            self.block(block, &path, &mut seen)?;
        }
        let mut names = BTreeSet::new();
        for prior in &tables.priors {
            let (found, wanted) = (prior.ln_by_year().len(), self.catalogue.axis().n_years());
            let name = prior.name.clone();
            if !names.insert(prior.name.as_str()) {
                return Err(CalibrationError::at(DocumentPath::root(), CalibrationProblem::TwicePrior(name)));
            }
            if found != wanted {
                let problem = CalibrationProblem::PriorYears { name, found, wanted };
                return Err(CalibrationError::at(DocumentPath::root(), problem));
            }
        }
        Ok(moved)
    }

    fn level_table(
        &self,
        table: &mut LevelTable,
        path: DocumentPath,
        seen: &mut BTreeSet<String>,
    ) -> Result<Vec<SharesMoved>, CalibrationError> {
        let clue = self.find(&path, &table.clue, ClueKind::Levels, None)?;
        once(&path, &table.clue, seen)?;
        shape(&path, &table.clue, "rows", table.rows.len(), self.catalogue.axis().n_rows())?;
        for shares in table.rows.iter().map(|row| &row.shares).chain(std::iter::once(&table.overall)) {
            shape(&path, &table.clue, "shares", shares.len(), clue.levels.len())?;
        }
        lies_within(&path, &table.clue, "misread", clue.misread, MISREAD)?;
        lies_within(&path, &table.clue, "weight", table.weight, WEIGHTS)?;
        table.normalise(self.catalogue.axis()).map_err(|error| {
            let path = match error.years() {
                RowName::Row(row, ..) => path.then("rows").at(row).then("shares"),
                RowName::Overall => path.then("overall"),
            };
            CalibrationError::at(path, error)
        })
    }

    fn block(&self, block: &MeasuredBlock, path: &DocumentPath, seen: &mut BTreeSet<String>) -> Checked {
        few_together(path, block.part.word(), block.clues.len() + block.adjusters.len())?;
        lies_within(path, block.part.word(), "weight", block.weight, WEIGHTS)?;
        for (place, table) in block.clues.iter().enumerate() {
            let path = path.clone().then("clues").at(place);
            let clue = self.find(&path, &table.clue, ClueKind::Measured, Some(block.part))?;
            once(&path, &table.clue, seen)?;
            shape(&path, &table.clue, "rows", table.rows.len(), self.catalogue.axis().n_rows())?;
            lies_within(&path, &table.clue, "misread", clue.misread, MISREAD)?;
        }
        for (place, adjuster) in block.adjusters.iter().enumerate() {
            let path = path.clone().then("adjusters").at(place);
            once(&path, &adjuster.clue, seen)?;
            self.adjuster(adjuster, block, &path)?;
        }
        block.check().map_err(|(within, error)| CalibrationError::at(within.within(path.clone()), error))
    }

    fn adjuster(&self, adjuster: &LevelAdjuster, block: &MeasuredBlock, path: &DocumentPath) -> Checked {
        let clue = self.find(path, &adjuster.clue, ClueKind::Levels, Some(block.part))?;
        shape(path, &adjuster.clue, "rows", adjuster.expected.len(), self.catalogue.axis().n_rows())?;
        shape(path, &adjuster.clue, "shifts", adjuster.shifts.len(), block.clues.len())?;
        shape(path, &adjuster.clue, "shifts", adjuster.centred.len(), block.clues.len())?;
        for levels in adjuster.expected.iter().chain(&adjuster.shifts) {
            shape(path, &adjuster.clue, "levels", levels.len(), clue.levels.len())?;
        }
        Ok(())
    }

    fn find(
        &self,
        path: &DocumentPath,
        id: &str,
        kind: ClueKind,
        part: Option<Part>,
    ) -> Result<&Clue, CalibrationError> {
        let fits = |clue: &&Clue| clue.kind == kind && part.is_none_or(|part| part == clue.part);
        let unknown = || CalibrationError::at(path.clone(), CalibrationProblem::Clue(id.to_owned()));
        self.catalogue.clue(id).filter(fits).ok_or_else(unknown)
    }
}

fn once(path: &DocumentPath, clue: &str, seen: &mut BTreeSet<String>) -> Checked {
    if seen.insert(clue.to_owned()) {
        return Ok(());
    }
    Err(CalibrationError::at(path.clone(), CalibrationProblem::Twice(clue.to_owned())))
}

fn shape(path: &DocumentPath, clue: &str, what: &'static str, found: usize, wanted: usize) -> Checked {
    if found == wanted {
        return Ok(());
    }
    let problem = CalibrationProblem::Shape { clue: clue.to_owned(), what, found, wanted };
    Err(CalibrationError::at(path.clone(), problem))
}

/// Sets of clues that speak together are bits of a number, which has 32 on the smallest machines.
const MOST_TOGETHER: usize = 30;

fn few_together(path: &DocumentPath, what: &'static str, found: usize) -> Checked {
    let problem = CalibrationProblem::TooMany { what, found, most: MOST_TOGETHER };
    if found > MOST_TOGETHER { Err(CalibrationError::at(path.clone(), problem)) } else { Ok(()) }
}

fn lies_within(path: &DocumentPath, clue: &str, what: &'static str, value: f64, [low, high]: [f64; 2]) -> Checked {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    let problem = CalibrationProblem::Number { clue: clue.to_owned(), what, value, low, high };
    Err(CalibrationError::at(path.clone(), problem))
}
