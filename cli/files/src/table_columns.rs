//! What the columns of a table of clubs hold, by their headings.

use crate::nearest_word::nearest;
use agewright_model::{Catalogue, Clue};

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Column {
    Id,
    /// A period in one cell.
    Made,
    MadeFrom,
    MadeTo,
    Note,
    DateGrade,
    Set,
    Clue(usize),
    Text(String),
    /// Passed over on request.
    Ignored,
    /// No column of ours, nor nearly one.
    Other,
    /// A column without a heading.
    Blank,
}

/// A heading of more letters is no misspelt one.
const LONGEST: usize = 64;
/// Headings of our own, as they are told.
const OWN: [&str; 7] = ["id", "made", "made_from", "made_to", "note", "date_grade", "set"];
/// What people call the column of ids and that of dates, where none has our own heading; the earlier comes first.
const IDS: [&str; 12] = [
    "club",
    "clubid",
    "clubno",
    "number",
    "no",
    "ref",
    "reference",
    "lot",
    "lotno",
    "accession",
    "accessionnumber",
    "inventorynumber",
];
const DATES: [&str; 7] = ["date", "dated", "datemade", "madein", "year", "yearmade", "period"];

/// A heading without regard to case, spaces, punctuation or a unit in brackets.
pub(crate) fn heading_key(heading: &str) -> String {
    let heading = heading.trim();
    let bare = match (heading.rfind(['(', '[']), heading.ends_with([')', ']'])) {
        (Some(at), true) if at > 0 => &heading[..at],
        _ => heading,
    };
    bare.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Whether a heading is what a word names; of a heading of signs alone every sign counts.
pub(crate) fn is_named(heading: &str, word: &str) -> bool {
    let (heading_key, word_key) = (heading_key(heading), heading_key(word));
    if word_key.is_empty() { heading.trim() == word.trim() } else { heading_key == word_key }
}

/// The columns of a row of headings; the words that stand for an id or a date count where no other heading does.
pub(crate) fn columns_of<'a>(catalogue: &Catalogue, headings: impl Iterator<Item = &'a str>) -> Vec<Column> {
    let headings: Vec<&str> = headings.collect();
    let mut columns: Vec<Column> = headings.iter().map(|heading| column_of(catalogue, heading)).collect();
    let has = |columns: &[Column], of: &[Column]| columns.iter().any(|column| of.contains(column));
    let first_of = |columns: &[Column], words: &[&str]| {
        let at = |word: &&str| {
            let named = |(column, heading): (&Column, &&str)| *column == Column::Other && is_bare(heading, word);
            columns.iter().zip(&headings).position(named)
        };
        words.iter().find_map(at)
    };
    if !has(&columns, &[Column::Id])
        && let Some(at) = first_of(&columns, &IDS)
    {
        columns[at] = Column::Id;
    }
    let dates = [Column::Made, Column::MadeFrom, Column::MadeTo];
    if !has(&columns, &dates)
        && let Some(at) = first_of(&columns, &DATES)
    {
        columns[at] = Column::Made;
    }
    for at in 0..headings.len() {
        let clue = by_heading(catalogue, headings[at]).map(Column::Clue);
        if let Some(clue) = clue.filter(|clue| columns[at] == Column::Other && !columns.contains(clue)) {
            columns[at] = clue;
        }
    }
    columns
}

/// The clue whose column the catalogue says that people head so.
pub(crate) fn by_heading(catalogue: &Catalogue, heading: &str) -> Option<usize> {
    let key = heading_key(heading);
    catalogue.clues().iter().position(|clue| clue.headings.iter().any(|word| heading_key(word) == key))
}

/// Whether a heading is this usual word and says no more: a "date (of sale)" is another.
fn is_bare(heading: &str, word: &str) -> bool {
    heading_key(heading) == word && !heading.contains(['(', '['])
}

fn column_of(catalogue: &Catalogue, heading: &str) -> Column {
    let heading = heading.trim();
    if heading.is_empty() {
        return Column::Blank;
    }
    if let Some(name) = heading.to_lowercase().strip_prefix("text.") {
        return if name.is_empty() { Column::Other } else { Column::Text(name.to_owned()) };
    }
    let key = heading_key(heading);
    match key.as_str() {
        "id" => Column::Id,
        "made" => Column::Made,
        "madefrom" => Column::MadeFrom,
        "madeto" => Column::MadeTo,
        "note" | "notes" => Column::Note,
        "dategrade" => Column::DateGrade,
        "set" => Column::Set,
        _ => clue_named(catalogue, heading).map_or(Column::Other, Column::Clue),
    }
}

