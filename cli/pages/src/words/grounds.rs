//! What an answer rests on, in sentences.

use crate::words::answered::Answered;
use crate::words::counted::in_a_row;
use crate::words::moves::side;
use crate::words::readings::{text_in_words, within_a_sentence};
use crate::words::years::answer_span;
use agewright_model::answer::band::Interval;
use agewright_model::questions::grounds::{Between, Ground, Grounds};
use agewright_model::{Axis, Catalogue, Part, Warning};

/// Moves of the average year below this have no side that is worth a word.
const SMALL_MOVE: f64 = 0.5;

/// An answer without any clue of date is called that of the prior where it gives the years so much less at the most.
const PRIORS_OWN: f64 = 0.05;

/// Nor a shaft's or a grip's one of the head where its own clue moves the average by more years than this.
const FAR: f64 = 5.0;

/// What speaks most for the years of the date line and what against them, each in a sentence; where they are split,
/// what speaks for either piece. Nothing where no clue of date was read.
#[must_use]
pub fn grounds_sentences(answered: &Answered<'_>, grounds: &Grounds) -> Vec<String> {
    if !answered.dating.has_evidence() {
        return Vec::new();
    }
    let catalogue = answered.asked.calibration().catalogue();
    if let Some(between) = &grounds.between {
        return between_sentences(answered, between);
    }
    let told = [doubted_sentence(catalogue, grounds), against_sentence(answered, grounds)];
    std::iter::once(for_sentence(answered, grounds)).chain(told.into_iter().flatten()).collect()
}

/// Whether the years are those of the prior, no clue being sound support of them; those of a shaft or a grip are the
/// head's where no clue of theirs moves them far either.
#[must_use]
pub fn rests_on_prior(answered: &Answered<'_>, grounds: &Grounds) -> bool {
    let by_prior = grounds.without_all - grounds.chance;
    let (part, catalogue) = (answered.dating.part, answered.asked.calibration().catalogue());
    let is_own = |clue: &str| part != Part::Head && catalogue.clue(clue).is_some_and(|clue| clue.part == part);
    let is_moved = answered.ledger().entries.iter().any(|one| is_own(&one.clue) && one.years.abs() > FAR);
    grounds.supports.is_empty() && grounds.between.is_none() && by_prior.abs() <= PRIORS_OWN && !is_moved
}

/// How many sound clues speak for the years, named or not: neither doubted nor out of step.
#[must_use]
pub fn n_sound(grounds: &Grounds) -> usize {
    let is_doubted = |ground: &Ground| grounds.doubted.iter().any(|doubted| doubted.clue == ground.clue);
    grounds.effects.iter().filter(|ground| ground.effect > 0.0 && !ground.is_out_of_step && !is_doubted(ground)).count()
}

fn for_sentence(answered: &Answered<'_>, grounds: &Grounds) -> String {
    let catalogue = answered.asked.calibration().catalogue();
    if !grounds.supports.is_empty() {
        return format!(
            "What speaks most for these years: {}. Without {}: {} in 100, not {}.",
            listed(catalogue, &grounds.supports, &|clue| is_disputed(answered, clue).then_some("disputed")),
            it_or_them(&grounds.supports),
            hundredths(grounds.without_supports),
            hundredths(grounds.chance)
        );
    }
    let (part, is_priors) = (answered.dating.part, rests_on_prior(answered, grounds));
    if is_priors && part != Part::Head {
        let part = part.word();
        return format!(
            "These years rest on the head, on what else is fixed to it and on how often a {part} was renewed: these \
             give them {} in 100 before the {part}'s own clues.",
            hundredths(grounds.without_all)
        );
    }
    if is_priors {
        return format!(
            "These years rest on how clubs are taken to be spread over time (the prior), which gives them {} in 100 by \
             itself.",
            hundredths(grounds.without_all)
        );
    }
    if grounds.without_all > grounds.chance - PRIORS_OWN {
        let before = match part {
            Part::Head => "any clue".to_owned(),
            _ => format!("the {}'s own clues", part.word()),
        };
        return format!(
            "Before {before} these years had {} in 100: what was read says which of them, rather than these and no \
             others.",
            hundredths(grounds.without_all)
        );
    }
    let together = match n_sound(grounds) {
        ..=1 => "",
        2 => ": what speaks for them, two say together",
        _ => ": what speaks for them, several say together",
    };
    format!("No sound clue carries these years by itself{together}.")
}

/// Whether a reading cannot be right together with another.
#[must_use]
pub fn is_disputed(answered: &Answered<'_>, clue: &str) -> bool {
    let of = |warning: &Warning| match warning {
        Warning::CannotBoth { clue: own, other } => own.0 == clue || other.0 == clue,
        _ => false,
    };
    answered.warnings.iter().any(of)
}

fn doubted_sentence(catalogue: &Catalogue, grounds: &Grounds) -> Option<String> {
    let what = if grounds.doubted.len() > 1 { "readings that are" } else { "a reading that is" };
    let named = listed(catalogue, &grounds.doubted, &|_| None);
    (!grounds.doubted.is_empty()).then(|| format!("They lean on {what} likelier wrong than right: {named}."))
}

