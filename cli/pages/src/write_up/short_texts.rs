//! Texts of a fixed length: the catalogue entry and the exhibition label.

use crate::words::counted::counted;
pub use crate::write_up::cut_texts::n_words;
use crate::write_up::cut_texts::{cut, cut_at_a_sentence, sentence};
use crate::write_up::disagreement::{disagreement_in_an_entry, disagreement_on_a_label, left_out_on_request};
use crate::write_up::facts::PageFacts;
use crate::write_up::part_facts::{EntryFacts, PartFacts};
use crate::write_up::told_readings::{later_work, readings_in_sentences};

/// A catalogue entry has at most this many words below its heading.
pub const CATALOGUE_WORDS: usize = 120;
/// A title is cut to so many words in a heading.
const HEADING_WORDS: usize = 20;
/// And to so many on a label.
const LABEL_TITLE_WORDS: usize = 12;
/// And to so many letters.
const LABEL_TITLE_LETTERS: usize = 90;
/// A date is called one of stamps where so much of what speaks for it is, and not of them where so little is.
const MOST_STAMPS: f64 = 2.0 / 3.0;
/// A label has from 25 to 50 words, its title included.
pub const LABEL_WORDS: (usize, usize) = (25, 50);

/// Texts of a record that an entry tells, those that a buyer must know first, each behind its word.
const TOLD_TEXTS: [(&str, &str); 7] = [
    ("condition", "Condition: "),
    ("damage", "Damage: "),
    ("inscription", "Marked: "),
    ("marks", "Marks: "),
    ("provenance", "Provenance: "),
    // Attributing is the cataloguer's: whose word it is is said.
    ("maker", "Maker, by the record: "),
    ("materials", "Materials: "),
];

/// Of a text that is cut fewer words are not worth a place.
const FEWEST_OF_A_CUT_TEXT: usize = 12;

/// Heading of the catalogue entry: the title and the date line, whose "c." never stands without its span.
#[must_use]
pub fn catalogue_heading(facts: &PageFacts) -> String {
    let title = heading_title(facts);
    match &facts.known_of {
        Some(known) => format!("{title}, known to be {known}; by its clues alone {}", facts.date_line),
        None => format!("{title}, {}", facts.date_line),
    }
}

/// The title in that heading, cut where it has more words than the heading has room for.
#[must_use]
pub fn heading_title(facts: &PageFacts) -> String {
    cut(facts.title.trim_end_matches('.'), HEADING_WORDS)
}

/// The entry below the heading, at most [`CATALOGUE_WORDS`] words: what was read in sentences, condition, inscription,
/// provenance, and that it is an opinion.
#[must_use]
pub fn catalogue_entry(facts: &PageFacts) -> String {
    entry_and_left_out(facts).0
}

/// What the entry has no room for: texts that it cuts or leaves out, and how many readings.
#[must_use]
pub fn left_out_of_entry(facts: &PageFacts) -> Vec<String> {
    entry_and_left_out(facts).1
}

fn entry_and_left_out(facts: &PageFacts) -> (String, Vec<String>) {
    let clues = facts.parts.first().map_or(0, |head| of_head(head).filter(|entry| !entry.adjusts).count());
    // Shaft and grip say something of the head too.
    let all = facts.parts.first().map_or(0, |head| head.entries.iter().filter(|entry| !entry.adjusts).count());
    let is_priors = facts.parts.first().is_some_and(|head| head.rests_on_prior);
    let not_counted = left_out_on_request(facts).into_iter().next();
    let other = if not_counted.is_some() { "other " } else { "" };
    let opinion = match clues {
        1.. if is_priors => {
            "The date is an opinion that rests on how clubs are taken to be spread over time, not on a clue of its own."
                .to_owned()
        }
        0 if all > 0 => {
            "No clue of date was read on the head; the date is an opinion from what is fixed to it.".to_owned()
        }
        0 if facts.known_years.is_some() || facts.given_years.is_some() => {
            format!("No {other}clue of date could be read on it.")
        }
        0 => format!("No {other}clue of date could be read, and no date is given."),
        _ if all == 1 => "The date is an opinion from one clue.".to_owned(),
        _ => format!("The date is an opinion from {all} clues read on the club{}.", most_of_all(facts)),
    };
    let conflict = disagreement_in_an_entry(facts);
    let later: Vec<&str> = facts.parts.iter().filter_map(|part| part.later.as_deref()).collect();
    let later = if later.is_empty() { String::new() } else { format!("{} ", later.join(" ")) };
    let given = facts.given_of.as_ref().map_or_else(String::new, |given| format!("Given as {given}. "));
    let borne_out = match (facts.is_not_borne_out, &facts.given_of) {
        (true, Some(_)) => "Its clues do not bear that date out. ",
        (true, None) => "Its clues do not bear the known date out. ",
        _ => "",
    };
    let not_counted = not_counted.map_or_else(String::new, |said| format!("{said} "));
    let close = format!("{}{later}{conflict}{given}{borne_out}{not_counted}{opinion}", later_work(facts));
    let room = CATALOGUE_WORDS.saturating_sub(n_words(&close));
    // Half of it for what is read on the club.
    let Told { texts, mut left_out } = told_texts(facts, room / 2);
    let room = room - texts.iter().map(|text| n_words(text)).sum::<usize>();
    let (first, untold) = readings_in_sentences(facts, room);
    if untold > 0 {
        left_out.push(counted(untold, "reading", "readings"));
    }
    let rest = if texts.is_empty() { String::new() } else { format!("{} ", texts.join(" ")) };
    (format!("{first}{rest}{close}"), left_out)
}

