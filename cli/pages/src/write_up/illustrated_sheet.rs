//! A catalogue as a sheet to print and write on: each clue with a drawing of every level, and room for the reading.

use crate::drawings::shown::{clue_drawing, level_drawing};
use crate::write_up::page_error::PageError;
use crate::write_up::templates::{STYLE, environment};
use agewright_files::drawings::Drawings;
use agewright_model::{Catalogue, Clue, Part, Unit};
use minijinja::value::{Serde, Value};
use serde::Serialize;

#[derive(Serialize)]
struct SheetFacts<'a> {
    style: &'static str,
    title: &'a str,
    from: i32,
    to: i32,
    parts: Vec<PartOfSheet>,
    has_drawings: bool,
    version: &'static str,
}

#[derive(Serialize)]
struct PartOfSheet {
    name: &'static str,
    clues: Vec<ClueOfSheet>,
}

#[derive(Serialize)]
struct ClueOfSheet {
    number: usize,
    name: String,
    id: String,
    how: String,
    adjusts: bool,
    /// How the reading is taken, as SVG.
    drawing: Option<String>,
    /// What is written: unit and range, or what a number looks like; nothing where levels are ticked.
    written: Option<String>,
    levels: Vec<LevelOfSheet>,
}

#[derive(Serialize)]
struct LevelOfSheet {
    name: String,
    look: String,
    drawing: Option<String>,
}

/// The sheet as HTML with everything in it.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn illustrated_sheet(catalogue: &Catalogue) -> Result<String, PageError> {
    let drawings = Drawings::of(catalogue);
    let clues = |part: Part| {
        let numbered = (1..).zip(catalogue.clues()).filter(move |(_, clue)| clue.part == part);
        numbered.map(|(number, clue)| clue_of_sheet(drawings, number, clue)).collect::<Vec<_>>()
    };
    let named = [(Part::Head, "Head"), (Part::Shaft, "Shaft"), (Part::Grip, "Grip")];
    let parts = named.into_iter().map(|(part, name)| PartOfSheet { name, clues: clues(part) });
    let parts: Vec<PartOfSheet> = parts.filter(|part| !part.clues.is_empty()).collect();
    let is_drawn =
        |clue: &ClueOfSheet| clue.drawing.is_some() || clue.levels.iter().any(|level| level.drawing.is_some());
    let facts = SheetFacts {
        has_drawings: parts.iter().flat_map(|part| &part.clues).any(is_drawn),
        style: STYLE,
        title: catalogue.name(),
        from: catalogue.axis().from(),
        to: catalogue.axis().last(),
        parts,
        version: concat!("agewright ", env!("CARGO_PKG_VERSION")),
    };
    let page =
        environment()?.get_template("illustrated-sheet.html").and_then(|t| t.render(Value::from(Serde(facts))))?;
    Ok(format!("{}\n", page.trim_end()))
}

fn clue_of_sheet(drawings: Drawings<'_>, number: usize, clue: &Clue) -> ClueOfSheet {
    let levels = clue.levels.iter().map(|level| LevelOfSheet {
        name: level.name(),
        look: if level.look == level.name() { String::new() } else { level.look.clone() },
        drawing: level_drawing(drawings, clue, level),
    });
    ClueOfSheet {
        number,
        name: clue.name(),
        id: clue.id.clone(),
        how: clue.how.clone(),
        adjusts: clue.adjusts,
        drawing: clue_drawing(drawings, clue),
        written: written(clue),
        levels: levels.collect(),
    }
}

/// What is written beside the line, for a clue without levels to tick.
fn written(clue: &Clue) -> Option<String> {
    if clue.kind.is_measure() {
        let range = clue.range.map_or_else(String::new, |[low, high]| format!(" ({low} to {high})"));
        let unit = if clue.unit == Unit::Plain { "" } else { clue.unit.symbol() };
        return Some(format!("{unit}{range}").trim().to_owned());
    }
    clue.levels.is_empty().then(|| clue.register.map_or_else(String::new, |register| register.name().to_owned()))
}
