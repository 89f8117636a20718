//! Readings in words.

use agewright_model::{Catalogue, Cell, Clue, Reading, Seen, Unit};

/// A reading as a table has it: levels by their printed names, `fine | medium`, `trace?`; all else as it was written.
#[must_use]
pub fn reading_in_short(catalogue: &Catalogue, clue: &str, text: &str) -> String {
    let read = catalogue.clue(clue).and_then(|clue| Some((clue, Cell::from_text(clue, text, true).ok()?)));
    match &read {
        Some((clue, Cell::Read(reading))) if is_of_levels(clue) => {
            format!("{}{}", names(clue, reading).join(" | "), if reading.doubtful { "?" } else { "" })
        }
        _ => text.to_owned(),
    }
}

/// A reading as a sentence says it: `3 1/2 in`, `0.60 in`, `fine or medium`, `trace, doubtful`.
#[must_use]
pub fn reading_in_words(clue: &Clue, reading: &Reading) -> String {
    let doubt = if reading.doubtful { ", doubtful" } else { "" };
    if is_of_levels(clue) {
        return format!("{}{doubt}", names(clue, reading).join(" or "));
    }
    let text = reading.text.strip_suffix('?').map_or(reading.text.as_str(), str::trim);
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '±' | '+' | '-' | '/'));
    let unit = if bare && clue.unit != Unit::Plain { format!(" {}", clue.unit.symbol()) } else { String::new() };
    format!("{text}{unit}{doubt}")
}

/// A reading as a sentence that describes the club tells it: `open hosel seam`, `top edge 0.125 in`; where the
/// catalogue has no phrase for it, `hosel seam: open`.
#[must_use]
pub fn phrase_of(clue: &Clue, reading: &Reading) -> String {
    let doubt = if reading.doubtful { " (doubtful)" } else { "" };
    let phrases: Option<Vec<&str>> = match &reading.seen {
        Seen::Levels(levels) => {
            let phrase = |level: &usize| clue.levels.get(*level).map(|level| level.phrase.as_str());
            levels.iter().map(phrase).collect::<Option<Vec<_>>>().filter(|all| all.iter().all(|one| !one.is_empty()))
        }
        _ => None,
    };
    if let Some(phrases) = phrases {
        return format!("{}{doubt}", phrases.join(" or "));
    }
    let sure = Reading { doubtful: false, ..reading.clone() };
    let words = reading_in_words(clue, &sure);
    if clue.kind.is_measure() && clue.phrase.contains("{}") {
        return format!("{}{doubt}", clue.phrase.replace("{}", &words));
    }
    format!("{}: {words}{doubt}", within_a_sentence(&clue.name()))
}

/// What was written for a clue (by its id), as a sentence says it.
#[must_use]
pub fn text_in_words(catalogue: &Catalogue, clue: &str, text: &str) -> String {
    let read = catalogue.clue(clue).and_then(|clue| Some((clue, Cell::from_text(clue, text, true).ok()?)));
    match &read {
        Some((clue, Cell::Read(reading))) => reading_in_words(clue, reading),
        _ => text.to_owned(),
    }
}

/// Printed name of a level, by the ids of its clue and its own.
#[must_use]
pub fn level_name(catalogue: &Catalogue, clue: &str, level: &str) -> String {
    let found = catalogue.clue(clue).and_then(|clue| clue.levels.iter().find(|own| own.id == level));
    found.map_or_else(|| level.replace('_', " "), agewright_model::Level::name)
}

/// What the levels of a reading look like, where the catalogue says it.
#[must_use]
pub fn look(clue: &Clue, cell: &Cell) -> String {
    let Some(Reading { seen: Seen::Levels(levels), .. }) = cell.reading() else { return String::new() };
    let looks = levels.iter().filter_map(|&k| clue.levels.get(k)).map(|level| level.look.as_str());
    looks.filter(|look| !look.is_empty()).collect::<Vec<_>>().join("; or ")
}

fn is_of_levels(clue: &Clue) -> bool {
    !clue.levels.is_empty()
}

fn names(clue: &Clue, reading: &Reading) -> Vec<String> {
    let Seen::Levels(levels) = &reading.seen else { return vec![reading.text.clone()] };
    levels.iter().filter_map(|&k| clue.levels.get(k)).map(agewright_model::Level::name).collect()
}

/// Words that keep their capital wherever they stand.
const PROPER: [&str; 9] =
    ["British", "English", "Scottish", "Irish", "French", "German", "American", "Victorian", "Edwardian"];

/// A name within a sentence: its first letter small, unless it begins with an abbreviation or a proper name.
#[must_use]
pub fn within_a_sentence(name: &str) -> String {
    if PROPER.contains(&name.split([' ', '-']).next().unwrap_or("")) {
        return name.to_owned();
    }
    let mut letters = name.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if first.is_uppercase() && !second.is_uppercase() => {
            format!("{}{}", first.to_lowercase(), &name[first.len_utf8()..])
        }
        _ => name.to_owned(),
    }
}

/// The sentence of a catalogue that tells what stands on the club.
const INSCRIBED: &str = "marks";

/// Whether a clue is a stamp, a word or a number on the club.
#[must_use]
pub fn is_inscribed(clue: &Clue) -> bool {
    // A mark whose place in an entry is elsewhere is a form, of known years as a stamp is.
    clue.sentence == INSCRIBED || (clue.is_like_a_mark() && clue.sentence.is_empty())
}