/// Texts of a record in an entry, and what of them has no room.
struct Told {
    texts: Vec<String>,
    left_out: Vec<String>,
}

/// The texts that an entry tells, in so many words together, and of each a quarter of the entry at the most.
fn told_texts(facts: &PageFacts, mut room: usize) -> Told {
    let (mut texts, mut left_out) = (Vec::new(), Vec::new());
    for (key, name) in TOLD_TEXTS {
        let Some(text) = facts.text(key) else { continue };
        let whole = sentence(&format!("{name}{}", text.trim()));
        let text = cut_at_a_sentence(&whole, (CATALOGUE_WORDS / 4).min(room));
        let is_cut = n_words(&text) < n_words(&whole);
        if n_words(&text) > room || is_cut && n_words(&text) < FEWEST_OF_A_CUT_TEXT {
            left_out.push(format!("its {key}"));
            continue;
        }
        room -= n_words(&text);
        texts.push(text);
        if is_cut {
            left_out.push(format!("the end of its {key}"));
        }
    }
    Told { texts, left_out }
}

/// The clues that the date rests on most, by their names alone: their readings stand in the entry.
fn most_of_all(facts: &PageFacts) -> String {
    let named = facts.parts.first().map_or(&[][..], |head| &head.supports);
    let names: Vec<&str> = named.iter().map(|clue| clue.name.as_str()).collect();
    let is_struck = facts.parts.first().is_some_and(|head| head.is_struck);
    match names.split_last() {
        None => String::new(),
        Some((last, [])) if is_struck => format!(", {last} among them"),
        Some((last, rest)) if is_struck => format!(", {} and {last} among them", rest.join(", ")),
        Some((last, [])) => format!(", most of all {last}"),
        Some((last, rest)) => format!(", most of all {} and {last}", rest.join(", ")),
    }
}

/// Entries of the head's own clues.
fn of_head(head: &PartFacts) -> impl Iterator<Item = &EntryFacts> {
    head.entries.iter().filter(|entry| entry.part == "head")
}

/// Why a label gives its date, the longest first: what has room is told.
fn reasons(facts: &PageFacts, is_split: bool, is_priors: bool) -> Vec<String> {
    let strongest = facts.parts.first().map_or(&[][..], |head| &head.supports);
    let is_struck = facts.parts.first().is_some_and(|head| head.is_struck);
    let date = if facts.known_years.is_some() { "the date by its clues" } else { "this date" };
    let most = if is_struck { format!("Among what speaks for {date}") } else { format!("What speaks most for {date}") };
    match strongest {
        _ if is_split => vec!["Its signs point to more than one date, and which is right is not known.".to_owned()],
        _ if facts.parts.first().is_some_and(|head| head.is_after) => {
            vec!["What looks older on it may be copied.".to_owned()]
        }
        [] if is_priors => {
            vec!["The date rests on how clubs are taken to be spread over time, not on a clue of its own.".to_owned()]
        }
        [] if facts.parts.first().is_some_and(|head| !head.disputed.is_empty()) => Vec::new(),
        [] if facts.parts.first().is_some_and(|head| head.leans_on.is_some()) => Vec::new(),
        [] if is_struck => vec!["What speaks most for it is itself in doubt.".to_owned()],
        [] if facts.parts.first().is_some_and(|head| head.none_speaks) => {
            vec!["No clue of it speaks for these years by itself.".to_owned()]
        }
        [] if facts.parts.first().is_some_and(|head| of_head(head).filter(|entry| !entry.adjusts).count() == 1) => {
            let adds_little = facts.parts.first().is_some_and(|head| head.adds_little);
            let how = if adds_little { ", to which its one clue adds little" } else { " and on one clue" };
            vec![format!("It rests on how clubs are taken to be spread over time{how}.")]
        }
        [] => {
            let together = match facts.parts.first().map_or(0, |head| head.n_sound) {
                ..=1 => "",
                2 => "; what speaks for it, two say together",
                _ => "; what speaks for it, several say together",
            };
            vec![format!("No one clue carries this date{together}.")]
        }
        [one] => vec![format!("{most}: {}.", one.with_reading)],
        [one, two, ..] => {
            vec![
                format!("{most}: {} and {}.", one.with_reading, two.with_reading),
                format!("{most}: {}.", one.with_reading),
            ]
        }
    }
}

