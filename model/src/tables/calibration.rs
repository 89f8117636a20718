//! The calibration: all tables, with the catalogue and where they came from.

use crate::answer::dating::DatingError;
use crate::reading::catalogue::{Catalogue, Clue, ClueKind, Part};
use crate::tables::level_table::{LevelTable, LevelTableError};
use crate::tables::mark_use::{MarkError, MarkUse};
use crate::tables::measured_block::{MeasuredBlock, MeasuredBlockError, MeasuredTable};
use crate::tables::prior::Prior;
use crate::tables::replacement::{PartsError, PartsModel};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// All that is needed to date a club.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Name, shown with every answer.
    pub name: String,
    /// The catalogue it was fitted with.
    pub catalogue: Catalogue,
    /// Where it came from.
    pub origin: Origin,
    /// Tables of the level clues.
    pub level_tables: Vec<LevelTable>,
    /// Tables of the measured clues, a block for each part that has any.
    pub blocks: Vec<MeasuredBlock>,
    /// Years of use of the marks.
    pub marks: Vec<MarkUse>,
    /// How shaft and grip belong to the head, where rules say it; without it each part is dated by itself.
    pub parts: Option<PartsModel>,
    /// Priors; `flat` is always among them.
    pub priors: Vec<Prior>,
    /// Name of the prior that is used when none is asked for.
    pub default_prior: String,
    /// The same calibration fitted on resampled clubs (each without draws of its own); often none.
    pub draws: Vec<Calibration>,
}

/// Where a calibration came from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Origin {
    /// Program and version that fitted it.
    pub program: String,
    /// Dated clubs fitted on.
    pub clubs: usize,
    /// Earliest and latest year among them, inclusive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dated: Option<[i32; 2]>,
    /// File name of the catalogue.
    pub catalogue_file: String,
    /// SHA-256 of the catalogue file.
    pub catalogue_sha256: String,
    /// File name of the collection.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub collection_file: String,
    /// SHA-256 of the collection file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub collection_sha256: String,
    /// File name of the rules of thumb.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rules_file: String,
    /// SHA-256 of the rules file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rules_sha256: String,
    /// What the reader of every answer should know, e.g. that the data are invented.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notice: String,
    /// How good its answers were on its own clubs, each dated by a fit without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub audit: Option<AuditFigures>,
}

/// The figures of an audit that a calibration carries with it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AuditFigures {
    /// Number of folds.
    pub folds: usize,
    /// Clubs dated.
    pub clubs: usize,
    /// Mean log score in nats.
    pub log_score: f64,
    /// Mean CRPS in years.
    pub crps: f64,
    /// Mean CRPS of the prior alone, in years.
    pub crps_of_prior: f64,
    /// Share of the dates inside the 50, 80 and 95 % bands.
    pub coverage: [f64; 3],
}

/// Why a calibration is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CalibrationError {
    /// A level table.
    #[error(transparent)]
    Levels(#[from] LevelTableError),
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
    /// The default prior is not among the priors.
    #[error("default prior \"{0}\" is not among the priors")]
    DefaultPrior(String),
}

/// Exponents lie between these.
const WEIGHTS: [f64; 2] = [0.0, 1.2];

