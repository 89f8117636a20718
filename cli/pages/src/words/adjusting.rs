//! Clues that are no evidence of date by themselves: by what they move it all the same.

use crate::words::answered::Answered;
use agewright_model::answer::ledger::LedgerEntry;
use agewright_model::tables::chance_by_year::ChanceByYear;
use agewright_model::{Calibration, Part};

/// Sentences on the clues of an account that are no evidence by themselves: descriptions of the club, and signs of a
/// later shaft or grip.
#[must_use]
pub fn adjusting_sentences(answered: &Answered<'_>) -> Vec<String> {
    let calibration = answered.asked.calibration();
    let catalogue = calibration.catalogue();
    let entries = || answered.ledger().entries.iter().filter(|entry| moves_others(entry));
    let names = |of: &dyn Fn(&str) -> bool| -> Vec<String> {
        entries().filter(|entry| of(&entry.clue)).map(|entry| catalogue.name_of(&entry.clue)).collect()
    };
    let mut sentences = Vec::new();
    let described = names(&|clue| calibration.sign(clue).is_none());
    if !described.is_empty() {
        let described = described.join("; ");
        sentences.push(format!(
            "No sign of the date by themselves, these move the answer through other clues: {described}."
        ));
    }
    for part in [Part::Shaft, Part::Grip] {
        let of_part = |clue: &str| catalogue.clue(clue).is_some_and(|clue| clue.part == part);
        let signs = names(&|clue| calibration.sign(clue).is_some() && of_part(clue));
        sentences.extend(signs_sentence(calibration, part, &signs));
    }
    sentences
}

/// Whether a clue that is no evidence by itself moved the answer: what has nothing to correct moves nothing.
fn moves_others(entry: &LedgerEntry) -> bool {
    entry.adjusts && entry.years.abs() > 1e-9
}

/// Why signs of a later shaft or grip bear on the date of what it is fixed to.
fn signs_sentence(calibration: &Calibration, part: Part, signs: &[String]) -> Option<String> {
    let model = calibration.parts_model()?;
    let (fixed_to, replaced) = match part {
        Part::Shaft => ("head", &model.shaft_replaced),
        Part::Grip => ("shaft", &model.grip_replaced),
        Part::Head => return None,
    };
    let part = part.word();
    let bears_on = format!("so that this bears on the {fixed_to}'s year too; and a later {part}");
    let reason = match change(replaced) {
        ..-0.02 => format!("The older a {fixed_to}, the more often its {part} was replaced, {bears_on}"),
        0.02.. => format!("The later a {fixed_to}, the more often its {part} was replaced, {bears_on}"),
        _ => format!("A later {part}"),
    };
    (!signs.is_empty()).then(|| {
        format!(
            "Telling whether the {part} is a later one: {}. {reason} says less of its {fixed_to}.",
            signs.join("; ")
        )
    })
}

/// By how much the chance of a replacement grows from the first year that is told of to the last.
fn change(replaced: &ChanceByYear) -> f64 {
    let chance = |point: Option<&(f64, f64)>| point.map_or(0.0, |(_, chance)| *chance);
    chance(replaced.points.last()) - chance(replaced.points.first())
}
