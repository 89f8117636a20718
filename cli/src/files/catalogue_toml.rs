//! Reads a catalogue.

use super::marks_csv::read_marks;
use super::text_file::read_text;
use crate::Streams;
use crate::failure::{Failure, InputProblem, SourceText};
use agewright_model::{Catalogue, MarkUse};
use std::path::Path;
use std::rc::Rc;

/// Reads a catalogue from its text; errors carry their place.
pub fn read_catalogue(source: &Rc<SourceText>) -> Result<Catalogue, Failure> {
    toml::from_str(&source.text).map_err(|error| toml_problem(source, &error).into())
}

/// Reads a catalogue from its file, and the years of use of its marks from the files that it names beside it.
pub fn read_catalogue_with_marks(
    path: &Path,
    source: &Rc<SourceText>,
    streams: &mut Streams<'_>,
) -> Result<(Catalogue, Vec<MarkUse>), Failure> {
    let mut catalogue = read_catalogue(source)?;
    let mut files: Vec<String> = catalogue.clues.iter().filter_map(|clue| clue.marks.clone()).collect();
    files.sort();
    files.dedup();
    let mut marks = Vec::new();
    for file in files {
        let beside = path.parent().unwrap_or_else(|| Path::new("")).join(&file);
        marks.extend(read_marks(&read_text(&beside, streams)?, &mut catalogue)?);
    }
    Ok((catalogue, marks))
}

/// Reads a catalogue from a text, for callers outside the command line.
///
/// # Errors
/// The message that the command line would print.
pub fn read_catalogue_text(text: &str) -> Result<Catalogue, String> {
    let source = Rc::new(SourceText { name: "catalogue".to_owned(), text: text.to_owned() });
    read_catalogue(&source).map_err(|failure| failure.render())
}

/// A TOML error with its place. Errors of meaning have none of their own: the clue that they name is looked up.
pub fn toml_problem(source: &Rc<SourceText>, error: &toml::de::Error) -> InputProblem {
    let message = error.message().to_owned();
    let named = message.split('"').nth(1).and_then(|id| place_of_id(&source.text, id));
    let whole = |span: &std::ops::Range<usize>| span.start == 0 && span.end >= source.text.trim_end().len();
    let span = match (error.span(), named) {
        (Some(span), Some(place)) if whole(&span) => Some(place),
        (Some(span), None) if whole(&span) => None,
        (None, place) => place,
        (span, _) => span,
    };
    InputProblem::new(source, span, message).help(looks_like(&source.text))
}

/// What a TOML of the house is by its look, for a file given in the wrong place.
fn looks_like(text: &str) -> Option<String> {
    let starts = |word: &str| text.lines().any(|line| line.trim_start().starts_with(word));
    let what = if text.trim().is_empty() {
        "the file is empty"
    } else if starts("schema") {
        "the file looks like a calibration (--calibration, --against)"
    } else if starts("[[clue]]") {
        "the file looks like a catalogue (--catalogue)"
    } else if starts("[readings]") {
        "the file looks like the record of a club"
    } else if starts("[[measured]]") || starts("[[levels]]") || starts("[[prior]]") || starts("[[effect]]") {
        "the file looks like rules of thumb (--rules)"
    } else {
        return None;
    };
    Some(what.to_owned())
}

/// Last place where a value stands as an id: the last, because of two that clash the second is the surprise.
fn place_of_id(text: &str, id: &str) -> Option<std::ops::Range<usize>> {
    let quoted = format!("\"{id}\"");
    let found = text.match_indices(&quoted).filter(|(at, _)| {
        let line = text[..*at].rsplit('\n').next().unwrap_or("");
        line.trim_start().starts_with("id")
            || line.trim_start().starts_with("clue")
            || line.trim_start().starts_with("name")
    });
    found.last().map(|(at, _)| at..at + quoted.len())
}
