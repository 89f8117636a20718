//! Whether what a clue needs of another is there.

use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::clue::Clue;
use crate::reading::needs::Needs;

/// Whether what stands for the other clue leaves something to read: not if all that it may be is among the levels
/// named, nor if it is worn or covered itself.
///
/// ```
/// use agewright_model::reading::needs::Needs;
/// use agewright_model::reading::needs_met::are_met;
/// use agewright_model::{Cell, Clue, ClueKind, Level, Part};
///
/// let levels = vec![Level::plain("smooth"), Level::plain("lines")];
/// let face = Clue { levels, ..Clue::new("face", ClueKind::Levels, Part::Head) };
/// let needs = Needs { clue: "face".into(), not: vec!["smooth".into()] };
/// let read = |text| Cell::from_text(&face, text, false).unwrap();
/// assert!(!are_met(&needs, &face, &read("smooth")) && !are_met(&needs, &face, &Cell::Unreadable));
/// assert!(are_met(&needs, &face, &read("smooth|lines")) && are_met(&needs, &face, &Cell::NotExamined));
/// ```
#[must_use]
pub fn are_met(needs: &Needs, other: &Clue, cell: &Cell) -> bool {
    match cell {
        Cell::Unreadable => false,
        Cell::Read(Reading { seen: Seen::Levels(levels), .. }) => {
            let is_named = |level: &usize| other.levels.get(*level).is_some_and(|level| needs.not.contains(&level.id));
            !levels.iter().all(is_named)
        }
        _ => true,
    }
}

/// What is wrong with a need among these clues.
pub(crate) fn need_problem(needs: &Needs, clues: &[Clue]) -> Option<String> {
    let Some(other) = clues.iter().find(|clue| clue.id == needs.clue) else {
        return Some(format!("it needs \"{}\", which is no clue of the catalogue", needs.clue));
    };
    let unknown = needs.not.iter().find(|level| other.level_ix(level).is_none())?;
    let levels: Vec<&str> = other.levels.iter().map(|level| level.id.as_str()).collect();
    let levels = levels.join(", ");
    Some(format!("it needs \"{}\" not to be \"{unknown}\", which is no level of it; its levels: {levels}", needs.clue))
}
