//! What is fitted: the tables of all clues, and the priors. A calibration has one set, and may have more as draws.

use crate::reading::catalogue::Catalogue;
use crate::reading::cell::{Reading, Seen};
use crate::reading::clue::{Clue, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::level::Level;
use crate::reading::part::Part;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use crate::tables::check::Check;
use crate::tables::level_table::LevelTable;
use crate::tables::measured_block::{MeasuredBlock, MeasuredTable};
use crate::tables::prior::{Prior, UnknownPrior};
use crate::tables::shares::SharesMoved;

/// The fitted tables.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TableSet {
    /// Tables of the level clues.
    pub levels: Vec<LevelTable>,
    /// Tables of the measured clues, a block for each part that has any.
    pub blocks: Vec<MeasuredBlock>,
    /// Priors; in a calibration `flat` is always among them.
    pub priors: Vec<Prior>,
}

/// What every table that a clue has for itself tells, whatever its form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnTable<'a> {
    /// The clue's id.
    pub clue: &'a str,
    /// Number of dated clubs read for the clue.
    pub clubs: usize,
    /// Exponent of the clue.
    pub weight: f64,
}

/// The two cases of a reading by a table of its own: read right, at each row; misread, the same in all rows.
pub(crate) struct Cases {
    pub right: Vec<f64>,
    pub wrong: f64,
    /// The clue's exponent.
    pub weight: f64,
}

