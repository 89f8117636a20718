//! What a clue needs of another to make sense: there is no regularity of the scoring on a smooth face.

use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::clue::Clue;
use serde::{Deserialize, Serialize};

/// Another clue, and the levels of it with which there is nothing to read.
///
/// ```
/// use agewright_model::reading::needs::Needs;
/// use agewright_model::{Cell, Clue, ClueKind, Level, Part};
///
/// let levels = vec![Level::plain("smooth"), Level::plain("lines")];
/// let face = Clue { levels, ..Clue::new("face", ClueKind::Levels, Part::Head) };
/// let needs = Needs { clue: "face".into(), not: vec!["smooth".into()] };
/// let read = |text| Cell::from_text(&face, text, false).unwrap();
/// assert!(!needs.are_met(&face, &read("smooth")) && !needs.are_met(&face, &Cell::Unreadable));
/// assert!(needs.are_met(&face, &read("smooth|lines")) && needs.are_met(&face, &Cell::NotExamined));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Needs {
    /// The other clue's id.
    pub clue: String,
    /// Its levels, by their ids, with which there is nothing to read.
    pub not: Vec<String>,
}

impl Needs {
    /// Whether what stands for the other clue leaves something to read: not if all that it may be is among the levels
    /// named, nor if it is worn or covered itself.
    #[must_use]
    pub fn are_met(&self, other: &Clue, cell: &Cell) -> bool {
        match cell {
            Cell::Unreadable => false,
            Cell::Read(Reading { seen: Seen::Levels(levels), .. }) => {
                let is_named =
                    |level: &usize| other.levels.get(*level).is_some_and(|level| self.not.contains(&level.id));
                !levels.iter().all(is_named)
            }
            _ => true,
        }
    }

    /// What is wrong with it among these clues.
    pub(crate) fn problem(&self, clues: &[Clue]) -> Option<String> {
        let Some(other) = clues.iter().find(|clue| clue.id == self.clue) else {
            return Some(format!("it needs \"{}\", which is no clue of the catalogue", self.clue));
        };
        let unknown = self.not.iter().find(|level| other.level_ix(level).is_none())?;
        Some(format!("it needs \"{}\" not to be \"{unknown}\", which is no level of it", self.clue))
    }
}
