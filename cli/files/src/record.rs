//! Reads one club from a TOML record, and writes one.

use crate::collection::{ListedClub, is_unprintable};
use crate::nearest_word::{cell_hint, nearest};
use crate::problem::{InputProblem, Problems, Refused, SourceText};
use crate::table_columns::{by_heading, clue_named, nearly};
use crate::table_dates::{DateField, DateTexts, read_date};
use crate::table_row::set_name;
use crate::toml_places::toml_problem;
use agewright_model::reading::known_date::DateGrade;
use agewright_model::reading::period_text::{ABOUT, OpenSide};
use agewright_model::{Catalogue, Cell, Club, KnownDate};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::Arc;
use toml::Spanned;

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(crate) struct Record {
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    id: Spanned<String>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    catalogue: Option<Spanned<String>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<serde_json::Value>"))]
    made: Option<Spanned<toml::Value>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<serde_json::Value>"))]
    made_from: Option<Spanned<toml::Value>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<serde_json::Value>"))]
    made_to: Option<Spanned<toml::Value>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<serde_json::Value>"))]
    date_grade: Option<Spanned<toml::Value>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    set: Option<Spanned<String>>,
    #[serde(default)]
    note: String,
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "BTreeMap<String, serde_json::Value>"))]
    readings: BTreeMap<Spanned<String>, Spanned<toml::Value>>,
    #[serde(default)]
    text: BTreeMap<String, String>,
}

/// Reads a record against a catalogue; a record that names another catalogue is refused.
///
/// # Errors
/// [`Refused`] with every reading that makes no sense.
///
/// ```
/// use agewright_files::{SourceText, built_in, read_record};
///
/// let loaded = built_in().unwrap();
/// let text = "id = \"mine\"\n[readings]\nhosel_to_crease = \"3 1/2 in\"\nface_scoring = \"smoth\"\n";
/// let refused = read_record(&SourceText::new("mine.toml", text), loaded.calibration.catalogue()).unwrap_err();
/// assert!(refused.to_string().starts_with("mine.toml:4: club mine: \"smoth\" is no level of face_scoring"));
/// assert!(refused.to_string().contains("did you mean \"smooth\"?"));
/// ```
pub fn read_record(source: &Arc<SourceText>, catalogue: &Catalogue) -> Result<Club, Refused> {
    read_dated_record(source, catalogue).map(|listed| listed.club)
}

/// The same with the date and the set that the record may give, for a collection of records.
///
/// # Errors
/// [`Refused`] with everything that makes no sense.
pub fn read_dated_record(source: &Arc<SourceText>, catalogue: &Catalogue) -> Result<ListedClub, Refused> {
    let record: Record = toml::from_str(&source.text).map_err(|error| {
        let problem = toml_problem(source, &error);
        match how_a_record_is_written(error.message(), catalogue)
            .filter(|help| source.text.contains("[reading") || help.contains("[readings]"))
        {
            Some(help) => problem.help(Some(help)),
            None => problem,
        }
    })?;
    if let Some(named) = &record.catalogue
        && named.get_ref() != catalogue.name()
    {
        let message = format!("this record was read by the catalogue \"{}\"", named.get_ref());
        let help = format!("the calibration holds \"{}\"; choose one that fits with --calibration", catalogue.name());
        return Err(InputProblem::new(source, Some(named.span()), message).help(Some(help)).into());
    }
    let id = record.id.get_ref().trim().to_owned();
    if id.is_empty() {
        return Err(InputProblem::new(source, Some(record.id.span()), "this club has no id").into());
    }
    let readings = record.readings.values().filter_map(|value| match value.get_ref() {
        toml::Value::String(text) => Some(text),
        _ => None,
    });
    let words = record.text.values().chain([&id, &record.note]).chain(readings);
    if words.flat_map(|text| text.chars()).any(is_unprintable) || id.contains('\n') {
        let message = "id, note, readings and text hold no control characters";
        return Err(InputProblem::new(source, Some(record.id.span()), message).into());
    }
    let record_dates = [record.made, record.made_from, record.made_to, record.date_grade];
    let mut club = Club { id, text: record.text, note: record.note, ..Club::default() };
    club.cells = vec![Cell::NotExamined; catalogue.clues().len()];
    let (mut problems, mut read) = (Problems::default(), BTreeSet::new());
    for (key, value) in &record.readings {
        match read_reading(source, catalogue, key, value) {
            // A clue may be named by its id and by its label.
            Ok((ix, _)) if !read.insert(ix) => {
                let message = format!("{} is read twice", catalogue.clues()[ix].id);
                problems.push(|| InputProblem::new(source, Some(key.span()), message).at(format!("club {}", club.id)));
            }
            Ok((ix, cell)) => club.cells[ix] = cell,
            Err(problem) => problems.push(|| problem.at(format!("club {}", club.id))),
        }
    }
    let of_club = |problem: InputProblem| problem.at(format!("club {}", club.id));
    let date = problems.keep(date_of(source, catalogue, &record_dates).map_err(of_club)).flatten();
    let set = record.set.as_ref().and_then(|set| {
        let no_name =
            || InputProblem::new(source, Some(set.span()), format!("\"{}\" is no name of a set", set.get_ref()));
        problems.keep(set_name(set.get_ref()).ok_or_else(|| of_club(no_name()))).flatten()
    });
    let folder = PathBuf::new();
    if problems.is_empty() {
        Ok(ListedClub { club, date, set, folder })
    } else {
        Err(Refused::Problems(problems.by_place()))
    }
}