/// The clue that a word names, by its place: by its id, or else its label, or its label up to the comma; what two clues
/// share names neither. Case, spaces and punctuation do not matter.
///
/// ```
/// use agewright_files::clue_named;
///
/// let loaded = agewright_files::built_in().unwrap();
/// let catalogue = loaded.calibration.catalogue();
/// let id = |word| clue_named(catalogue, word).map(|ix| catalogue.clues()[ix].id.as_str());
/// assert_eq!(id("hosel_length"), Some("hosel_to_crease"));
/// assert_eq!((id("Hosel-blade join"), id("hosel")), (Some("hosel_join"), None));
/// ```
#[must_use]
pub fn clue_named(catalogue: &Catalogue, word: &str) -> Option<usize> {
    let key = heading_key(word);
    let clues = || catalogue.clues().iter().enumerate();
    if let Some((ix, _)) = clues().find(|(_, clue)| heading_key(&clue.id) == key) {
        return Some(ix);
    }
    let head = |label: &str| heading_key(label.split(',').next().unwrap_or(label));
    let by = |of: &dyn Fn(&str) -> String| {
        let mut found = clues().filter(|(_, clue)| !clue.label.is_empty() && of(&clue.label) == key);
        found.next().filter(|_| found.next().is_none()).map(|(ix, _)| ix)
    };
    by(&heading_key).or_else(|| by(&head))
}

/// What people call how well a date is known: of a table with dates and no such column of ours it may be that, and a
/// club would else count as documented that somebody guessed at.
pub(crate) fn grade_of_a_date(heading: &str, columns: &[Column]) -> Option<String> {
    let is_grade = ["grade", "certainty", "confidence"].contains(&heading_key(heading).as_str());
    let has = |of: Column| columns.contains(&of);
    let is_open = (has(Column::Made) || has(Column::MadeFrom)) && !has(Column::DateGrade);
    (is_grade && is_open).then(|| "\"date_grade\"".to_owned())
}

/// The headings of ours that another nearly is: by ids and labels of clues, labels up to their comma and our own words;
/// those that it is the first or the last word of, `nicking`, `finish`, or else the nearest.
pub(crate) fn nearly(catalogue: &Catalogue, heading: &str) -> Option<String> {
    let heading = heading.trim();
    // What people call an id or a date is near to nothing, and nobody misspells a whole page.
    let is_usual = IDS.iter().chain(&DATES).any(|word| *word == heading_key(heading));
    if is_usual || heading.len() > LONGEST {
        return None;
    }
    let of_clue = |clue: &Clue| {
        let head = clue.label.split(',').next().unwrap_or_default().to_owned();
        [clue.id.clone(), clue.label.clone(), head].map(|word| (word, clue.id.clone()))
    };
    // Many an ordinary word is a letter away from a short one.
    let own = OWN.into_iter().filter(|own| own.len() > 4).map(|own| (own.to_owned(), own.to_owned()));
    let dates = DATES.into_iter().filter(|word| word.len() > 4).map(|word| (word.to_owned(), "made".to_owned()));
    let words: Vec<(String, String)> = catalogue.clues().iter().flat_map(of_clue).chain(own).chain(dates).collect();
    let words: Vec<(String, String)> = words.into_iter().filter(|(word, _)| !word.is_empty()).collect();
    let key = heading_key(heading);
    // `finish` is the last word of two clues, and nearer to none of them.
    let parts = |word: &str| -> Vec<String> { word.split(['_', ' ', '-', ',']).map(heading_key).collect() };
    let is_end = |word: &str| parts(word).first() == Some(&key) || parts(word).last() == Some(&key);
    let clues = catalogue.clues().iter().filter(|clue| is_end(&clue.id) || is_end(&clue.label));
    let ids: Vec<String> = clues.map(|clue| format!("\"{}\"", clue.id)).collect();
    if !ids.is_empty() {
        return Some(ids.join(" or "));
    }
    let near = nearest(heading, words.iter().map(|(word, _)| word.as_str()))?;
    words.iter().find(|(word, _)| word == near).map(|(_, own)| format!("\"{own}\""))
}

/// Headings that are not our own words and were taken for an id, a date or a clue, each with what it was taken for.
pub(crate) fn guessed(
    catalogue: &Catalogue,
    headings: &csv::StringRecord,
    columns: &[Column],
) -> Vec<(String, String)> {
    let taken = |(heading, column): (&str, &Column)| {
        let own = match column {
            Column::Id => "id",
            Column::Made => "made",
            Column::Clue(clue) => catalogue.clues()[*clue].id.as_str(),
            _ => return None,
        };
        let is_own = match column {
            Column::Clue(clue) => clue_named(catalogue, heading) == Some(*clue),
            _ => heading_key(heading) == own,
        };
        (!is_own).then(|| (heading.trim().to_owned(), own.to_owned()))
    };
    headings.iter().zip(columns).filter_map(taken).collect()
}

/// Whether a row is one of headings: an id, and something of a club beside it unless nothing else stands there.
pub(crate) fn are_headings(columns: &[Column], filled: usize) -> bool {
    let known = columns.iter().filter(|column| !matches!(column, Column::Other | Column::Blank)).count();
    columns.contains(&Column::Id) && (known > 1 || filled == 1)
}
