//! Reads a table of clubs: one row a club.

use crate::csv_fields::field_places;
use crate::nearest_word::{hint, nearest};
use crate::problem::{InputProblem, Refused, SourceText};
use crate::recording_sheet::HINT_ROWS;
use agewright_model::reading::known_date::{DateGrade, KnownDateError};
use agewright_model::{Catalogue, Cell, Club, KnownDate};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

/// What to do with a table beyond its catalogue.
#[derive(Debug, Clone, Default)]
pub struct TableOptions {
    /// Columns to pass over.
    pub ignore: Vec<String>,
}

/// Clubs of a table, in its order.
///
/// ```
/// use agewright_files::{SourceText, TableOptions, built_in, read_collection};
///
/// let text = "id;made_from;made_to;hosel_to_crease\nK-7;1897;1897;3,75\nK-8;;;92 mm\n";
/// let loaded = built_in().unwrap();
/// let catalogue = loaded.calibration.catalogue();
/// let source = SourceText::new("clubs.csv", text);
/// let clubs = read_collection(&source, catalogue, &TableOptions::default()).unwrap().clubs;
/// assert_eq!((clubs[0].date.unwrap().from(), clubs[1].date), (1897, None));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Collection {
    /// All clubs.
    pub clubs: Vec<ListedClub>,
}

/// A club of a table, and its date if that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedClub {
    /// The club.
    pub club: Club,
    /// When it was made.
    pub date: Option<KnownDate>,
    /// The set, maker's lot or find that it belongs to.
    pub set: Option<String>,
}

#[cfg(feature = "fit")]
impl Collection {
    /// The clubs of known date.
    #[must_use]
    pub fn dated(&self) -> Vec<agewright_calibration::DatedClub> {
        let dated = |listed: &ListedClub| {
            let club = agewright_calibration::DatedClub::new(listed.club.clone(), listed.date?);
            Some(match &listed.set {
                Some(set) => club.of_set(set),
                None => club,
            })
        };
        self.clubs.iter().filter_map(dated).collect()
    }
}

/// Words that are taken for no set's name.
const NO_SET: [&str; 7] = ["none", "no", "n/a", "na", "unknown", "unreadable", "absent"];

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Column {
    Id,
    MadeFrom,
    MadeTo,
    Note,
    DateGrade,
    Set,
    Clue(usize),
    Text(String),
    Ignored,
}

