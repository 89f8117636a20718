//! The clues that the short texts of a page name, and what for.

use crate::words::answered::Answered;
use crate::words::grounds::{clue_in_short, is_disputed};
use crate::words::readings::{is_inscribed, text_in_words};
use agewright_model::evidence::usable::WhyUnused;
use agewright_model::questions::grounds::{Ground, Grounds};
use agewright_model::{Catalogue, Warning};
use serde::Serialize;

/// A clue as a sentence names it: `hosel length`, `hosel length (3 1/2 in)`.
#[derive(Debug, Serialize)]
pub struct NamedClue {
    pub name: String,
    pub with_reading: String,
    /// Whether it is a stamp, a word or a number that is there.
    pub is_stamp: bool,
}

/// What the chance of the years gains by a clue that they are said to lean on.
const WORTH_NAMING: f64 = 0.05;

/// What pages name of the clues behind an answer.
pub(crate) struct NamedClues {
    /// For its years; none where they are split.
    pub supports: Vec<NamedClue>,
    /// Out of step with the rest, the least borne out first, whichever part they are of.
    pub odd: Vec<NamedClue>,
    /// What the years lean on most, where that is out of step or likelier wrong than right.
    pub leans_on: Option<NamedClue>,
    /// Left out on request.
    pub left_out: Vec<String>,
    /// Whether some support is not named, being out of step or doubted.
    pub is_struck: bool,
}

impl NamedClues {
    pub fn of(answered: &Answered<'_>, grounds: &Grounds) -> Self {
        let (dating, catalogue) = (&answered.dating, answered.asked.calibration().catalogue());
        let is_one = grounds.between.is_none() && dating.has_evidence();
        let is_disputed = |ground: &Ground| is_disputed(answered, &ground.clue);
        // Of a head on which nothing was read, what is fixed to it is all that speaks.
        let of_part = |ground: &Ground| catalogue.clue(&ground.clue).is_some_and(|clue| clue.part == dating.part);
        let has_own = grounds.effects.iter().any(of_part);
        let supports = grounds.supports.iter().filter(|ground| is_one && (!has_own || of_part(ground)));
        let supports = supports.filter(|ground| !ground.is_out_of_step && !is_disputed(ground));
        let odd = dating.out_of_step.iter();
        let in_doubt = |ground: &Ground| {
            let is_doubted = grounds.doubted.iter().any(|doubted| doubted.clue == ground.clue);
            is_doubted || ground.is_out_of_step
        };
        let most =
            grounds.supports.iter().chain(&grounds.doubted).filter(|ground| is_one && ground.effect > WORTH_NAMING);
        let most = most.max_by(|a, b| a.effect.total_cmp(&b.effect)).filter(|most| in_doubt(most));
        let left_out = dating.unused.iter().filter(|one| one.why == WhyUnused::LeftOut);
        Self {
            supports: supports.map(|ground| named(catalogue, &ground.clue, &ground.reading)).collect(),
            odd: odd.map(|one| named(catalogue, &one.clue, &one.reading)).collect(),
            leans_on: most.map(|ground| named(catalogue, &ground.clue, &ground.reading)),
            left_out: left_out.map(|one| clue_in_short(catalogue, &one.clue)).collect(),
            is_struck: !grounds.doubted.is_empty()
                || grounds.supports.iter().any(|ground| ground.is_out_of_step || is_disputed(ground)),
        }
    }
}

fn named(catalogue: &Catalogue, clue: &str, reading: &str) -> NamedClue {
    let name = clue_in_short(catalogue, clue);
    let with_reading = format!("{name} ({})", text_in_words(catalogue, clue, reading));
    NamedClue { name, with_reading, is_stamp: is_stamp(catalogue, clue, reading) }
}

fn is_stamp(catalogue: &Catalogue, clue: &str, reading: &str) -> bool {
    reading.trim_end_matches('?').trim() != "absent" && catalogue.clue(clue).is_some_and(is_inscribed)
}

/// How much of what speaks for the years is stamps, words and numbers, 0 to 1; that there is none is none of them.
pub(crate) fn share_of_stamps(catalogue: &Catalogue, grounds: &Grounds) -> f64 {
    let is_stamped = |ground: &&Ground| is_stamp(catalogue, &ground.clue, &ground.reading);
    let sum = |stamped: bool| -> f64 {
        let effects = grounds.effects.iter().filter(|ground| is_stamped(ground) == stamped);
        effects.map(|ground| ground.effect.max(0.0)).sum()
    };
    let (stamps, rest) = (sum(true), sum(false));
    if stamps > 0.0 { stamps / (stamps + rest) } else { 0.0 }
}

/// Clues of which two cannot both be read right: `face scoring and regularity of the scoring`.
pub(crate) fn disputed(answered: &Answered<'_>) -> Vec<String> {
    let catalogue = answered.asked.calibration().catalogue();
    let both = answered.warnings.iter().filter_map(|warning| match warning {
        Warning::CannotBoth { clue, other } => Some([&other.0, &clue.0]),
        _ => None,
    });
    both.map(|both| both.map(|clue| clue_in_short(catalogue, clue)).join(" and ")).collect()
}
