//! Head, shaft and grip in words.

use crate::words::verbal::{in_a_hundred, in_words};
use crate::words::years::year;
use agewright_model::evidence::usable::WhyUnused;
use agewright_model::{Dating, Part};

/// How likely a shaft or a grip was replaced, in a sentence.
#[must_use]
pub fn replaced_message(dating: &Dating) -> Option<String> {
    let chance = dating.replaced.filter(|_| dating.part != Part::Head)?;
    // What was entered as later work is no evidence, and the chance is that of the rest.
    let aside = if has_altered(dating) { ", what is entered as later work left aside" } else { "" };
    // Of a grip on a later shaft the chance is that it is later than that.
    let what = if dating.part == Part::Grip { "Later than its shaft" } else { "Replaced" };
    Some(format!("{what}: {} ({}){aside}.", in_a_hundred(chance), in_words(chance)))
}

/// That a shaft or a grip was probably replaced, and after the years of the calibration if that is likely; for texts
/// that tell of the head.
#[must_use]
pub fn replacement_sentence(dating: &Dating) -> Option<String> {
    if has_altered(dating) {
        return Some(format!("Of the {} something is entered as later work.", dating.part.word()));
    }
    let chance = dating.replaced.filter(|chance| *chance >= 0.5)?;
    let after = dating.posterior.after();
    let when = if after >= 0.5 {
        let last = year(dating.posterior.axis().last());
        format!(", {} after {last} ({})", in_words(after), in_a_hundred(after))
    } else {
        String::new()
    };
    let (words, share) = (in_words(chance), in_a_hundred(chance));
    Some(match dating.part {
        Part::Grip => format!("The grip is {words} later than its shaft ({share}){when}."),
        part => format!("The {} was {words} replaced ({share}){when}.", part.word()),
    })
}

/// Whether something of a shaft or a grip was entered as later work.
fn has_altered(dating: &Dating) -> bool {
    dating.part != Part::Head && dating.unused.iter().any(|unused| unused.why == WhyUnused::Altered)
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
