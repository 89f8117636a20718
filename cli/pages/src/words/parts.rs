//! Head, shaft and grip in words.

use crate::words::verbal::{in_a_hundred, in_words};
use agewright_model::{Dating, Part};

/// How likely a shaft or a grip is a later one, in a sentence.
#[must_use]
pub fn replaced_message(dating: &Dating) -> Option<String> {
    let chance = dating.replaced?;
    let than = match dating.part {
        Part::Shaft => "than the head",
        Part::Grip => "than the shaft",
        Part::Head => return None,
    };
    Some(format!("Later {than}: {} ({}).", in_a_hundred(chance), in_words(chance)))
}

/// Heading of the clues of a part fixed to the one that is dated.
#[must_use]
pub fn section_of(part: Part) -> &'static str {
    match part {
        Part::Head => "The head",
        Part::Shaft => "The shaft, as far as it is the head's own",
        Part::Grip => "The grip, as far as it is the shaft's own",
    }
}

/// The part named behind a club's id, where it is not the head.
#[must_use]
pub fn part_suffix(part: Part) -> String {
    if part == Part::Head { String::new() } else { format!(", {}", part.word()) }
}
