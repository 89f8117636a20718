//! Readings that the rest does not bear out, as a sentence.

use crate::words::readings::{text_in_words, within_a_sentence};
use crate::words::verbal::in_a_hundred;
use agewright_model::Catalogue;
use agewright_model::answer::out_of_step::OutOfStep;

/// A reading is called rarer from so many times on: what rounds to one is none.
const RARER: f64 = 1.5;
/// From so many times on the number says no more.
const MUCH_RARER: f64 = 99.0;

/// One sentence for one reading or for all of them.
#[must_use]
pub fn out_of_step_message(catalogue: &Catalogue, odd: &[&OutOfStep]) -> String {
    let named = |odd: &OutOfStep| within_a_sentence(&catalogue.name_of(&odd.clue));
    let read = |odd: &OutOfStep| text_in_words(catalogue, &odd.clue, &odd.reading);
    match odd {
        [] => String::new(),
        [one] => {
            let rarer = times_rarer(one).map_or_else(String::new, |times| {
                format!("; such a reading is {times} rarer at the time that the rest gives")
            });
            let (name, reading, misread) = (named(one), read(one), in_a_hundred(one.misread));
            format!(
                "Look again at {name} ({reading}), out of step with the rest: chance of a mistake or later work \
                 {misread}{rarer}."
            )
        }
        several => {
            let mut is_explained = false;
            let told = several.iter().map(|one| {
                let rarer = times_rarer(one).map_or_else(String::new, |times| {
                    let when = if is_explained { "" } else { " at the time that the rest gives" };
                    is_explained = true;
                    format!(", {times} rarer{when}")
                });
                format!("{} ({}: {}{rarer})", named(one), read(one), in_a_hundred(one.misread))
            });
            let told: Vec<String> = told.collect();
            format!(
                "Look again at what is out of step with the rest (in brackets the chance of a mistake or later work): \
                 {}.",
                told.join("; ")
            )
        }
    }
}

/// A clue of little worth may be likely misread without being rare where the rest puts the club.
fn times_rarer(odd: &OutOfStep) -> Option<String> {
    match odd.rarer {
        ..RARER => None,
        MUCH_RARER.. => Some("a hundred or more times".to_owned()),
        rarer => Some(format!("{rarer:.0} times")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn odd(rarer: f64) -> OutOfStep {
        OutOfStep { clue: "pin_direction".to_owned(), reading: "side_side".to_owned(), misread: 0.62, rarer }
    }

    /// Rarity is told where there is some: nothing is "1 times rarer".
    #[test]
    fn a_reading_no_rarer_by_the_rest_is_told_by_its_chance_alone() {
        let calibration = agewright_files::built_in().unwrap().calibration;
        let message = |rarer: f64| out_of_step_message(calibration.catalogue(), &[&odd(rarer)]);
        for alike in [1.0, 1.2, 1.49] {
            let told = message(alike);
            assert!(
                !told.contains("rarer")
                    && told.ends_with("out of step with the rest: chance of a mistake or later work 62 in 100."),
                "{told}"
            );
        }
        assert!(message(1.6).ends_with("62 in 100; such a reading is 2 times rarer at the time that the rest gives."));
        assert!(message(1e4).contains("a hundred or more times rarer"));
    }

    #[test]
    fn several_are_told_in_one_sentence() {
        let calibration = agewright_files::built_in().unwrap().calibration;
        let told = out_of_step_message(calibration.catalogue(), &[&odd(1.0), &odd(7.0), &odd(3.0)]);
        let pin = "pin direction (side to side: 62 in 100";
        let rest = "at the time that the rest gives); pin direction (side to side: 62 in 100, 3 times rarer).";
        let want = format!("later work): {pin}); {pin}, 7 times rarer {rest}");
        assert!(told.ends_with(&want), "{told}");
    }
}
