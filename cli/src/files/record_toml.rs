//! Reads one club from a TOML record.

use super::catalogue_toml::toml_problem;
use super::collection_csv::is_unprintable;
use crate::failure::{Failure, InputProblem, SourceText};
use crate::nearest_word::{hint, nearest};
use agewright_model::{Catalogue, Cell, Club};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::rc::Rc;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Record {
    id: Spanned<String>,
    catalogue: Option<Spanned<String>>,
    #[serde(default)]
    note: String,
    #[serde(default)]
    readings: BTreeMap<Spanned<String>, Spanned<toml::Value>>,
    #[serde(default)]
    text: BTreeMap<String, String>,
}

/// Reads a record against a catalogue; a record that names another catalogue is refused.
pub fn read_record(source: &Rc<SourceText>, catalogue: &Catalogue) -> Result<Club, Failure> {
    let record: Record = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
    if let Some(named) = &record.catalogue
        && named.get_ref() != &catalogue.name
    {
        let message = format!("this record was read by the catalogue \"{}\"", named.get_ref());
        let help = format!("the calibration holds \"{}\"; choose one that fits with --calibration", catalogue.name);
        return Err(InputProblem::new(source, Some(named.span()), message).help(Some(help)).into());
    }
    let id = record.id.get_ref().trim().to_owned();
    if id.is_empty() {
        return Err(InputProblem::new(source, Some(record.id.span()), "this club has no id").into());
    }
    let words = record.text.values().chain([&id, &record.note]);
    if words.flat_map(|text| text.chars()).any(is_unprintable) || id.contains('\n') {
        let message = "id, note and text hold no control characters";
        return Err(InputProblem::new(source, Some(record.id.span()), message).into());
    }
    let mut club = Club { id, text: record.text, note: record.note, ..Club::default() };
    club.cells = vec![Cell::NotExamined; catalogue.clues.len()];
    let mut problems = Vec::new();
    for (key, value) in &record.readings {
        match read_reading(source, catalogue, key, value) {
            Ok((ix, cell)) => club.cells[ix] = cell,
            Err(problem) => problems.push(problem.at(format!("club {}", club.id))),
        }
    }
    if problems.is_empty() { Ok(club) } else { Err(Failure::Input(problems)) }
}

fn read_reading(
    source: &Rc<SourceText>,
    catalogue: &Catalogue,
    key: &Spanned<String>,
    value: &Spanned<toml::Value>,
) -> Result<(usize, Cell), InputProblem> {
    let Some(ix) = catalogue.clue_ix(key.get_ref()) else {
        let ids = catalogue.clues.iter().map(|clue| clue.id.as_str());
        let help = nearest(key.get_ref(), ids).map(|near| format!("did you mean \"{near}\"?"));
        let message = format!("\"{}\" is no clue of the catalogue", key.get_ref());
        return Err(InputProblem::new(source, Some(key.span()), message).help(help));
    };
    // A number is taken as it was written, so that 0.60 stays 0.60 on the page.
    let text = match value.get_ref() {
        toml::Value::String(text) => text.as_str(),
        toml::Value::Integer(_) | toml::Value::Float(_) => &source.text[value.span()],
        other => {
            let message = format!("a reading is a text or a number, not {}", other.type_str());
            return Err(InputProblem::new(source, Some(value.span()), message));
        }
    };
    Cell::from_text(&catalogue.clues[ix], text, false).map(|cell| (ix, cell)).map_err(|error| {
        let help = error.choices().and_then(|(word, allowed)| hint(word, allowed));
        InputProblem::new(source, Some(value.span()), error.to_string()).help(help)
    })
}