/// That the date of a label is an opinion, and what from.
fn label_opinion(facts: &PageFacts, is_priors: bool) -> String {
    let what = if facts.known_years.is_some() { "The date by its clues" } else { "The date" };
    let head = facts.parts.first();
    let is_of_others = head.is_some_and(|head| of_head(head).all(|entry| entry.adjusts));
    let names_a_stamp = head.is_some_and(|head| head.supports.iter().take(2).any(|clue| clue.is_stamp));
    let of_stamps = head.map_or(0.0, |head| head.share_of_stamps);
    match () {
        () if is_priors => format!("{what} is an opinion."),
        () if is_of_others => {
            format!("{what} is an opinion from what is fixed to the head; on that no clue of date was read.")
        }
        () if of_stamps > MOST_STAMPS => format!("{what} is an opinion, most of all from what is stamped on the club."),
        () if of_stamps > 1.0 - MOST_STAMPS || names_a_stamp => {
            format!("{what} is an opinion from the making of the club and what is stamped on it.")
        }
        () => format!("{what} is an opinion from the form and the making of the club."),
    }
}

/// The title of a label, cut where it has more words or letters than the label has room for.
#[must_use]
pub fn label_title(facts: &PageFacts) -> String {
    let title = facts.title.trim_end_matches('.');
    let fewer = (1..=LABEL_TITLE_WORDS).rev().find(|&words| cut(title, words).chars().count() <= LABEL_TITLE_LETTERS);
    let short = cut(title, fewer.unwrap_or(1));
    if short.chars().count() <= LABEL_TITLE_LETTERS {
        return short;
    }
    format!("{}...", short.chars().take(LABEL_TITLE_LETTERS).collect::<String>())
}

/// When it was made, by a label's date.
fn made_words(date: &str) -> String {
    match date {
        "date not known" => "Its date is not known.".to_owned(),
        date if date.ends_with("century") => format!("Made in the {date}."),
        date => format!("Made {date}."),
    }
}

/// The text of a label where no clue of date counts.
fn label_without_a_date(facts: &PageFacts, title: &str, made: &str, not_counted: &[String]) -> String {
    let none = |not_counted: Option<&String>| {
        let none = not_counted.map_or_else(
            || "No clue of date could be read on it".to_owned(),
            |said| format!("{said} No other clue of date could be read on it"),
        );
        if facts.known_years.is_some() || facts.given_years.is_some() {
            let alone = "That date is not read from the club: its form and making were not examined, or could not be \
                         told.";
            return format!("{made} {none}. {alone}");
        }
        let no_year = "so no year is given: that many clubs of some time survive is no sign that this one is of it.";
        format!("{made} {none}, {no_year}")
    };
    let mut told = not_counted.iter().map(|said| none(Some(said)));
    let short = told.clone().find(|told| n_words(title) + n_words(told) <= LABEL_WORDS.1);
    short.or(told.next_back()).unwrap_or_else(|| none(None))
}

/// The label: title, date without "c.", that it is an opinion, and what speaks for it, in [`LABEL_WORDS`].
#[must_use]
pub fn label(facts: &PageFacts) -> (String, String) {
    let title = label_title(facts);
    let made = match (facts.label_date.as_str(), &facts.known_of, &facts.given_of) {
        (date, Some(known), _) => format!("Known to be {known}; by its clues alone: {date}."),
        ("date not known", None, Some(given)) => format!("Given as {given}; by its clues alone: date not known."),
        (date, ..) => made_words(date),
    };
    let is_split = facts.parts.first().is_some_and(|head| head.two_answers.is_some());
    let is_priors = facts.parts.first().is_some_and(|head| head.rests_on_prior);
    let whys = reasons(facts, is_split, is_priors);
    let later = facts.parts.iter().filter_map(|part| part.later.clone());
    let not_counted = left_out_on_request(facts);
    if facts.parts.first().is_some_and(|head| !head.has_evidence) {
        let text = label_without_a_date(facts, &title, &made, &not_counted);
        return (title, text);
    }
    let mut told = vec![made, label_opinion(facts, is_priors)];
    let room = |told: &[String], more: &str| {
        n_words(&title) + told.iter().map(|text| n_words(text)).sum::<usize>() + n_words(more) <= LABEL_WORDS.1
    };
    let fillers = if is_priors {
        [""; 2]
    } else {
        ["It has to be read from many small signs together.", "None of them says it alone."]
    };
    // What disagrees comes first for room: a reason may go, a warning may not.
    told.extend(not_counted.iter().find(|said| room(&told, said)).or(not_counted.last()).cloned());
    let warning = disagreement_on_a_label(facts).into_iter().find(|said| !is_split && room(&told, said));
    if let Some(said) = warning {
        told.insert(1, said);
    }
    for more in later {
        if room(&told, &more) {
            told.insert(1, more);
        }
    }
    if let Some(why) = whys.into_iter().find(|why| room(&told, why)) {
        told.insert(1, why);
    }
    for filler in fillers {
        let words = n_words(&title) + told.iter().map(|text| n_words(text)).sum::<usize>();
        if words < LABEL_WORDS.0 && !filler.is_empty() && room(&told, filler) {
            told.push(filler.to_owned());
        }
    }
    (title.clone(), told.join(" "))
}
