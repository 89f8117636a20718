//! What to look at next, in a sentence.

use crate::words::counted::counted;
use crate::words::readings::within_a_sentence;
use crate::words::verbal::in_a_hundred;
use agewright_model::Asked;
use agewright_model::questions::next_look::{FEWER, NextLooks};

/// What to look at and what it would bring, or that nothing left helps much.
#[must_use]
pub fn next_sentence(asked: &Asked<'_>, next: &NextLooks) -> String {
    let years = |years: f64| format!("{years:.0}");
    let Some(best) = next.best() else {
        return "Nothing is left to look at: every clue that the calibration can weigh has been answered.".to_owned();
    };
    let now = next.width_now;
    let name = within_a_sentence(&asked.calibration().catalogue().name_of(&best.clue));
    if !next.helps(best) {
        let left = counted(next.looks.len(), "clue", "clues");
        return format!(
            "Nothing that is left will help much: of {left} not yet examined {name} would tell most, and the years in \
             question (4 chances in 5), {now} now, would {} after it.",
            if (best.width - f64::from(now)).abs() > 0.5 {
                format!("be {}", years(best.width))
            } else {
                "be as many".to_owned()
            }
        );
    }
    // The years may grow fewer in chance and not in number, and others come into question.
    if best.width > f64::from(now) * (1.0 - FEWER) {
        // The median of a split answer is no date.
        let moves = format!(": the middle year moves by ten or more with a chance of {}", in_a_hundred(best.change));
        let moves = if next.answers_now.len() < 2 { moves } else { String::new() };
        let likely = if best.change >= 0.5 { "likely" } else { "perhaps" };
        return format!(
            "Look at {name}: the years in question (4 chances in 5) are {now} now and may be about as many after it, \
             but {likely} others{moves}."
        );
    }
    format!(
        "Look at {name}: the years in question (4 chances in 5), {now} now, would be about {} after it.",
        years(best.width)
    )
}
