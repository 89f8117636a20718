//! What is fitted: the tables of all clues, and the priors. A calibration has one set, and may have more as draws.

use crate::reading::part::Part;
use crate::tables::level_table::LevelTable;
use crate::tables::measured_block::{MeasuredBlock, MeasuredTable};
use crate::tables::prior::{Prior, UnknownPrior};

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

impl TableSet {
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
