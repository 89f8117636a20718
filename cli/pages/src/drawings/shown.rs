//! The drawings that belong to a clue, its levels and its readings.

use crate::drawings::line_drawing::line_drawing;
use agewright_files::drawings::Drawings;
use agewright_model::{Cell, Clue, Level, Seen};

/// Levels of one reading that are shown side by side, at the most.
const MOST_LEVELS: usize = 2;

/// How a clue's reading is taken, where its catalogue names a drawing.
#[must_use]
pub fn clue_drawing(drawings: Drawings<'_>, clue: &Clue) -> Option<String> {
    drawings.strokes(&clue.drawing).map(|strokes| line_drawing(&strokes, &clue.name(), &clue.how))
}

/// What a level of a clue looks like, where its catalogue names a drawing.
#[must_use]
pub fn level_drawing(drawings: Drawings<'_>, clue: &Clue, level: &Level) -> Option<String> {
    let title = format!("{}: {}", clue.name(), level.name());
    let look = if level.look.is_empty() { level.name() } else { level.look.clone() };
    drawings.strokes(&level.drawing).map(|strokes| line_drawing(&strokes, &title, &look))
}

/// What was read on a club: the levels seen, or how the measure was taken. Nothing for what could not be read.
#[must_use]
pub fn reading_drawings(drawings: Drawings<'_>, clue: &Clue, cell: &Cell) -> Vec<String> {
    let Cell::Read(reading) = cell else { return Vec::new() };
    match &reading.seen {
        Seen::Levels(levels) if levels.len() <= MOST_LEVELS => {
            levels.iter().filter_map(|&level| level_drawing(drawings, clue, clue.levels.get(level)?)).collect()
        }
        Seen::Levels(_) => Vec::new(),
        _ => clue_drawing(drawings, clue).into_iter().collect(),
    }
}