/// What to do about a record that is none as TOML, or has a key that none has.
fn how_a_record_is_written(message: &str, catalogue: &Catalogue) -> Option<String> {
    let named = message.split('`').nth(1).unwrap_or_default();
    if message.contains("missing field") {
        return Some(format!("give the club its {named}, above [readings]: {named} = \"...\""));
    }
    if !message.contains("unknown field") {
        return Some(
            "a text stands in quotes, a number with a point for its decimals: face_scoring = \"smooth\"".to_owned(),
        );
    }
    if clue_named(catalogue, named).or_else(|| by_heading(catalogue, named)).is_some() {
        return Some(format!("a reading stands below a line [readings]: put {named} there"));
    }
    let near = nearest(named, ["readings", "text", "note", "made", "made_from", "made_to", "date_grade", "set"])?;
    let is_table = ["readings", "text"].contains(&near);
    Some(format!("did you mean {}?", if is_table { format!("[{near}]") } else { near.to_owned() }))
}

/// The date that a record gives, in the fields `made`, `made_from`, `made_to` and `date_grade`.
fn date_of(
    source: &Arc<SourceText>,
    catalogue: &Catalogue,
    fields: &[Option<Spanned<toml::Value>>; 4],
) -> Result<Option<KnownDate>, InputProblem> {
    // A number is taken as it was written; of anything but texts and numbers the text says that it is no year.
    let text = |field: &Option<Spanned<toml::Value>>| match field {
        Some(value) => value.get_ref().as_str().map_or_else(|| source.text[value.span()].to_owned(), str::to_owned),
        None => String::new(),
    };
    let [made, made_from, made_to, date_grade] = fields.each_ref().map(text);
    let texts = DateTexts { made: &made, made_from: &made_from, made_to: &made_to, date_grade: &date_grade };
    read_date(catalogue.axis(), texts).map_err(|wrong| {
        let [made, made_from, made_to, date_grade] = fields;
        let given = match wrong.field {
            DateField::Made => made,
            DateField::MadeFrom => made_from,
            DateField::MadeTo => made_to,
            DateField::DateGrade => date_grade,
        };
        // One that is not there is wrong by its absence: another is shown.
        let given = given.as_ref().or(fields.iter().flatten().next());
        let problem = InputProblem::new(source, given.map(Spanned::span), wrong.message);
        problem.help(wrong.help)
    })
}

