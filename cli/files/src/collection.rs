//! Reads a table of clubs: one row a club.

use crate::csv_fields::field_places;
use crate::decimal_habit::writes_decimal_commas;
use crate::problem::{InputProblem, Problems, Refused, SourceText};
use crate::recording_sheet::HINT_ROWS;
use crate::table_columns::{Column, are_headings, columns_of, grade_of_a_date, guessed, is_named, nearly};
use crate::table_row::Row;
use agewright_model::{Catalogue, Club, KnownDate, Unit};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::PathBuf;
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
/// let text = "id;made;hosel_to_crease\nK-7;c. 1897;3,75\nK-8;;92 mm\n";
/// let loaded = built_in().unwrap();
/// let catalogue = loaded.calibration.catalogue();
/// let source = SourceText::new("clubs.csv", text);
/// let clubs = read_collection(&source, catalogue, &TableOptions::default()).unwrap().clubs;
/// assert_eq!((clubs[0].date.unwrap().from(), clubs[1].date), (1892, None));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Collection {
    /// All clubs.
    pub clubs: Vec<ListedClub>,
    /// Headings of columns that are none of ours and were passed over.
    pub passed_over: Vec<String>,
    /// Headings of other words that were taken for one of ours, each with ours.
    pub taken_for: Vec<(String, String)>,
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
    /// Folder of the file that it stands in, where files that it names lie; whoever reads the file knows it.
    pub folder: PathBuf,
}

#[cfg(feature = "fit")]
impl Collection {
    /// The clubs of known date.
    #[must_use]
    pub fn dated(&self) -> Vec<agewright_calibration::DatedClub> {
        dated_clubs(&self.clubs)
    }
}

/// The clubs of known date.
#[cfg(feature = "fit")]
#[must_use]
pub fn dated_clubs(clubs: &[ListedClub]) -> Vec<agewright_calibration::DatedClub> {
    let dated = |listed: &ListedClub| {
        let club = agewright_calibration::DatedClub::new(listed.club.clone(), listed.date?);
        Some(match &listed.set {
            Some(set) => club.of_set(set),
            None => club,
        })
    };
    clubs.iter().filter_map(dated).collect()
}

/// Headings are looked for in so many rows.
const TITLE_ROWS: usize = 20;
/// A row of so many cells or more is more than a title.
const FULL_ROW: usize = 3;
/// What begins a cell that a spreadsheet has no value for, though it looks as if it had; what is wrong stands behind.
pub const NO_VALUE: char = '\u{1}';

