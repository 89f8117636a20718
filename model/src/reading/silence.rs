//! Whether a club is one of those on which a clue says nothing of the date.

use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::clue::Clue;
use crate::reading::silent_on::SilentOn;

/// Whether a club is one of those: all that may have been read of the other clue is among the levels named.
///
/// ```
/// use agewright_model::reading::silence::is_silent;
/// use agewright_model::reading::silent_on::SilentOn;
/// use agewright_model::{Cell, Clue, ClueKind, Level, Part};
///
/// let levels = vec![Level::plain("adult"), Level::plain("child")];
/// let size = Clue { levels, ..Clue::new("size", ClueKind::Levels, Part::Head) };
/// let on = SilentOn { clue: "size".into(), is: vec!["child".into()] };
/// let read = |text| Cell::from_text(&size, text, false).unwrap();
/// assert!(is_silent(&on, &size, &read("child?")) && !is_silent(&on, &size, &read("child|adult")));
/// assert!(!is_silent(&on, &size, &Cell::Unreadable) && !is_silent(&on, &size, &Cell::NotExamined));
/// ```
#[must_use]
pub fn is_silent(on: &SilentOn, other: &Clue, cell: &Cell) -> bool {
    let Cell::Read(Reading { seen: Seen::Levels(levels), .. }) = cell else { return false };
    let is_named = |level: &usize| other.levels.get(*level).is_some_and(|level| on.is.contains(&level.id));
    levels.iter().all(is_named)
}

/// What is wrong with it among these clues.
pub(crate) fn silence_problem(on: &SilentOn, clues: &[Clue]) -> Option<String> {
    let Some(other) = clues.iter().find(|clue| clue.id == on.clue) else {
        return Some(format!("it is silent on \"{}\", which is no clue of the catalogue", on.clue));
    };
    let unknown = on.is.iter().find(|level| other.level_ix(level).is_none());
    match unknown {
        Some(level) => Some(format!("it is silent on \"{level}\", which is no level of \"{}\"", on.clue)),
        None if on.is.is_empty() => Some(format!("it is silent on no level of \"{}\"", on.clue)),
        None => None,
    }
}
