//! What was read, in the sentences of a catalogue entry.

use crate::words::readings::within_a_sentence;
use crate::write_up::cut_texts::{capital, n_words, sentence};
use crate::write_up::facts::{PageFacts, ReadingFacts};
use std::fmt::Write as _;

/// What was read, in sentences of the catalogue's making, in so many words at the most: what kind of club it is and
/// what moved the date most is chosen first, and stands in the order of the catalogue, measures last.
///
/// How many have no place is told beside; what condition or damage says in the same words stands there.
pub fn readings_in_sentences(facts: &PageFacts, room: usize) -> (String, usize) {
    let weight = |reading: &ReadingFacts| {
        let entries = facts.parts.iter().flat_map(|part| &part.entries);
        entries.zip(0..).find(|(entry, _)| entry.clue == reading.clue).map_or(usize::MAX, |(_, place)| place)
    };
    let said = ["condition", "damage"].map(|key| facts.text(key).unwrap_or_default().to_lowercase());
    let is_said =
        |reading: &ReadingFacts| said.iter().any(|said| said.contains(reading.phrase.to_lowercase().as_str()));
    let told = facts.readings.iter().zip(0..);
    let told = told.filter(|(reading, _)| reading.counts && !reading.disputed && !is_said(reading));
    let mut by_weight: Vec<(&ReadingFacts, usize)> = told.collect();
    // Of shaft and grip one reading at the least: what they are made of stands first in the catalogue.
    let is_what_it_is = |reading: &ReadingFacts| {
        let mut of_part = facts.readings.iter().filter(|one| one.counts && !one.sentence.is_empty());
        let first = of_part.find(|one| one.part == reading.part && one.sentence == reading.part);
        reading.part != "head" && first.is_some_and(|first| first.clue == reading.clue)
    };
    // What the entry says that the date rests on stands in it.
    let named = facts.parts.first().map_or(&[][..], |head| &head.supports);
    let is_named = |reading: &ReadingFacts| {
        let name = within_a_sentence(short_name(&reading.clue));
        named.iter().any(|support| support.name == name)
    };
    let is_first = |reading: &ReadingFacts| reading.describes || is_named(reading) || is_what_it_is(reading);
    by_weight.sort_by_key(|(reading, _)| (!is_first(reading), weight(reading)));
    // As many as have room in their sentences.
    let all = by_weight.len();
    let texts = (0..=all).rev().map(|told| (in_sentences(&by_weight[..told]), all - told));
    texts.into_iter().find(|(text, _)| n_words(text) <= room).unwrap_or((String::new(), all))
}

/// Readings with their places in the catalogue, in its order, measures last.
fn in_sentences(chosen: &[(&ReadingFacts, usize)]) -> String {
    let mut chosen = chosen.to_vec();
    chosen.sort_by_key(|(reading, place)| (reading.measured, *place));
    let mut sentences: Vec<(&str, Vec<&str>)> = Vec::new();
    for (reading, _) in chosen {
        match sentences.iter_mut().find(|(sentence, _)| *sentence == reading.sentence) {
            Some((_, phrases)) => phrases.push(&reading.phrase),
            None => sentences.push((&reading.sentence, vec![&reading.phrase])),
        }
    }
    sentences.iter().fold(String::new(), |mut out, (name, phrases)| {
        let told = of_one_face(phrases).join(", ");
        let told = if opens_without_its_noun(name, phrases) { format!("{name} {told}") } else { told };
        let _ = write!(out, "{} ", sentence(&capital(&told)));
        out
    })
}

/// A sentence about the shaft, the grip or the nicking begins with it, or with a part of it.
fn opens_without_its_noun(name: &str, phrases: &[&str]) -> bool {
    let nouns: &[&str] = match name {
        "shaft" => &["shaft", "wood"],
        "grip" => &["grip"],
        "nicking" => &["nick", "teeth", "tips", "rim"],
        _ => return false,
    };
    let first = phrases.first().map_or_else(String::new, |first| first.to_lowercase());
    !nouns.iter().any(|noun| first.contains(noun))
}

/// `flat face` and `face with dots` as `flat face with dots`; `flat face` and `smooth face` as `flat, smooth face`.
fn of_one_face(phrases: &[&str]) -> Vec<String> {
    const NOUN: &str = "face";
    let bare = |phrase: &str| phrase.strip_suffix(NOUN).map(|bare| bare.trim_end().to_owned());
    let mut told: Vec<String> = phrases.iter().map(|phrase| (*phrase).to_owned()).collect();
    let first = told.iter().position(|phrase| phrase.ends_with(NOUN));
    let other = told.iter().rposition(|phrase| phrase.ends_with(NOUN) || phrase.starts_with("face "));
    if let (Some(first), Some(other)) = (first, other)
        && first != other
        && let Some(adjective) = bare(&told[first])
    {
        let joint = if told[other].starts_with(NOUN) { " " } else { ", " };
        told[other] = format!("{adjective}{joint}{}", told[other]);
        told.remove(first);
    }
    told
}

/// What of the head is later work, by the names of its clues.
pub fn later_work(facts: &PageFacts) -> String {
    let altered = facts.readings.iter().filter(|reading| reading.part == "head" && reading.is_altered);
    let named: Vec<String> = altered.map(|reading| within_a_sentence(short_name(&reading.clue))).collect();
    if named.is_empty() { String::new() } else { format!("Later work on the head: {}. ", named.join(", ")) }
}

/// The name of a clue without what its datum adds behind a comma.
fn short_name(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}