/// Reads a table of clubs; every problem found is reported with its place.
///
/// # Errors
/// [`Refused`] with every problem, or for a column to be passed over that is not there.
pub fn read_collection(
    source: &Arc<SourceText>,
    catalogue: &Catalogue,
    options: &TableOptions,
) -> Result<Collection, Refused> {
    let delimiter = delimiter_of(catalogue, options, &source.text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(source.text.as_bytes());
    let headings_at = headings_row(catalogue, options, &source.text, delimiter).map_or(0, |(row, _)| row);
    let decimal_comma = delimiter == b';';
    let (columns, problems) = (Vec::new(), Problems::default());
    let mut table = Table { source, catalogue, delimiter, decimal_comma, columns, units: Vec::new(), problems };
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    let mut collection = Collection::default();
    for (row, record) in reader.records().enumerate() {
        let record =
            record.map_err(|error| InputProblem::new(source, None, format!("the table is broken: {error}")))?;
        let start = record.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
        let places = field_places(&source.text, start, delimiter).map_err(|at| {
            InputProblem::new(source, Some(at..at + 1), "the table is broken: this quote is never closed")
        })?;
        // Titles above the headings, and the lines of a recording sheet that say how to fill it.
        let is_hint = || record.get(0).is_some_and(|cell| HINT_ROWS.contains(&cell.trim()));
        if row < headings_at && filled(&record) >= FULL_ROW {
            let problem = InputProblem::new(source, places.first().cloned(), "this row stands above the headings");
            let help = "a title may; a club's row belongs below them";
            table.problems.push(|| problem.help(Some(help.to_owned())));
        }
        if row < headings_at || record.iter().all(|cell| cell.trim().is_empty()) || is_hint() {
            continue;
        }
        if table.columns.is_empty() {
            table.read_headings(&record, &places, options)?;
            let others = table.columns.iter().zip(&record).filter(|(column, _)| **column == Column::Other);
            let others = others.map(|(_, heading)| heading.trim().to_owned());
            collection.passed_over = others.filter(|heading| !heading.is_empty()).collect();
            collection.taken_for = guessed(catalogue, &record, &table.columns);
            // What is parted by semicolons is where commas part decimals, if its measures do not say otherwise.
            let habit = writes_decimal_commas(catalogue, &table.columns, &source.text, delimiter, headings_at + 1);
            table.decimal_comma = habit.unwrap_or(table.decimal_comma);
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

/// The separator under which some row reads most like headings; where none does, the one that the fullest of the first
/// lines has most of.
fn delimiter_of(catalogue: &Catalogue, options: &TableOptions, text: &str) -> u8 {
    let known = |delimiter: &u8| headings_row(catalogue, options, text, *delimiter).map_or(0, |(_, known)| known);
    let mut best = (0, b',');
    for delimiter in [b',', b';', b'\t'] {
        let found = known(&delimiter);
        if found > best.0 {
            best = (found, delimiter);
        }
    }
    if best.0 > 0 {
        return best.1;
    }
    let count = |line: &str, separator: u8| line.bytes().filter(|byte| *byte == separator).count();
    let lines = text.lines().take(TITLE_ROWS);
    let of_lines = |separator: u8| lines.clone().map(|line| count(line, separator)).max().unwrap_or(0);
    let (semicolons, tabs, commas) = (of_lines(b';'), of_lines(b'\t'), of_lines(b','));
    if semicolons > commas {
        b';'
    } else if tabs > commas {
        b'\t'
    } else {
        b','
    }
}

/// The first row that reads like headings, and how many of its columns are ours.
fn headings_row(catalogue: &Catalogue, options: &TableOptions, text: &str, delimiter: u8) -> Option<(usize, usize)> {
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter).flexible(true).has_headers(false).from_reader(text.as_bytes());
    let known = |record: &csv::StringRecord| {
        let columns = columns_of(catalogue, record.iter());
        let is_asked_for = |cell: &&str| options.ignore.iter().any(|word| is_named(cell, word));
        let asked_for = record.iter().filter(is_asked_for).count();
        let is_ours = |column: &&Column| !matches!(column, Column::Other | Column::Blank);
        let known = columns.iter().filter(is_ours).count();
        (are_headings(&columns, filled(record)) || (known > 0 && known + asked_for > 1)).then_some(known)
    };
    let rows = reader.records().take(TITLE_ROWS).enumerate();
    rows.filter_map(|(row, record)| Some((row, record.ok()?))).find_map(|(row, record)| Some((row, known(&record)?)))
}

/// Cells that are not blank.
fn filled(record: &csv::StringRecord) -> usize {
    record.iter().filter(|cell| !cell.trim().is_empty() && !cell.starts_with(NO_VALUE)).count()
}

struct Table<'a> {
    source: &'a Arc<SourceText>,
    catalogue: &'a Catalogue,
    delimiter: u8,
    decimal_comma: bool,
    columns: Vec<Column>,
    /// Units that headings give and that are not those of the clues.
    units: Vec<Option<String>>,
    problems: Problems,
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
        self.columns = columns_of(self.catalogue, record.iter());
        self.units = record.iter().enumerate().map(|(ix, heading)| self.other_unit(ix, heading)).collect();
        for (ix, (heading, place)) in record.iter().zip(places).enumerate() {
            let ignore = options.ignore.iter().position(|word| is_named(heading, word));
            if heading.starts_with(NO_VALUE) && heading.contains("formula") && ignore.is_none() {
                let message = heading.trim_start_matches(NO_VALUE).to_owned();
                self.problems.push(|| {
                    let problem = InputProblem::new(self.source, Some(place.clone()), message);
                    problem.help(Some("type the heading itself, or the column would be lost".to_owned()))
                });
            } else if let Some(word) = ignore {
                ignored[word] = true;
                self.columns[ix] = Column::Ignored;
            } else if self.columns[ix] == Column::Other {
                let near = grade_of_a_date(heading, &self.columns).or_else(|| nearly(self.catalogue, heading));
                if let Some(near) = near {
                    self.problems.push(|| almost_a_heading(self.source, heading, &near, place));
                }
            } else if self.columns[ix] != Column::Blank
                && let Some(first) = first_at.insert(format!("{:?}", self.columns[ix]), heading.to_owned())
            {
                let message = match (heading.trim(), first.trim()) {
                    (again, first) if again == first => format!("column \"{again}\" stands twice"),
                    (again, first) => format!("columns \"{first}\" and \"{again}\" mean the same"),
                };
                self.problems.push(|| InputProblem::new(self.source, Some(place.clone()), message));
            }
        }
        if let Some(ix) = ignored.iter().position(|found| !found) {
            let column = options.ignore[ix].clone();
            return Err(Refused::NoColumn { table: self.source.name.clone(), column });
        }
        if !self.columns.contains(&Column::Id) {
            let problem = InputProblem::new(self.source, places.first().cloned(), "the table has no column \"id\"");
            let help = "one line holds the headings, with an id for every club (a name or number of its own)";
            self.problems.push(|| problem.help(Some(help.to_owned())));
        }
        if self.problems.is_empty() { Ok(()) } else { Err(Refused::Problems(std::mem::take(&mut self.problems))) }
    }

    /// A unit in a heading that is not the clue's: the bare numbers below are of it.
    fn other_unit(&self, column: usize, heading: &str) -> Option<String> {
        let Column::Clue(clue) = self.columns[column] else { return None };
        let clue = &self.catalogue.clues()[clue];
        let named = heading.trim().strip_suffix([')', ']'])?.rsplit_once(['(', '['])?.1.trim();
        let is_other = clue.kind.is_measure() && Unit::is_word(named) && clue.unit.factor_from(named) != Some(1.0);
        is_other.then(|| named.to_owned())
    }

    fn read_row(
        &mut self,
        record: &csv::StringRecord,
        places: &[Range<usize>],
        seen: &mut BTreeMap<String, u64>,
        collection: &mut Collection,
    ) {
        let before = self.problems.count();
        if record.len() != self.columns.len() {
            self.problems.push(|| row_length(self.source, self.delimiter, self.columns.len(), record, places));
            return;
        }
        self.check_cells(record, places);
        if self.problems.count() > before {
            return;
        }
        let blank_heading = |ix: usize| self.columns[ix] == Column::Blank;
        if let Some(ix) = (0..record.len()).find(|ix| blank_heading(*ix) && !record[*ix].trim().is_empty()) {
            let problem = InputProblem::new(self.source, Some(places[ix].clone()), "this column has no heading");
            self.problems.push(|| problem.help(Some("name the column, or empty it".to_owned())));
            return;
        }
        let row = Row { source: self.source, columns: &self.columns, units: &self.units, record, places };
        let (id, line) = (row.cell(&Column::Id), record.position().map_or(0, csv::Position::line));
        if id.is_empty() {
            self.problems.push(|| row.problem(&Column::Id, "this club has no id"));
        } else if let Some(line) = seen.get(id) {
            let message = format!("id \"{id}\" stands twice; the first is on line {line}");
            self.problems.push(|| row.problem(&Column::Id, message).at(format!("club {id}")));
        } else {
            seen.insert(id.to_owned(), line);
        }
        let set = self.problems.keep(row.set()).flatten();
        let date = self.problems.keep(row.date(self.catalogue.axis())).flatten();
        let club = row.club(self.catalogue, self.decimal_comma, &mut self.problems);
        if self.problems.count() == before {
            collection.clubs.push(ListedClub { club, date, set, folder: PathBuf::new() });
        }
    }

    /// Cells that a spreadsheet has no value for, and characters that have no place on a page.
    fn check_cells(&mut self, record: &csv::StringRecord, places: &[Range<usize>]) {
        for (ix, (cell, place)) in record.iter().zip(places).enumerate() {
            let passed_over = matches!(self.columns[ix], Column::Ignored | Column::Other | Column::Blank);
            if let Some(why) = cell.strip_prefix(NO_VALUE) {
                if !passed_over {
                    let help = "take merged cells apart, and let the spreadsheet work its formulas out, then save it";
                    self.problems
                        .push(|| InputProblem::new(self.source, Some(place.clone()), why).help(Some(help.to_owned())));
                }
            } else if !passed_over && is_error_value(cell) {
                let message = format!("{} is an error of a spreadsheet, no reading", cell.trim());
                self.problems.push(|| InputProblem::new(self.source, Some(place.clone()), message));
            } else if holds_rows(cell, self.delimiter, self.columns.len()) {
                let message = "this cell runs over several lines and holds as many separators as a row";
                let help = "a quote is opened here that is closed lines below; write the cell out, or double the quote";
                self.problems
                    .push(|| InputProblem::new(self.source, Some(place.clone()), message).help(Some(help.to_owned())));
            } else if let Some(c) = cell.chars().find(|c| is_unprintable(*c)) {
                let message = format!("this cell holds the control character U+{:04X}", u32::from(c));
                self.problems.push(|| InputProblem::new(self.source, Some(place.clone()), message));
            }
        }
    }
}

/// `#N/A`, `#DIV/0!` and the like.
fn is_error_value(cell: &str) -> bool {
    let rest = cell.trim().strip_prefix('#');
    rest.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_uppercase()) && rest.contains(['/', '!', '?']))
}

