//! Writes clubs as the table that `read_collection` reads.

use crate::collection::ListedClub;
use crate::record::{period_text, written_grade};
use agewright_model::{Catalogue, Cell};
use std::collections::BTreeSet;

/// What stands in a column for a club.
type CellOf<'a> = Box<dyn Fn(&ListedClub) -> String + 'a>;

/// The table of clubs as CSV (RFC 4180): a column for each clue that was looked at on one of them, and for each text.
/// A note or a text that a spreadsheet would take for a formula is marked as text by an apostrophe.
///
/// ```
/// use agewright_files::{SourceText, TableOptions, built_in, clubs_table, read_collection};
///
/// let loaded = built_in().unwrap();
/// let catalogue = loaded.calibration.catalogue();
/// let text = "id,made,hosel_to_crease,face_scoring\nK-7,before 1850,\"3,75\",\nK-8,,92 mm,smooth?\n";
/// let read = |text: &str| {
///     let source = SourceText::new("clubs.csv", text);
///     read_collection(&source, catalogue, &TableOptions::default()).unwrap().clubs
/// };
/// let table = clubs_table(catalogue, &read(text));
/// assert_eq!(table, "id,made,hosel_to_crease,face_scoring\nK-7,before 1850,\"3,75\",\nK-8,,92 mm,smooth?\n");
/// assert_eq!(read(&table), read(text));
/// ```
#[must_use]
pub fn clubs_table(catalogue: &Catalogue, clubs: &[ListedClub]) -> String {
    let has = |of: fn(&ListedClub) -> bool| clubs.iter().any(of);
    let keys: BTreeSet<&String> = clubs.iter().flat_map(|listed| listed.club.text.keys()).collect();
    let clues: Vec<usize> =
        (0..catalogue.clues().len()).filter(|ix| clubs.iter().any(|listed| !cell(listed, *ix).is_empty())).collect();
    let mut columns: Vec<(String, CellOf<'_>)> = Vec::new();
    columns.push(("id".to_owned(), Box::new(|listed| listed.club.id.clone())));
    if has(|listed| listed.date.is_some()) {
        columns
            .push(("made".to_owned(), Box::new(|listed| listed.date.as_ref().map_or_else(String::new, period_text))));
    }
    if has(|listed| listed.date.as_ref().and_then(written_grade).is_some()) {
        let grade = |listed: &ListedClub| listed.date.as_ref().and_then(written_grade);
        let text = move |listed: &ListedClub| grade(listed).map_or_else(String::new, |grade| grade.to_string());
        columns.push(("date_grade".to_owned(), Box::new(text)));
    }
    if has(|listed| listed.set.is_some()) {
        columns.push(("set".to_owned(), Box::new(|listed| listed.set.clone().unwrap_or_default())));
    }
    for ix in clues {
        columns.push((catalogue.clues()[ix].id.clone(), Box::new(move |listed| cell(listed, ix).to_owned())));
    }
    if has(|listed| !listed.club.note.is_empty()) {
        columns.push(("note".to_owned(), Box::new(|listed| guarded(&listed.club.note))));
    }
    for key in keys {
        let text = move |listed: &ListedClub| listed.club.text.get(key).map_or_else(String::new, |text| guarded(text));
        columns.push((format!("text.{key}"), Box::new(text)));
    }
    let headings = columns.iter().map(|(heading, _)| heading.clone()).collect();
    let rows = clubs.iter().map(|listed| columns.iter().map(|(_, of)| of(listed)).collect());
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Memory takes whatever is written to it.
    let written = std::iter::once(headings).chain(rows).all(|row: Vec<String>| writer.write_record(row).is_ok());
    let bytes = writer.into_inner().ok().filter(|_| written).unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// What was written for a clue.
fn cell(listed: &ListedClub, ix: usize) -> &str {
    listed.club.cells.get(ix).map_or("", Cell::text)
}

fn guarded(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t']) { format!("'{text}") } else { text.to_owned() }
}
