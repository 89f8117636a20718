//! The nearest allowed word, for a hint.

use agewright_model::reading::cell_error::CellError;
use agewright_model::{Cell, Clue, ClueKind, Unit};

/// Words further than this share of their length away are no hint.
const FURTHEST: f64 = 0.4;
/// A longer text is no misspelt word, and to compare it takes long.
const LONGEST: usize = 80;
/// Words of up to so many letters are short.
const SHORT: usize = 5;
/// Words of levels that say that nothing is there.
const NOTHING: [&str; 4] = ["absent", "none", "none_seen", "not seen"];
/// Words that tell how well a thing is kept, and not what it looks like.
const CONDITION: [&str; 12] = [
    "original",
    "orig.",
    "all original",
    "good",
    "very good",
    "vgc",
    "excellent",
    "fair",
    "poor",
    "as new",
    "mint",
    "sound",
];
/// A word behind one of these says the opposite of itself.
const NEGATIONS: [&str; 4] = ["no", "not", "non", "never"];

/// The allowed word most like the one given, if any is near and not its opposite.
/// ```
/// use agewright_files::nearest_word::nearest;
///
/// assert_eq!(nearest("smoth", ["smooth", "stamped_dots"]), Some("smooth"));
/// assert_eq!(nearest("xyz", ["smooth", "stamped_dots"]), None);
/// assert_eq!(nearest("no marks", ["one_mark", "two_marks"]), None);
/// assert_eq!(nearest("uneven", ["even", "fair"]), None);
/// assert_eq!(nearest("uint", ["unit", "label"]), Some("unit"));
/// assert_eq!(nearest("maker", ["made", "note"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > LONGEST {
        return None;
    }
    let word = word.to_lowercase();
    allowed
        .into_iter()
        .map(|choice| (strsim::normalized_damerau_levenshtein(&word, &choice.to_lowercase()), choice))
        .filter(|(likeness, choice)| *likeness >= 1.0 - FURTHEST && !is_opposite(&word, choice))
        .filter(|(_, choice)| {
            !is_short(&word, choice) || strsim::damerau_levenshtein(&word, &choice.to_lowercase()) <= 1
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, choice)| choice)
}

/// Of short words every second may be like another: only one letter may differ.
fn is_short(word: &str, choice: &str) -> bool {
    word.chars().count().max(choice.chars().count()) <= SHORT
}

/// Whether one of two words says that what the other says is not so: `no marks`, `uneven`.
fn is_opposite(word: &str, choice: &str) -> bool {
    let negates = |word: &str| NEGATIONS.contains(&word.split([' ', '_', '-']).next().unwrap_or(""));
    let is_un = |word: &str, other: &str| word.strip_prefix("un") == Some(other);
    negates(word) != negates(choice) || is_un(word, choice) || is_un(choice, word)
}

/// `did you mean "x"? allowed: a, b, c`.
#[must_use]
pub fn hint(word: &str, allowed: &[String]) -> Option<String> {
    if allowed.is_empty() {
        return None;
    }
    let list = format!("allowed: {}", allowed.join(", "));
    Some(match nearest(word, allowed.iter().map(String::as_str)) {
        Some(near) => format!("did you mean \"{near}\"? {list}"),
        None => list,
    })
}

/// What to do about a cell that is refused: the level whose id, label or synonym is nearest, or how else to write it.
#[must_use]
pub fn cell_hint(clue: &Clue, text: &str, error: &CellError) -> Option<String> {
    if let Some(hint) = way_of_writing(clue, text).or_else(|| unit_left_out(clue, text, error)) {
        return Some(hint);
    }
    let (word, allowed) = error.choices()?;
    let words: Vec<(&str, &str)> =
        clue.levels.iter().flat_map(|level| level.words().map(|word| (word, level.id.as_str()))).collect();
    // A level that has the very word comes before one that is merely spelt like it: "one" is of "one mark".
    let named = with_the_word(word, &words);
    if !named.is_empty() {
        return Some(format!("did you mean {}? allowed: {}", named.join(" or "), allowed.join(", ")));
    }
    let near = nearest(word, words.iter().map(|(word, _)| *word));
    match near.and_then(|near| words.iter().find(|(word, _)| *word == near)) {
        Some((_, id)) => Some(format!("did you mean \"{id}\"? allowed: {}", allowed.join(", "))),
        None => hint(word, allowed),
    }
}

