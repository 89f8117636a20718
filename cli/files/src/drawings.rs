//! Drawings of levels and measures: the built-in ones, those of a catalogue, and what each is laid down of.

use crate::nearest_word::nearest;
use agewright_model::reading::catalogue::CatalogueProblem;
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::reading::drawing::{Drawing, Stroke};
use agewright_model::{Catalogue, CatalogueError, Clue, Level};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use svgtypes::{SimplePathSegment, SimplifyingPathParser};

/// Text of the built-in drawings.
pub const BUILT_IN_DRAWINGS: &str = include_str!("../../irons/drawings.toml");

/// Strokes that a drawing may come to, with all that it is built on: more is a slip, or meant to fill a memory.
const MOST_STROKES: usize = 1000;
/// Letters of a path.
const MOST_LETTERS: usize = 10_000;
/// No line leads further from the field.
const FURTHEST: f64 = 1000.0;

/// Drawings as a file has them.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DrawingsFile {
    #[serde(rename = "drawing")]
    drawings: Vec<Drawing>,
}

/// Read when the first is asked for; a test sees that they can be read.
static BUILT_IN: LazyLock<Vec<Drawing>> =
    LazyLock::new(|| toml::from_str::<DrawingsFile>(BUILT_IN_DRAWINGS).map_or_else(|_| Vec::new(), |f| f.drawings));

/// The drawings that a catalogue may name: its own before the built-in ones.
///
/// ```
/// use agewright_files::drawings::Drawings;
///
/// let loaded = agewright_files::built_in().unwrap();
/// let drawings = Drawings::of(loaded.calibration.catalogue());
/// assert!(drawings.strokes("nicking_coarse").is_some_and(|strokes| strokes.len() > 3));
/// assert!(drawings.strokes("no_such").is_none());
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Drawings<'a> {
    own: &'a [Drawing],
}

impl<'a> Drawings<'a> {
    /// Those of a catalogue.
    #[must_use]
    pub fn of(catalogue: &'a Catalogue) -> Self {
        Self { own: catalogue.drawings() }
    }

    /// What is laid down for a drawing, in order, with all that it is built on; `None` where there is no such drawing.
    #[must_use]
    pub fn strokes(&self, id: &str) -> Option<Vec<&'a Stroke>> {
        let mut strokes = Vec::new();
        self.lay_down(id, self.own.len(), &mut strokes).then_some(strokes)
    }

    /// Own drawings are built on earlier ones of theirs alone, so that it comes to an end.
    fn lay_down(&self, id: &str, own: usize, strokes: &mut Vec<&'a Stroke>) -> bool {
        let (drawing, own) = match self.own[..own].iter().rposition(|drawing| drawing.id == id) {
            Some(place) => (&self.own[place], place),
            None => match BUILT_IN.iter().position(|drawing| drawing.id == id) {
                Some(place) => return lay_down_built_in(place, strokes),
                None => return false,
            },
        };
        let are_there = drawing.of.iter().all(|below| self.lay_down(below, own, strokes));
        strokes.extend(&drawing.strokes);
        are_there
    }
}

fn lay_down_built_in(place: usize, strokes: &mut Vec<&Stroke>) -> bool {
    let drawing = &BUILT_IN[place];
    let below = |id: &String| BUILT_IN[..place].iter().position(|drawing| drawing.id == *id);
    let are_there = drawing.of.iter().all(|id| below(id).is_some_and(|below| lay_down_built_in(below, strokes)));
    strokes.extend(&drawing.strokes);
    are_there
}

/// Checks the drawings that a catalogue brings.
///
/// # Errors
/// [`CatalogueError`] with the path of what is wrong.
pub(crate) fn check_own(drawings: &[Drawing]) -> Result<(), CatalogueError> {
    let mut heights: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, drawing) in drawings.iter().enumerate() {
        let path = || DocumentPath::key("drawing").at(place);
        let wrong = |path, what: String| Err(error(path, format!("drawing \"{}\": {what}", drawing.id)));
        let is_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        if drawing.id.is_empty() || !drawing.id.chars().all(is_name) {
            return wrong(path().then("id"), "its id may hold a to z, 0 to 9 and _".to_owned());
        }
        if heights.contains_key(drawing.id.as_str()) {
            return wrong(path().then("id"), "the id stands twice".to_owned());
        }
        let mut height = drawing.strokes.iter().map(|stroke| stroke.places().len()).sum::<usize>();
        for (at, below) in drawing.of.iter().enumerate() {
            let Some(of) = heights.get(below.as_str()).copied().or_else(|| built_in_height(below)) else {
                let known = heights.keys().copied().chain(BUILT_IN.iter().map(|drawing| drawing.id.as_str()));
                let what = format!("it is built on \"{below}\", which is no earlier drawing{}", or_meant(below, known));
                return wrong(path().then("of").at(at), what);
            };
            height = height.saturating_add(of);
        }
        if height > MOST_STROKES {
            return wrong(path(), format!("it comes to {height} strokes; at most {MOST_STROKES}"));
        }
        for (at, stroke) in drawing.strokes.iter().enumerate() {
            if let Err((key, what)) = check_stroke(stroke) {
                return wrong(path().then("strokes").at(at).then(key), what);
            }
        }
        heights.insert(&drawing.id, height);
    }
    Ok(())
}