/// Reads a table of clubs; every problem found is reported with its place.
///
/// # Errors
/// [`Refused`] with every problem, or for a column to be passed over that is not there.
pub fn read_collection(
    source: &Arc<SourceText>,
    catalogue: &Catalogue,
    options: &TableOptions,
) -> Result<Collection, Refused> {
    let delimiter = delimiter_of(&source.text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(source.text.as_bytes());
    let mut table = Table { source, catalogue, delimiter, columns: Vec::new(), problems: Vec::new() };
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut collection = Collection::default();
    for record in reader.records() {
        let record =
            record.map_err(|error| InputProblem::new(source, None, format!("the table is broken: {error}")))?;
        let start = record.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
        let places = field_places(&source.text, start, delimiter).map_err(|at| {
            InputProblem::new(source, Some(at..at + 1), "the table is broken: this quote is never closed")
        })?;
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        // The lines of a recording sheet that say how to fill it.
        if record.iter().any(|cell| HINT_ROWS.contains(&cell.trim())) {
            continue;
        }
        if table.columns.is_empty() {
            table.read_headings(&record, &places, options)?;
            continue;
        }
        table.read_row(&record, &places, &mut seen, &mut collection);
    }
    if table.columns.is_empty() {
        return Err(InputProblem::new(source, None, "the table is empty: it has no headings").into());
    }
    if !table.problems.is_empty() {
        return Err(Refused::Problems(table.problems));
    }
    if collection.clubs.is_empty() {
        return Err(InputProblem::new(source, None, "the table has headings but no club").into());
    }
    Ok(collection)
}

/// `;` or a tab where the first line has more of them than commas.
fn delimiter_of(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    let count = |c: char| first.matches(c).count();
    if count(';') > count(',') {
        b';'
    } else if count('\t') > count(',') {
        b'\t'
    } else {
        b','
    }
}

/// Headings are matched without regard to case, spaces, punctuation or a unit in brackets.
fn heading_key(heading: &str) -> String {
    let heading = heading.trim();
    let bare = match (heading.rfind(['(', '[']), heading.ends_with([')', ']'])) {
        (Some(at), true) if at > 0 => &heading[..at],
        _ => heading,
    };
    bare.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

struct Table<'a> {
    source: &'a Arc<SourceText>,
    catalogue: &'a Catalogue,
    delimiter: u8,
    columns: Vec<Column>,
    problems: Vec<InputProblem>,
}

impl Table<'_> {
    fn read_headings(
        &mut self,
        record: &csv::StringRecord,
        places: &[Range<usize>],
        options: &TableOptions,
    ) -> Result<(), Refused> {
        let mut ignored = vec![false; options.ignore.len()];
        let mut first_at: BTreeMap<String, String> = BTreeMap::new();
        for (heading, place) in record.iter().zip(places) {
            let ignore = options.ignore.iter().position(|word| heading_key(word) == heading_key(heading));
            if let Some(ix) = ignore {
                ignored[ix] = true;
                self.columns.push(Column::Ignored);
                continue;
            }
            let Some(column) = self.column(heading) else {
                self.problems.push(self.unknown_heading(heading, place));
                self.columns.push(Column::Ignored);
                continue;
            };
            let what = format!("{column:?}");
            if let Some(first) = first_at.insert(what, heading.to_owned()) {
                let message = format!("column \"{}\" holds the same as column \"{}\"", heading.trim(), first.trim());
                self.problems.push(InputProblem::new(self.source, Some(place.clone()), message));
            }
            self.columns.push(column);
        }
        if let Some(ix) = ignored.iter().position(|found| !found) {
            let column = options.ignore[ix].clone();
            return Err(Refused::NoColumn { table: self.source.name.clone(), column });
        }
        if !self.columns.contains(&Column::Id) {
            let problem = InputProblem::new(self.source, places.first().cloned(), "the table has no column \"id\"");
            self.problems
                .push(problem.help(Some("the first line holds the headings; every club needs an id".to_owned())));
        }
        if self.problems.is_empty() { Ok(()) } else { Err(Refused::Problems(std::mem::take(&mut self.problems))) }
    }

    fn column(&self, heading: &str) -> Option<Column> {
        let heading = heading.trim();
        if let Some(name) = heading.to_lowercase().strip_prefix("text.") {
            return (!name.is_empty()).then(|| Column::Text(name.to_owned()));
        }
        let key = heading_key(heading);
        match key.as_str() {
            "id" => return Some(Column::Id),
            "madefrom" => return Some(Column::MadeFrom),
            "madeto" => return Some(Column::MadeTo),
            "note" => return Some(Column::Note),
            "dategrade" => return Some(Column::DateGrade),
            "set" => return Some(Column::Set),
            _ => {}
        }
        let clues = || self.catalogue.clues().iter().enumerate();
        clues()
            .find(|(_, clue)| heading_key(&clue.id) == key)
            .or_else(|| {
                // A label that two clues share names neither.
                let mut labelled =
                    clues().filter(|(_, clue)| !clue.label.is_empty() && heading_key(&clue.label) == key);
                labelled.next().filter(|_| labelled.next().is_none())
            })
            .map(|(ix, _)| Column::Clue(ix))
    }

    fn unknown_heading(&self, heading: &str, place: &Range<usize>) -> InputProblem {
        let own = ["id", "made_from", "made_to", "note", "date_grade", "set"];
        let ids = self.catalogue.clues().iter().map(|clue| clue.id.as_str()).chain(own);
        let near = nearest(heading.trim(), ids).map_or_else(String::new, |near| format!("did you mean \"{near}\"? "));
        let name = heading.trim();
        InputProblem::new(self.source, Some(place.clone()), format!("column \"{name}\" is no clue of the catalogue"))
            .help(Some(format!(
                "{near}to pass over it, add --ignore \"{name}\"; words for the page go in columns text.NAME"
            )))
    }

    fn read_row(
        &mut self,
        record: &csv::StringRecord,
        places: &[Range<usize>],
        seen: &mut BTreeMap<String, usize>,
        collection: &mut Collection,
    ) {
        let before = self.problems.len();
        if record.len() != self.columns.len() {
            let at = places.first().map(|first| first.start..places.last().map_or(first.end, |last| last.end));
            let message = format!("this row has {} cells and the headings {}", record.len(), self.columns.len());
            let help =
                if self.delimiter == b',' { "put a cell that holds a comma in quotes" } else { "check the separators" };
            self.problems.push(InputProblem::new(self.source, at, message).help(Some(help.to_owned())));
            return;
        }
        for (cell, place) in record.iter().zip(places) {
            if let Some(c) = cell.chars().find(|c| is_unprintable(*c)) {
                let message = format!("this cell holds the control character U+{:04X}", u32::from(c));
                self.problems.push(InputProblem::new(self.source, Some(place.clone()), message));
            }
        }
        let cell = |column: &Column| {
            let ix = self.columns.iter().position(|c| c == column)?;
            Some((record.get(ix).unwrap_or("").trim(), places[ix].clone()))
        };
        let (id, id_place) = cell(&Column::Id).unwrap_or(("", 0..0));
        let dates = (cell(&Column::MadeFrom), cell(&Column::MadeTo), cell(&Column::DateGrade));
        if id.is_empty() {
            self.problems.push(InputProblem::new(self.source, Some(id_place), "this club has no id"));
        } else if let Some(line) = seen.insert(id.to_owned(), self.source.line_of(id_place.start)) {
            let message = format!("id \"{id}\" stands twice; the first is on line {line}");
            self.problems.push(InputProblem::new(self.source, Some(id_place), message).at(format!("club {id}")));
        }
        let set = cell(&Column::Set).and_then(|(text, place)| self.set_name(id, text, &place));
        let club = self.read_club(id, record, places);
        let date = self.read_date(id, dates);
        if self.problems.len() == before {
            collection.clubs.push(ListedClub { club, date, set });
        }
    }

    fn read_club(&mut self, id: &str, record: &csv::StringRecord, places: &[Range<usize>]) -> Club {
        let mut club = Club { id: id.to_owned(), ..Club::default() };
        club.cells = vec![Cell::NotExamined; self.catalogue.clues().len()];
        for (ix, column) in self.columns.iter().enumerate() {
            let text = record.get(ix).unwrap_or("").trim();
            match column {
                Column::Clue(clue_ix) => {
                    let clue = &self.catalogue.clues()[*clue_ix];
                    match Cell::from_text(clue, text, self.delimiter == b';') {
                        Ok(cell) => club.cells[*clue_ix] = cell,
                        Err(error) => {
                            let help = error.choices().and_then(|(word, allowed)| hint(word, allowed));
                            let problem = InputProblem::new(self.source, Some(places[ix].clone()), error.to_string());
                            self.problems.push(problem.at(format!("club {id}, column {}", clue.id)).help(help));
                        }
                    }
                }
                Column::Text(name) if !text.is_empty() => {
                    club.text.insert(name.clone(), text.to_owned());
                }
                Column::Note => text.clone_into(&mut club.note),
                _ => {}
            }
        }
        club
    }

    /// A set's name without regard to case and spaces; a word that says there is none is no name.
    fn set_name(&mut self, id: &str, text: &str, place: &Range<usize>) -> Option<String> {
        let name = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        if name.chars().any(char::is_alphanumeric) && !NO_SET.contains(&name.as_str()) {
            return Some(name);
        }
        if !name.is_empty() {
            let problem =
                InputProblem::new(self.source, Some(place.clone()), format!("\"{text}\" is no name of a set"));
            let help = "clubs that share a name are taken to belong together; leave it blank for a club of none";
            self.problems.push(problem.at(format!("club {id}, column set")).help(Some(help.to_owned())));
        }
        None
    }

    fn read_date(
        &mut self,
        id: &str,
        (from, to, grade): (DateCell<'_>, DateCell<'_>, DateCell<'_>),
    ) -> Option<KnownDate> {
        let (from, from_place) = from.unwrap_or(("", 0..0));
        let (to, to_place) = to.unwrap_or(("", 0..0));
        if from.is_empty() && to.is_empty() {
            return None;
        }
        if from.is_empty() || to.is_empty() {
            let (empty, place) = if from.is_empty() { ("made_from", from_place) } else { ("made_to", to_place) };
            let problem =
                InputProblem::new(self.source, Some(place), format!("{empty} is blank and the other date is not"));
            let help = "fill both, with the same year for an exact date; both blank means undated";
            self.problems.push(problem.at(format!("club {id}, column {empty}")).help(Some(help.to_owned())));
            return None;
        }
        let from_year = self.year(id, "made_from", from, &from_place);
        let to_year = self.year(id, "made_to", to, &to_place);
        let grade = self.grade(id, grade);
        let (from_year, to_year, grade) = (from_year?, to_year?, grade?);
        KnownDate::new(self.catalogue.axis(), from_year, to_year, grade)
            .map_err(|error| {
                let (column, place) = match error {
                    KnownDateError::OffAxis { year, .. } if year != from_year => ("made_to", to_place),
                    _ => ("made_from", from_place),
                };
                let problem = InputProblem::new(self.source, Some(place), error.to_string());
                self.problems.push(problem.at(format!("club {id}, column {column}")));
            })
            .ok()
    }

    fn year(&mut self, id: &str, column: &str, text: &str, place: &Range<usize>) -> Option<i32> {
        text.parse()
            .map_err(|_| {
                let problem = InputProblem::new(self.source, Some(place.clone()), format!("\"{text}\" is no year"));
                let help = "write whole years, for \"c. 1890\" for example 1885 and 1895 (1 BC is 0)";
                self.problems.push(problem.at(format!("club {id}, column {column}")).help(Some(help.to_owned())));
            })
            .ok()
    }

    fn grade(&mut self, id: &str, cell: DateCell<'_>) -> Option<DateGrade> {
        let (text, place) = cell.unwrap_or(("", 0..0));
        if text.is_empty() {
            return Some(DateGrade::default());
        }
        text.parse()
            .map_err(|_| format!("\"{text}\" is no date grade: grades run from 1 (documented) to 5 (own opinion)"))
            .and_then(|grade| DateGrade::new(grade).map_err(|error| error.to_string()))
            .map_err(|message| {
                let problem = InputProblem::new(self.source, Some(place), message);
                self.problems.push(problem.at(format!("club {id}, column date_grade")));
            })
            .ok()
    }
}

/// Control characters, and those that turn the direction of text, have no place on a page or a terminal; line breaks
/// and tabs are let pass within a cell.
#[must_use]
pub fn is_unprintable(c: char) -> bool {
    let turns_text = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns_text || (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
}

type DateCell<'a> = Option<(&'a str, Range<usize>)>;
