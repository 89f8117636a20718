//! Why a club deserves another look, in words.

use crate::words::grounds::clue_in_short;
use agewright_model::Catalogue;
use agewright_model::questions::overview::LookReason;

/// A reason in a few words.
#[must_use]
pub fn look_reason(catalogue: &Catalogue, reason: &LookReason) -> String {
    match reason {
        LookReason::NoClue => "no clue of date".to_owned(),
        LookReason::TwoAnswers => "two answers".to_owned(),
        LookReason::Wide(years) => format!("{years} years wide"),
        LookReason::NotBorneOut => "its clues do not bear out the years given with it".to_owned(),
        LookReason::Conflict => "size and make disagree".to_owned(),
        LookReason::OutOfStep(clues) => {
            let names: Vec<String> = clues.iter().map(|clue| clue_in_short(catalogue, clue)).collect();
            format!("out of step: {}", names.join(", "))
        }
        LookReason::CannotBoth(clue, other) => {
            format!("{} and {} cannot both be right", clue_in_short(catalogue, clue), clue_in_short(catalogue, other))
        }
    }
}