fn read_reading(
    source: &Arc<SourceText>,
    catalogue: &Catalogue,
    key: &Spanned<String>,
    value: &Spanned<toml::Value>,
) -> Result<(usize, Cell), InputProblem> {
    let word = key.get_ref();
    let Some(ix) = clue_named(catalogue, word).or_else(|| by_heading(catalogue, word)) else {
        let help = nearly(catalogue, key.get_ref()).map(|near| format!("did you mean {near}?"));
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
    Cell::from_text(&catalogue.clues()[ix], text, false).map(|cell| (ix, cell)).map_err(|error| {
        let help = cell_hint(&catalogue.clues()[ix], text, &error);
        InputProblem::new(source, Some(value.span()), error.to_string()).help(help)
    })
}

/// The record of a club, which `read_record` reads again; texts that `kept_back` names are left out.
#[must_use]
pub fn record_text(club: &Club, catalogue: &Catalogue, kept_back: &dyn Fn(&str) -> bool) -> String {
    let mut text = format!("id = {}\ncatalogue = {}\n", quoted(&club.id), quoted(catalogue.name()));
    if !club.note.is_empty() {
        let _ = writeln!(text, "note = {}", quoted(&club.note));
    }
    text.push_str("\n[readings]\n");
    for (clue, cell) in catalogue.read_on(club) {
        if *cell != Cell::NotExamined {
            let _ = writeln!(text, "{} = {}", clue.id, quoted(cell.text()));
        }
    }
    let texts: Vec<(&String, &String)> = club.text.iter().filter(|(key, _)| !kept_back(key)).collect();
    if !texts.is_empty() {
        text.push_str("\n[text]\n");
    }
    for (key, value) in texts {
        let is_bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'));
        let key = if is_bare { key.clone() } else { quoted(key) };
        let _ = writeln!(text, "{key} = {}", quoted(value));
    }
    text
}

/// The same with the date and the set of the club, for whoever keeps it and not for a page.
#[must_use]
pub fn dated_record_text(listed: &ListedClub, catalogue: &Catalogue) -> String {
    let text = record_text(&listed.club, catalogue, &|_| false);
    let mut given = String::new();
    if let Some(date) = &listed.date {
        given = format!("made = {}\n", quoted(&period_text(date)));
        if let Some(grade) = written_grade(date) {
            let _ = writeln!(given, "date_grade = {grade}");
        }
    }
    if let Some(set) = &listed.set {
        let _ = writeln!(given, "set = {}", quoted(set));
    }
    // Behind the id; the first table ends what belongs to the club itself.
    let head = text.find('\n').map_or(text.len(), |at| at + 1);
    format!("{}{given}{}", &text[..head], &text[head..])
}

/// A date as a cell gives it, which is read as the same years: `1897`, `1885-1890`, `c. 1890`, `before 1850`.
#[must_use]
pub fn period_text(date: &KnownDate) -> String {
    if let Some((from, to)) = about(date) {
        return if from == to { format!("c. {from}") } else { format!("c. {from}-{to}") };
    }
    match date.open_side() {
        Some(OpenSide::Earlier) => format!("before {}", date.to() + 1),
        Some(OpenSide::Later) => format!("after {}", date.from() - 1),
        None if date.from() == date.to() => date.from().to_string(),
        None => format!("{}-{}", date.from(), date.to()),
    }
}

/// The years behind "c." of a date that is about them in nobody's given grade; such words are read as so many years on
/// either side, and as an opinion of the trade.
fn about(date: &KnownDate) -> Option<(i32, i32)> {
    let is_vague = date.has_assumed_grade() && date.grade() == DateGrade::OPINION_OF_THE_TRADE;
    let (from, to) = (date.from() + ABOUT, date.to() - ABOUT);
    (is_vague && date.open_side().is_none() && from <= to && from >= 1000).then_some((from, to))
}

/// The grade of a date, where its years alone would be read as of another: `c. 1890` is nobody's document.
#[must_use]
pub fn written_grade(date: &KnownDate) -> Option<u8> {
    let reads = if date.open_side().is_some() { DateGrade::OPINION_OF_THE_TRADE } else { DateGrade::default() };
    let is_read = about(date).is_some() || date.has_assumed_grade() && date.grade() == reads;
    (!is_read).then(|| date.grade().number())
}

/// A club with its date and set as cells give them.
///
/// # Errors
/// What is wrong with one of them, in a sentence.
pub fn listed_club(
    catalogue: &Catalogue,
    club: Club,
    [made, date_grade, set]: [&str; 3],
) -> Result<ListedClub, String> {
    let texts = DateTexts { made: made.trim(), date_grade: date_grade.trim(), ..DateTexts::default() };
    let date = read_date(catalogue.axis(), texts).map_err(|wrong| {
        let help = wrong.help.map_or_else(String::new, |help| format!("; {help}"));
        format!("{}: {}{help}", wrong.field.name(), wrong.message)
    })?;
    let set = set_name(set).ok_or_else(|| format!("\"{set}\" is no name of a set"))?;
    Ok(ListedClub { club, date, set, folder: PathBuf::new() })
}

/// A basic string on one line.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