impl TableSet {
    /// The tables that clues have for themselves, of every form.
    pub fn own_tables(&self) -> impl Iterator<Item = OwnTable<'_>> {
        self.levels.iter().map(|table| OwnTable { clue: &table.clue, clubs: table.clubs, weight: table.weight })
    }

    /// The exponents of these tables, by the ids of their clues.
    pub fn own_weights_mut(&mut self) -> impl Iterator<Item = (&str, &mut f64)> {
        self.levels.iter_mut().map(|table| (table.clue.as_str(), &mut table.weight))
    }

    /// Puts the rows of a draw into these tables, where the draw has them.
    pub fn take_own_rows(&mut self, drawn: &Self) {
        for table in &mut self.levels {
            if let Some(other) = drawn.level_table(&table.clue) {
                table.rows.clone_from(&other.rows);
            }
        }
    }

    /// Number of clues with a table.
    #[must_use]
    pub fn n_tables(&self) -> usize {
        self.own_tables().count() + self.blocks.iter().map(|block| block.clues.len()).sum::<usize>()
    }

    /// Every reading that a clue with a table of its own may have.
    #[must_use]
    pub fn outcomes(&self, clue: &Clue) -> Option<Vec<Reading>> {
        self.level_table(&clue.id)?;
        let level = |(k, level): (usize, &Level)| Reading::sure(&level.id, Seen::Levels(vec![k]));
        Some(clue.levels.iter().enumerate().map(level).collect())
    }

    /// Probability of a reading at each row by a table that its clue has for itself.
    #[must_use]
    pub fn likelihood_rows(&self, clue: &Clue, reading: &Reading) -> Option<Vec<f64>> {
        let Cases { right, wrong, .. } = self.cases(clue, reading)?;
        Some(right.iter().map(|r| r + wrong).collect())
    }

    /// Mean at each row, for clues that have one: of a measure on its scale.
    #[must_use]
    pub fn means(&self, clue: &str) -> Option<Vec<f64>> {
        let table = self.blocks.iter().flat_map(|block| &block.clues).find(|table| table.clue == clue)?;
        Some(table.rows.iter().map(|row| row.mean).collect())
    }

    /// Table of a level clue.
    #[must_use]
    pub fn level_table(&self, clue: &str) -> Option<&LevelTable> {
        self.levels.iter().find(|table| table.clue == clue)
    }

    /// The measured clues of a part.
    #[must_use]
    pub fn block(&self, part: Part) -> Option<&MeasuredBlock> {
        self.blocks.iter().find(|block| block.part == part)
    }

    /// Table of a measured clue that dates a part.
    #[must_use]
    pub fn measured_table(&self, part: Part, clue: &str) -> Option<&MeasuredTable> {
        self.block(part)?.clues.iter().find(|table| table.clue == clue)
    }

    /// Whether a level clue corrects the measures of a part.
    #[must_use]
    pub fn is_level_adjuster(&self, part: Part, clue: &str) -> bool {
        self.block(part).is_some_and(|block| block.adjusters.iter().any(|adjuster| adjuster.clue == clue))
    }

    /// Whether readings of a fitted clue can say anything by these tables.
    #[must_use]
    pub fn knows(&self, clue: &Clue) -> bool {
        match clue.kind.table_form() {
            TableForm::Shares if clue.adjusts => self.is_level_adjuster(clue.part, &clue.id),
            TableForm::Shares => self.level_table(&clue.id).is_some(),
            TableForm::Measures => self.measured_table(clue.part, &clue.id).is_some(),
            TableForm::Known => false,
        }
    }

    /// What a reading says at each row by a table that its clue has for itself; `None` for clues that speak together,
    /// only adjust, or have no table.
    pub(crate) fn cases(&self, clue: &Clue, reading: &Reading) -> Option<Cases> {
        let table = self.level_table(&clue.id)?;
        let (right, wrong) = table.cases(clue.misread, reading);
        Some(Cases { right, wrong, weight: table.weight })
    }

    /// Checks every table, and brings shares to a sum of 1; returns those that an edit had moved.
    pub(crate) fn check(&mut self, catalogue: &Catalogue) -> Result<Vec<SharesMoved>, CalibrationError> {
        let mut check = Check::new(catalogue);
        let mut moved = Vec::new();
        for (place, table) in self.levels.iter_mut().enumerate() {
            moved.extend(table.check(&mut check, &DocumentPath::key("levels").at(place))?);
        }
        for (place, block) in self.blocks.iter().enumerate() {
            let path = DocumentPath::key("block").at(place);
            if self.blocks[..place].iter().any(|other| other.part == block.part) {
                return Err(CalibrationError::at(path, CalibrationProblem::Twice(block.part.word().to_owned())));
            }
            block.check(&mut check, &path)?;
        }
        for (place, prior) in self.priors.iter().enumerate() {
            let (found, wanted) = (prior.ln_by_year().len(), catalogue.axis().n_years());
            let name = prior.name.clone();
            if self.priors[..place].iter().any(|other| other.name == prior.name) {
                return Err(CalibrationError::at(DocumentPath::root(), CalibrationProblem::TwicePrior(name)));
            }
            if found != wanted {
                let problem = CalibrationProblem::PriorYears { name, found, wanted };
                return Err(CalibrationError::at(DocumentPath::root(), problem));
            }
        }
        Ok(moved)
    }

    /// Whether a draw has these tables, in the same form; otherwise what it lacks.
    pub(crate) fn has_the_form_of(&self, draw: &Self) -> Result<(), String> {
        let lacks_table = |table: &&LevelTable| !draw.level_table(&table.clue).is_some_and(|own| table.is_like(own));
        let lacks_block = |block: &&MeasuredBlock| !draw.block(block.part).is_some_and(|own| block.is_like(own));
        if let Some(table) = self.levels.iter().find(lacks_table) {
            return Err(table.clue.clone());
        }
        if let Some(block) = self.blocks.iter().find(lacks_block) {
            return Err(block.part.word().to_owned());
        }
        match self.priors.iter().find(|prior| draw.prior(&prior.name).is_err()) {
            Some(prior) => Err(prior.name.clone()),
            None => Ok(()),
        }
    }

    /// A prior by its name.
    ///
    /// # Errors
    /// [`UnknownPrior`] with the names there are.
    pub fn prior(&self, name: &str) -> Result<&Prior, UnknownPrior> {
        self.priors.iter().find(|prior| prior.name == name).ok_or_else(|| UnknownPrior {
            name: name.to_owned(),
            allowed: self.priors.iter().map(|prior| prior.name.clone()).collect(),
        })
    }
}