/// A number that is out of range as it stands, and in it with a unit: `114` of a length in inches.
fn unit_left_out(clue: &Clue, text: &str, error: &CellError) -> Option<String> {
    let CellError::Range { .. } = error else { return None };
    let is_read = |word: &&&str| Cell::from_text(clue, &format!("{text} {word}"), false).is_ok();
    let others = clue.unit.allowed_words().iter().filter(|word| **word != clue.unit.symbol());
    let word = others.filter(|_| !text.contains(char::is_alphabetic)).find(is_read)?;
    Some(format!("write {text} {word}, if it is that; a bare number is in {}", clue.unit.plural()))
}

/// Levels that have the word as one of theirs: `dots` of hand dots and stamped dots.
fn with_the_word(word: &str, words: &[(&str, &str)]) -> Vec<String> {
    let word = word.trim().to_lowercase();
    let has = |text: &str| text.to_lowercase().split([' ', '_', '-']).any(|part| part == word);
    let mut named: Vec<String> = Vec::new();
    for (_, id) in words.iter().filter(|(text, _)| word.len() > 2 && has(text)) {
        let quoted = format!("\"{id}\"");
        if !named.contains(&quoted) {
            named.push(quoted);
        }
    }
    named
}

fn ids(clue: &Clue) -> String {
    clue.levels.iter().map(|level| level.id.as_str()).collect::<Vec<_>>().join(", ")
}

/// What people write to say how sure they are, where it is not how it is read.
fn way_of_writing(clue: &Clue, text: &str) -> Option<String> {
    let lower = text.trim().to_lowercase();
    let bare = lower.trim_end_matches('?').trim();
    if ["altered", "unreadable"].contains(&bare) && lower != bare {
        return Some(format!("write {bare} where it is so, or the reading with ? behind it where you doubt it"));
    }
    // Where a level says the same of the clue, wear is what was asked for.
    let is_level = |word: &str| clue.levels.iter().any(|level| level.words().any(|own| own.contains(word)));
    let begins = |words: &[&str]| words.iter().any(|word| lower.starts_with(word) && !is_level(word));
    if begins(&["worn", "rusted", "illegible", "pitted", "covered", "hidden", "not seen", "cannot tell"]) {
        return Some("write unreadable where wear, rust or paint hides it, altered where it is later work".to_owned());
    }
    if begins(&["missing", "lost", "no grip", "no shaft"]) {
        return Some("leave it blank where the part is not there".to_owned());
    }
    if begins(&["re-", "rechrom", "replat", "renickel", "replaced", "later", "modern", "new", "reshaft", "regrip"]) {
        return Some("write altered where it is later work".to_owned());
    }
    if ["nil", "none", "no", "0", "yes", "y", "x"].contains(&bare) && !clue.levels.is_empty() {
        let nothing = clue.levels.iter().find(|level| level.words().any(|own| NOTHING.contains(&own)));
        return Some(match nothing.filter(|_| !["yes", "y", "x"].contains(&bare)) {
            Some(level) => format!("write {} where there is none, or leave it blank where you did not look", level.id),
            None => format!("write what was seen ({}), or leave it blank", ids(clue)),
        });
    }
    if clue.kind == ClueKind::Register && ["nil", "none", "no", "absent", "0"].contains(&bare) {
        return Some("leave it blank where no such number stands on the club".to_owned());
    }
    if CONDITION.contains(&bare) {
        return Some("write what was seen, or leave it blank: how well it is kept stands under condition".to_owned());
    }
    let about = ["c.", "ca.", "circa", "about", "approx", "~"];
    let is_about =
        about.iter().any(|word| lower.strip_prefix(word).is_some_and(|rest| rest.contains(char::is_numeric)));
    let between = |(low, high): (&str, &str)| low.trim().parse::<f64>().is_ok() && high.trim().parse::<f64>().is_ok();
    if clue.kind == ClueKind::Measured && lower.split_once('-').is_some_and(between) {
        return Some(format!("write {} for something between", lower.replace('-', " to ")));
    }
    // "4 1/2 - 4 5/8": a hyphen apart is no part of a number.
    if let Some((low, high)) = text.trim().split_once(" - ").filter(|_| clue.kind == ClueKind::Measured) {
        let is_number = |text: &str| text.trim().starts_with(|c: char| c.is_numeric());
        return (is_number(low) && is_number(high)).then(|| format!("write {low} to {high} for something between"));
    }
    (clue.kind == ClueKind::Measured && is_about).then(|| {
        let number = lower.trim_start_matches(|c: char| !c.is_numeric());
        let off = match clue.unit {
            Unit::Inch | Unit::Plain => "0.1",
            Unit::Ounce => "0.5",
            Unit::Millimetre => "2",
            Unit::Gram => "10",
            Unit::Degree => "1",
        };
        format!("write it with how far it may be off, for example {number} +/- {off}, or {number}? if you doubt it")
    })
}