/// Whether a cell has swallowed rows: a quote alone, for ditto, opens one that ends with the next such.
fn holds_rows(cell: &str, delimiter: u8, columns: usize) -> bool {
    let separators = cell.bytes().filter(|byte| *byte == delimiter).count();
    cell.contains(['\n', '\r']) && separators + 1 >= columns.max(2)
}

/// A heading of none of ours, and like one.
fn almost_a_heading(source: &Arc<SourceText>, heading: &str, near: &str, place: &Range<usize>) -> InputProblem {
    let name = heading.trim();
    let message = format!("column \"{name}\" is no clue of the catalogue, though nearly one");
    let help = format!("did you mean {near}? to pass over it, add --ignore \"{name}\"");
    InputProblem::new(source, Some(place.clone()), message).help(Some(help))
}

/// A row of more or fewer cells than there are headings.
fn row_length(
    source: &Arc<SourceText>,
    delimiter: u8,
    headings: usize,
    record: &csv::StringRecord,
    places: &[Range<usize>],
) -> InputProblem {
    let at = places.first().map(|first| first.start..places.last().map_or(first.end, |last| last.end));
    let message = format!("this row has {} cells and the headings {headings}", record.len());
    let help = if delimiter == b',' { "put a cell that holds a comma in quotes" } else { "check the separators" };
    InputProblem::new(source, at, message).help(Some(help.to_owned()))
}

/// Control characters, and those that turn the direction of text, have no place on a page or a terminal; line breaks
/// and tabs are let pass within a cell.
#[must_use]
pub fn is_unprintable(c: char) -> bool {
    let turns_text = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns_text || (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
}