fn built_in_height(id: &str) -> Option<usize> {
    let mut strokes = Vec::new();
    let place = BUILT_IN.iter().position(|drawing| drawing.id == id)?;
    lay_down_built_in(place, &mut strokes).then(|| strokes.iter().map(|stroke| stroke.places().len()).sum())
}

/// Whether a stroke can be drawn: path data by the grammar of SVG, numbers near the field.
fn check_stroke(stroke: &Stroke) -> Result<(), (&'static str, String)> {
    let is_near = |numbers: &[f64]| numbers.iter().all(|number| number.abs() <= FURTHEST);
    if stroke.path.len() > MOST_LETTERS {
        return Err(("path", format!("the path has {} letters; at most {MOST_LETTERS}", stroke.path.len())));
    }
    let mut segments = 0;
    for segment in SimplifyingPathParser::from(stroke.path.as_str()) {
        let is_near = match segment.map_err(|error| ("path", format!("no path data of SVG: {error}")))? {
            SimplePathSegment::MoveTo { x, y } | SimplePathSegment::LineTo { x, y } => is_near(&[x, y]),
            SimplePathSegment::CurveTo { x1, y1, x2, y2, x, y } => is_near(&[x1, y1, x2, y2, x, y]),
            SimplePathSegment::Quadratic { x1, y1, x, y } => is_near(&[x1, y1, x, y]),
            SimplePathSegment::ClosePath => true,
        };
        if !is_near {
            return Err(("path", "the path leads far from the field of 96 x 72".to_owned()));
        }
        segments += 1;
    }
    if segments < 2 {
        return Err(("path", "the path draws nothing".to_owned()));
    }
    if !stroke.at.iter().all(|place| is_near(place)) {
        return Err(("at", "a place is far from the field of 96 x 72".to_owned()));
    }
    Ok(())
}

/// Checks that every drawing that is named is there.
///
/// # Errors
/// [`CatalogueError`] with the path of the first that is not.
pub(crate) fn check_named(catalogue: &Catalogue) -> Result<(), CatalogueError> {
    let is_there =
        |id: &str| id.is_empty() || catalogue.drawings().iter().chain(BUILT_IN.iter()).any(|drawing| drawing.id == id);
    let missing = |path: DocumentPath, clue: &Clue, id: &str| {
        let known = catalogue.drawings().iter().chain(BUILT_IN.iter()).map(|drawing| drawing.id.as_str());
        error(path, format!("clue \"{}\": there is no drawing \"{id}\"{}", clue.id, or_meant(id, known)))
    };
    for (place, clue) in catalogue.clues().iter().enumerate() {
        let path = || DocumentPath::key("clue").at(place);
        if !is_there(&clue.drawing) {
            return Err(missing(path().then("drawing"), clue, &clue.drawing));
        }
        let unknown = |level: &Level| !is_there(&level.drawing);
        if let Some(at) = clue.levels.iter().position(unknown) {
            return Err(missing(path().then("levels").at(at).then("drawing"), clue, &clue.levels[at].drawing));
        }
    }
    Ok(())
}

fn or_meant<'a>(id: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(id, known).map_or_else(String::new, |near| format!("; did you mean \"{near}\"?"))
}

fn error(path: DocumentPath, what: String) -> CatalogueError {
    CatalogueError { path, problem: CatalogueProblem::Drawing(what) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_drawings_can_be_read_and_pass_as_ones_own() {
        let file: DrawingsFile = toml::from_str(BUILT_IN_DRAWINGS).unwrap();
        assert!(file.drawings.len() > 100);
        check_own(&file.drawings).unwrap();
    }
}
