//! Reads years of use of marks: one row a period of use.

use crate::csv_fields::field_places;
use crate::nearest_word::hint;
use crate::problem::{InputProblem, Problems, Refused, SourceText};
use agewright_model::tables::mark_use::{MarkError, MarkUse};
use agewright_model::{Catalogue, ClueKind, Level};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

const COLUMNS: [&str; 8] = ["clue", "mark", "used_from", "used_to", "fade", "leak", "source", "standing"];
/// Years in which use halves after its end, and use before its beginning, where a file does not say (a judgement).
const USUAL_FADE: f64 = 5.0;
const USUAL_LEAK: f64 = 0.02;

/// Periods of use, checked against a catalogue; marks that it does not have yet become levels of their clue when they
/// are added to a calibration or, with [`add_marks`], to a catalogue.
///
/// # Errors
/// [`Refused`] with every row that makes no sense.
pub fn read_marks(source: &Arc<SourceText>, catalogue: &Catalogue) -> Result<Vec<MarkUse>, Refused> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(source.text.as_bytes());
    let mut columns: Vec<usize> = Vec::new();
    let mut marks = Vec::new();
    let mut problems = Problems::default();
    // How a mark is written for the first time, and each of its periods of use: a mark may have several.
    let mut first_written: BTreeMap<(String, String), String> = BTreeMap::new();
    let mut periods: BTreeSet<(String, String, i32, i32)> = BTreeSet::new();
    for record in reader.records() {
        let record =
            record.map_err(|error| InputProblem::new(source, None, format!("the table is broken: {error}")))?;
        let start = record.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
        let places = field_places(&source.text, start, b',').map_err(|at| {
            InputProblem::new(source, Some(at..at + 1), "the table is broken: this quote is never closed")
        })?;
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        if columns.is_empty() {
            columns = headings(source, &record, &places)?;
            continue;
        }
        let row = Row { source, record: &record, places: &places, columns: &columns };
        let Some(mark) = problems.keep(row.mark(catalogue)) else { continue };
        let written = mark.written.to_lowercase();
        let first = first_written.entry((mark.clue.clone(), mark.mark.clone())).or_insert_with(|| written.clone());
        if *first != written {
            let message = format!("\"{}\" and another mark are one without their signs: {}", row.cell(1), mark.mark);
            problems.push(|| row.problem(1, message));
        } else if !periods.insert((mark.clue.clone(), mark.mark.clone(), mark.used_from, mark.used_to)) {
            problems.push(|| row.problem(1, format!("{} {} stands twice with these years", mark.clue, mark.mark)));
        } else {
            marks.push(mark);
        }
    }
    if columns.is_empty() {
        return Err(InputProblem::new(source, None, "the table is empty: it has no headings").into());
    }
    if !problems.is_empty() {
        return Err(Refused::Problems(problems));
    }
    Ok(marks)
}

/// Makes levels of the marks that a catalogue does not list yet.
pub fn add_marks(catalogue: &mut Catalogue, marks: &[MarkUse]) {
    for mark in marks {
        catalogue.add_mark(
            &mark.clue,
            Level { look: mark.source.clone(), label: mark.written.clone(), ..Level::plain(&mark.mark) },
        );
    }
}

/// For each of our columns its place in the file.
fn headings(
    source: &Arc<SourceText>,
    record: &csv::StringRecord,
    places: &[Range<usize>],
) -> Result<Vec<usize>, InputProblem> {
    for (heading, place) in record.iter().zip(places) {
        if !COLUMNS.contains(&heading.trim()) {
            let allowed: Vec<String> = COLUMNS.iter().map(|&word| word.to_owned()).collect();
            let problem = InputProblem::new(source, Some(place.clone()), format!("unknown column \"{heading}\""));
            return Err(problem.help(hint(heading.trim(), &allowed)));
        }
    }
    let place = |column: &&str| {
        record.iter().position(|heading| heading.trim() == *column).ok_or_else(|| {
            InputProblem::new(source, places.first().cloned(), format!("the table has no column \"{column}\""))
                .help(Some(format!("its columns are {}", COLUMNS.join(", "))))
        })
    };
    COLUMNS.iter().map(place).collect()
}

/// The id of a mark that is written as it stands on the club: `Cross & Anchor` is `cross_anchor`.
fn id_of(written: &str) -> String {
    let lower = written.to_lowercase();
    let words = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_")
}

struct Row<'a> {
    source: &'a Arc<SourceText>,
    record: &'a csv::StringRecord,
    places: &'a [Range<usize>],
    columns: &'a [usize],
}

impl Row<'_> {
    fn cell(&self, column: usize) -> &str {
        self.columns.get(column).and_then(|&ix| self.record.get(ix)).map_or("", str::trim)
    }

    fn problem(&self, column: usize, message: String) -> InputProblem {
        let place = self.columns.get(column).and_then(|&ix| self.places.get(ix)).cloned();
        let place = place.or_else(|| self.places.last().cloned());
        InputProblem::new(self.source, place, message).at(format!("mark {}, column {}", self.cell(1), COLUMNS[column]))
    }

    fn number<T: std::str::FromStr>(&self, column: usize, usual: T) -> Result<T, InputProblem> {
        match self.cell(column) {
            "" => Ok(usual),
            text => text.parse().map_err(|_| self.problem(column, format!("\"{text}\" is no number"))),
        }
    }

    fn mark(&self, catalogue: &Catalogue) -> Result<MarkUse, InputProblem> {
        let axis = catalogue.axis();
        let mark_clues = || catalogue.clues().iter().filter(|clue| clue.kind == ClueKind::Mark);
        if mark_clues().all(|clue| clue.id != self.cell(0)) {
            let allowed: Vec<String> = mark_clues().map(|clue| clue.id.clone()).collect();
            let message = format!("\"{}\" is no clue of marks in the catalogue", self.cell(0));
            return Err(self.problem(0, message).help(hint(self.cell(0), &allowed)));
        }
        let mark = id_of(self.cell(1));
        if mark.is_empty() || self.cell(1).chars().any(char::is_control) {
            let message = format!("mark \"{}\": it needs a letter or a figure from a to z, 0 to 9", self.cell(1));
            return Err(self.problem(1, message));
        }
        let written = if mark == self.cell(1) { String::new() } else { self.cell(1).to_owned() };
        let used = MarkUse {
            clue: self.cell(0).to_owned(),
            mark,
            written,
            used_from: self.number(2, axis.from())?,
            used_to: self.number(3, axis.last())?,
            fade: self.number(4, USUAL_FADE)?,
            leak: self.number(5, USUAL_LEAK)?,
            source: self.cell(6).to_owned(),
            standing: self.cell(7).to_owned(),
        };
        used.check().map_err(|error| {
            let column = match &error {
                MarkError::Number { what, .. } => COLUMNS.iter().position(|column| column == what),
                _ => None,
            };
            self.problem(column.unwrap_or(2), error.to_string())
        })?;
        Ok(used)
    }
}