/// The clues against the years, each with the side that it pulls to.
fn against_sentence(answered: &Answered<'_>, grounds: &Grounds) -> Option<String> {
    let catalogue = answered.asked.calibration().catalogue();
    let [chance, more] = [grounds.chance, grounds.without_against].map(hundredths);
    let without = format!(" Without {}: {more} in 100.", it_or_them(&grounds.against));
    let gain = if more == chance { String::new() } else { without };
    let pulls_to = |clue: &str| {
        let entry = answered.ledger().entry(clue)?;
        // At an end of the years the average may be pulled one way and the middle the other: then neither is told.
        let middle = answered.dating.posterior.median() - entry.without.median;
        let is_one_way = f64::from(middle) * entry.years >= 0.0;
        (entry.years.abs() >= SMALL_MOVE && is_one_way).then(|| side(entry.years))
    };
    let named = listed(catalogue, &grounds.against, &pulls_to);
    (!grounds.against.is_empty()).then(|| format!("What speaks against them: {named}.{gain}"))
}

fn it_or_them(grounds: &[Ground]) -> &'static str {
    if grounds.len() == 1 { "it" } else { "them" }
}

/// What speaks for either piece against the other, and which of that the account shows moving the other way.
fn between_sentences(answered: &Answered<'_>, between: &Between) -> Vec<String> {
    let catalogue = answered.asked.calibration().catalogue();
    let years = between.pieces.map(|piece| piece_words(catalogue.axis(), &piece));
    let sentence = |(side, supports): (usize, &Vec<Ground>)| {
        (!supports.is_empty()).then(|| {
            let (own, other) = (&years[side], &years[1 - side]);
            format!("What speaks most for {own} against {other}: {}.", listed(catalogue, supports, &|_| None))
        })
    };
    let told = between.supports.iter().enumerate().filter_map(sentence);
    told.chain(otherwise_sentence(answered, between)).collect()
}

/// Clues named for the earlier piece that move the average later, or the other way round: an average is of all years.
fn otherwise_sentence(answered: &Answered<'_>, between: &Between) -> Option<String> {
    let catalogue = answered.asked.calibration().catalogue();
    let first_is_earlier = between.pieces[0].from < between.pieces[1].from;
    let is_otherwise = |side: usize, ground: &Ground| {
        let moves = answered.ledger().entry(&ground.clue).map_or(0.0, |entry| entry.years);
        let is_for_earlier = (side == 0) == first_is_earlier;
        moves.abs() >= SMALL_MOVE && is_for_earlier == (moves > 0.0)
    };
    let both = between.supports.iter().enumerate();
    let found = both.flat_map(|(side, named)| named.iter().filter(move |ground| is_otherwise(side, ground)));
    let named: Vec<String> = found.map(|ground| clue_in_short(catalogue, &ground.clue)).collect();
    let moves = if named.len() == 1 { "moves" } else { "move" };
    (!named.is_empty()).then(|| {
        format!(
            "In the ledger {} {moves} the average the other way: it is of all years, not of these two answers alone.",
            in_a_row(&named)
        )
    })
}

fn piece_words(axis: Axis, piece: &Interval) -> String {
    answer_span(axis, piece.from, piece.to)
}

/// Clues with their readings and what is noted of them: `hosel length (3 1/2 in), hosel-blade join (curve) and ...`.
fn listed<'a>(catalogue: &Catalogue, grounds: &[Ground], note: &dyn Fn(&str) -> Option<&'a str>) -> String {
    let told = grounds.iter().map(|ground| {
        let clue = clue_with_reading(catalogue, ground);
        let odd = ground.is_out_of_step.then_some("out of step");
        let notes: String = note(&ground.clue).into_iter().chain(odd).map(|note| format!(", {note}")).collect();
        format!("{}{notes})", clue.strip_suffix(')').unwrap_or(&clue))
    });
    in_a_row(&told.collect::<Vec<String>>())
}

/// The name of a clue without what its datum adds behind a comma: `hosel length`.
#[must_use]
pub fn clue_in_short(catalogue: &Catalogue, clue: &str) -> String {
    let name = catalogue.name_of(clue);
    within_a_sentence(name.split(',').next().unwrap_or(&name))
}

/// A clue and what was read: `hosel length (3 1/2 in)`.
#[must_use]
pub fn clue_with_reading(catalogue: &Catalogue, ground: &Ground) -> String {
    let reading = text_in_words(catalogue, &ground.clue, &ground.reading);
    format!("{} ({reading})", clue_in_short(catalogue, &ground.clue))
}

fn hundredths(chance: f64) -> String {
    match 100.0 * chance {
        ..0.5 => "less than 1".to_owned(),
        99.5.. => "more than 99".to_owned(),
        hundredths => format!("{hundredths:.0}"),
    }
}
