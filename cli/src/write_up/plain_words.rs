//! Readings and moves in plain words.

use agewright_model::{Cell, Clue, ClueKind, Reading, Unit};

/// A reading as a sentence says it: `3 1/2 in`, `0.60 in`, `fine or medium`, `trace, doubtful`.
pub fn reading_in_words(clue: &Clue, reading: &Reading) -> String {
    let doubt = if reading.doubtful { ", doubtful" } else { "" };
    let text = reading.text.strip_suffix('?').map_or(reading.text.as_str(), str::trim);
    if matches!(clue.kind, ClueKind::Levels | ClueKind::Mark) {
        let levels: Vec<String> = text.split('|').map(|level| level.trim().replace('_', " ")).collect();
        return format!("{}{doubt}", levels.join(" or "));
    }
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '±' | '+' | '-' | '/'));
    let unit = if bare && clue.unit != Unit::Plain { format!(" {}", clue.unit.symbol()) } else { String::new() };
    format!("{text}{unit}{doubt}")
}

/// A name within a sentence: its first letter small, unless it begins with an abbreviation.
pub fn within_a_sentence(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if first.is_uppercase() && !second.is_uppercase() => {
            format!("{}{}", first.to_lowercase(), &name[first.len_utf8()..])
        }
        _ => name.to_owned(),
    }
}

/// How far a clue moved the estimate: `5.0 years later`, `not at all`.
pub fn moved(years: f64) -> String {
    let text = format!("{:.1}", years.abs());
    match text.as_str() {
        "0.0" => "not at all".to_owned(),
        "1.0" => format!("1.0 year {}", side(years)),
        _ => format!("{text} years {}", side(years)),
    }
}

/// The side that a move goes to.
pub fn side(years: f64) -> &'static str {
    if years < 0.0 { "earlier" } else { "later" }
}

/// What the levels of a reading look like, where the catalogue says it.
pub fn look(clue: &Clue, cell: &Cell) -> String {
    let Some(Reading { seen: agewright_model::Seen::Levels(levels), .. }) = cell.reading() else {
        return String::new();
    };
    let looks: Vec<&str> =
        levels.iter().map(|&k| clue.levels[k].look.as_str()).filter(|look| !look.is_empty()).collect();
    looks.join("; or ")
}
