//! What is known of a part on which no clue of date could be used.

use agewright_model::{Dating, Part};

/// Less than this share of the answer moved, nothing did.
const NOTHING: f64 = 1e-3;

/// Whether the prior alone is known: nothing that was read moved it. What describes a club, and signs of repair, are no
/// clues of date and may move it all the same.
#[must_use]
pub fn is_prior_alone(dating: &Dating) -> bool {
    dating.part == Part::Head && 1.0 - dating.posterior.overlap(&dating.before) < NOTHING
}

/// The prior, with what else moved it where anything did.
#[must_use]
pub fn prior_words(is_alone: bool) -> &'static str {
    if is_alone { "the prior alone" } else { "the prior, with what signs of repair and the kind of club add to it" }
}

/// What is told rests on instead, as the end of a sentence.
#[must_use]
pub fn rests_on(dating: &Dating) -> String {
    match dating.part {
        Part::Head => prior_words(is_prior_alone(dating)).to_owned(),
        part => format!("what it is fixed to, and on how often a {} was renewed", part.word()),
    }
}

/// The same as a sentence.
#[must_use]
pub fn no_clue_of_date(dating: &Dating) -> String {
    format!("No clue of date could be used: what is told here rests on {}.", rests_on(dating))
}
