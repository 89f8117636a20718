//! On what clubs a clue says nothing of the date: a child's club is short at any date.

use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::clue::Clue;
use serde::{Deserialize, Serialize};

/// Another clue, and the levels of it that make a club one of those.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SilentOn {
    /// The other clue's id.
    pub clue: String,
    /// Its levels, by their ids.
    pub is: Vec<String>,
}

impl SilentOn {
    /// Whether a club is one of those: all that may have been read of the other clue is among the levels named.
    ///
    /// ```
    /// use agewright_model::reading::silent_on::SilentOn;
    /// use agewright_model::{Cell, Clue, ClueKind, Level, Part};
    ///
    /// let levels = vec![Level::plain("adult"), Level::plain("child")];
    /// let size = Clue { levels, ..Clue::new("size", ClueKind::Levels, Part::Head) };
    /// let silent = SilentOn { clue: "size".into(), is: vec!["child".into()] };
    /// let read = |text| Cell::from_text(&size, text, false).unwrap();
    /// assert!(silent.holds(&size, &read("child?")) && !silent.holds(&size, &read("child|adult")));
    /// assert!(!silent.holds(&size, &Cell::Unreadable) && !silent.holds(&size, &Cell::NotExamined));
    /// ```
    #[must_use]
    pub fn holds(&self, other: &Clue, cell: &Cell) -> bool {
        let Cell::Read(Reading { seen: Seen::Levels(levels), .. }) = cell else { return false };
        let is_named = |level: &usize| other.levels.get(*level).is_some_and(|level| self.is.contains(&level.id));
        levels.iter().all(is_named)
    }

    /// What is wrong with it among these clues.
    pub(crate) fn problem(&self, clues: &[Clue]) -> Option<String> {
        let Some(other) = clues.iter().find(|clue| clue.id == self.clue) else {
            return Some(format!("it is silent on \"{}\", which is no clue of the catalogue", self.clue));
        };
        let unknown = self.is.iter().find(|level| other.level_ix(level).is_none());
        match unknown {
            Some(level) => Some(format!("it is silent on \"{level}\", which is no level of \"{}\"", self.clue)),
            None if self.is.is_empty() => Some(format!("it is silent on no level of \"{}\"", self.clue)),
            None => None,
        }
    }
}