impl Calibration {
    /// Checks everything and brings shares to a sum of 1; returns a note for each that an edit had moved.
    ///
    /// # Errors
    /// [`CalibrationError`] with the first thing that is wrong.
    pub fn check(&mut self) -> Result<Vec<String>, CalibrationError> {
        let mut notes = Vec::new();
        let mut seen = std::collections::BTreeSet::new();
        for table in &mut self.level_tables {
            let clue = find(&self.catalogue, &table.clue, ClueKind::Levels, None)?;
            if !seen.insert(table.clue.clone()) {
                return Err(CalibrationError::Twice(table.clue.clone()));
            }
            shape(&table.clue, "rows", table.rows.len(), self.catalogue.axis.n_rows())?;
            for shares in table.rows.iter().map(|row| &row.shares).chain(std::iter::once(&table.overall)) {
                shape(&table.clue, "shares", shares.len(), clue.levels.len())?;
            }
            between(&table.clue, "misread", table.misread, [0.0, 0.999])?;
            between(&table.clue, "weight", table.weight, WEIGHTS)?;
            notes.extend(table.normalise(self.catalogue.axis)?);
        }
        let mut parts = std::collections::BTreeSet::new();
        for block in &self.blocks {
            if !parts.insert(block.part) {
                return Err(CalibrationError::Twice(block.part.word().to_owned()));
            }
            between(block.part.word(), "weight", block.weight, WEIGHTS)?;
            for table in &block.clues {
                find(&self.catalogue, &table.clue, ClueKind::Measured, Some(block.part))?;
                if !seen.insert(table.clue.clone()) {
                    return Err(CalibrationError::Twice(table.clue.clone()));
                }
                shape(&table.clue, "rows", table.rows.len(), self.catalogue.axis.n_rows())?;
                between(&table.clue, "misread", table.misread, [0.0, 0.999])?;
            }
            for adjuster in &block.adjusters {
                let clue = find(&self.catalogue, &adjuster.clue, ClueKind::Levels, Some(block.part))?;
                if !seen.insert(adjuster.clue.clone()) {
                    return Err(CalibrationError::Twice(adjuster.clue.clone()));
                }
                shape(&adjuster.clue, "rows", adjuster.expected.len(), self.catalogue.axis.n_rows())?;
                shape(&adjuster.clue, "shifts", adjuster.shifts.len(), block.clues.len())?;
                shape(&adjuster.clue, "shifts", adjuster.centred.len(), block.clues.len())?;
                for levels in adjuster.expected.iter().chain(&adjuster.shifts) {
                    shape(&adjuster.clue, "levels", levels.len(), clue.levels.len())?;
                }
            }
            block.check()?;
        }
        for mark in &self.marks {
            mark.check()?;
            let clue = find(&self.catalogue, &mark.clue, ClueKind::Mark, None)?;
            if clue.levels.iter().all(|level| level.id != mark.mark) {
                return Err(CalibrationError::Clue(mark.mark.clone()));
            }
        }
        if let Some(parts) = &self.parts {
            parts.check()?;
            for sign in &parts.signs {
                let clue = find(&self.catalogue, &sign.clue, ClueKind::Levels, Some(sign.part))?;
                shape(&sign.clue, "shares", sign.original.len(), clue.levels.len())?;
                shape(&sign.clue, "shares", sign.replaced.len(), clue.levels.len())?;
            }
        }
        for draw in &mut self.draws {
            draw.check()?;
        }
        if self.priors.iter().all(|prior| prior.name != self.default_prior) {
            return Err(CalibrationError::DefaultPrior(self.default_prior.clone()));
        }
        Ok(notes)
    }

    /// Table of a level clue.
    #[must_use]
    pub fn level_table(&self, clue: &str) -> Option<&LevelTable> {
        self.level_tables.iter().find(|table| table.clue == clue)
    }

    /// Block and place in it of a measured clue that dates a part.
    #[must_use]
    pub fn measured_table(&self, part: Part, clue: &str) -> Option<(&MeasuredBlock, usize)> {
        let block = self.blocks.iter().find(|block| block.part == part)?;
        block.clues.iter().position(|table: &MeasuredTable| table.clue == clue).map(|ix| (block, ix))
    }

    /// Periods of use of a clue's marks.
    #[must_use]
    pub fn uses_of(&self, clue: &str) -> Vec<&MarkUse> {
        self.marks.iter().filter(|mark| mark.clue == clue).collect()
    }

    /// A prior by its name.
    ///
    /// # Errors
    /// [`DatingError::Prior`] with the names there are.
    pub fn prior(&self, name: &str) -> Result<&Prior, DatingError> {
        self.priors.iter().find(|prior| prior.name == name).ok_or_else(|| DatingError::Prior {
            name: name.to_owned(),
            allowed: self.priors.iter().map(|prior| prior.name.clone()).collect(),
        })
    }

    /// Parts that the calibration can date: those with a table.
    #[must_use]
    pub fn parts(&self) -> Vec<Part> {
        let has_table =
            |clue: &Clue| self.level_table(&clue.id).is_some() || self.measured_table(clue.part, &clue.id).is_some();
        let tabled = |part: Part| self.catalogue.clues.iter().any(|clue| clue.part == part && has_table(clue));
        Part::ALL.into_iter().filter(|&part| tabled(part)).collect()
    }
}

fn find<'a>(
    catalogue: &'a Catalogue,
    id: &str,
    kind: ClueKind,
    part: Option<Part>,
) -> Result<&'a Clue, CalibrationError> {
    let fits = |clue: &&Clue| clue.id == id && clue.kind == kind && part.is_none_or(|part| part == clue.part);
    catalogue.clues.iter().find(fits).ok_or_else(|| CalibrationError::Clue(id.to_owned()))
}

fn shape(clue: &str, what: &'static str, found: usize, wanted: usize) -> Result<(), CalibrationError> {
    if found == wanted { Ok(()) } else { Err(CalibrationError::Shape { clue: clue.to_owned(), what, found, wanted }) }
}

fn between(clue: &str, what: &'static str, value: f64, [low, high]: [f64; 2]) -> Result<(), CalibrationError> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(CalibrationError::Number { clue: clue.to_owned(), what, value, low, high })
    }
}
