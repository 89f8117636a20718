//! From a path into a TOML document to the bytes where that stands.

use crate::problem::{InputProblem, SourceText};
use agewright_model::reading::document_path::{DocumentPath, Step};
use std::ops::Range;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys that name a table: where the table is meant as a whole, its name is shown.
const NAMES: [&str; 4] = ["id", "clue", "name", "part"];

/// Bytes of what a path leads to; of a table that has a name, its name; where the path leads nowhere, of the last that
/// it does lead to.
pub fn place_of(text: &str, path: &DocumentPath) -> Option<Range<usize>> {
    let document = DeTable::parse(text).ok()?;
    let mut table = Some(document.get_ref());
    let mut value: Option<&Spanned<DeValue<'_>>> = None;
    let mut place = None;
    for step in path.steps() {
        let next = match (step, table, value.map(Spanned::get_ref)) {
            (Step::Key(key), Some(table), _) => entry(table, key),
            (Step::Index(at), _, Some(DeValue::Array(list))) => list.get(*at),
            _ => None,
        };
        let Some(next) = next else { break };
        table = match next.get_ref() {
            DeValue::Table(table) => Some(table),
            _ => None,
        };
        let name = table.and_then(|table| NAMES.iter().find_map(|name| entry(table, name)));
        place = Some(name.unwrap_or(next).span());
        value = Some(next);
    }
    place
}

fn entry<'a, 'b>(table: &'a DeTable<'b>, key: &str) -> Option<&'a Spanned<DeValue<'b>>> {
    table.iter().find(|(own, _)| own.get_ref() == key).map(|(_, value)| value)
}

/// A problem at a path of a document.
pub fn problem_at(source: &Arc<SourceText>, path: &DocumentPath, message: impl Into<String>) -> InputProblem {
    InputProblem::new(source, place_of(&source.text, path), message)
}

/// An error of the TOML itself, or of what may stand in it, with its place.
pub fn toml_problem(source: &Arc<SourceText>, error: &toml::de::Error) -> InputProblem {
    let is_whole = |span: &Range<usize>| span.start == 0 && span.end >= source.text.trim_end().len();
    let span = error.span().filter(|span| !is_whole(span));
    InputProblem::new(source, span, error.message()).help(looks_like(&source.text))
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

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "name = \"x\"\n[[clue]]\nid = \"a\"\n[[clue]]\nid = \"b\"\nrange = [1, 2]\n";

    fn at(path: DocumentPath) -> &'static str {
        place_of(TEXT, &path).map_or("", |bytes| &TEXT[bytes])
    }

    #[test]
    fn a_path_leads_to_its_bytes_and_a_table_to_its_name() {
        assert_eq!(at(DocumentPath::key("name")), "\"x\"");
        assert_eq!(at(DocumentPath::key("clue").at(1)), "\"b\"");
        assert_eq!(at(DocumentPath::key("clue").at(1).then("range")), "[1, 2]");
        assert_eq!(at(DocumentPath::key("clue").at(1).then("range").at(0)), "1");
    }

    #[test]
    fn a_path_into_the_void_stops_at_the_last_thing_there_is() {
        assert_eq!(at(DocumentPath::key("clue").at(0).then("range")), "\"a\"");
        assert_eq!(place_of(TEXT, &DocumentPath::key("years")), None);
        assert_eq!(place_of("not = = toml", &DocumentPath::key("not")), None);
    }
}
