//! Warnings as sentences: what is wrong, what it may mean, what to do. One wording for text, JSON and pages.

use crate::words::chance::chance_in_words;
use crate::words::like::{no_club_near_message, one_for_all_message, witnesses_apart_message};
use crate::words::out_of_step::out_of_step_message;
use crate::words::readings::{text_in_words, within_a_sentence};
use crate::words::sources::NO_COLLECTION;
use crate::words::unused::unused_messages;
use crate::words::verbal::in_a_hundred;
use crate::words::years::{answer_span, middle_year, short_span, span, year};
use agewright_model::answer::band::Interval;
use agewright_model::answer::conflict::Conflict;
use agewright_model::evidence::usable::{UnusedClue, WhyUnused};
use agewright_model::questions::beyond_the_collection::BeyondTheCollection;
use agewright_model::questions::specialist_reason::SpecialistReason;
use agewright_model::questions::warning::ReadNumber;
use agewright_model::reading::register::RegisteredIn;
use agewright_model::{Axis, Catalogue, Warning};

/// The kind of a warning, as programs know it.
#[must_use]
pub fn warning_kind(warning: &Warning) -> &'static str {
    match warning {
        Warning::TwoAnswers { .. } => "two-answers",
        Warning::BeyondTheCollection(_) => "beyond-the-collection",
        Warning::Conflict(_) => "conflict",
        Warning::WitnessesApart(_) => "witnesses-apart",
        Warning::OneForAll(_) => "one-for-all",
        Warning::NoClubNear(_) => "no-club-near",
        Warning::OutOfStep(_) => "out-of-step",
        Warning::CannotBoth { .. } => "cannot-both",
        Warning::Number(_) => "register",
        Warning::Trap { .. } => "trap",
        Warning::SeeASpecialist(_) => "see-a-specialist",
        Warning::NoTable(_) => "no-table",
        Warning::NoCollection => "no-collection",
        Warning::Notice(_) => "calibration",
    }
}

/// The clue that a warning is about, by its id.
#[must_use]
pub fn warning_clue(warning: &Warning) -> Option<&str> {
    match warning {
        Warning::OutOfStep(odd) => Some(&odd.clue),
        Warning::Number(number) => Some(&number.clue),
        Warning::Trap { clue, .. } | Warning::CannotBoth { clue: (clue, _), .. } | Warning::NoTable(clue) => Some(clue),
        _ => None,
    }
}

/// A warning in a sentence or two.
#[must_use]
pub fn warning_message(catalogue: &Catalogue, warning: &Warning) -> String {
    match warning {
        Warning::TwoAnswers { answers, smaller, mean } => {
            two_answers_message(catalogue.axis(), [answers, smaller], *mean)
        }
        Warning::BeyondTheCollection(beyond) => beyond_message(catalogue.axis(), beyond),
        Warning::Conflict(conflict) => conflict_message(conflict),
        Warning::WitnessesApart(apart) => witnesses_apart_message(apart),
        Warning::OneForAll(club) => one_for_all_message(club),
        Warning::NoClubNear(like) => no_club_near_message(like),
        Warning::OutOfStep(odd) => out_of_step_message(catalogue, &[odd]),
        Warning::CannotBoth { clue, other } => {
            let told =
                |(clue, text): &(String, String)| (catalogue.name_of(clue), text_in_words(catalogue, clue, text));
            let [clue, other] = [clue, other].map(told);
            format!(
                "{} ({}) leaves nothing to read of {} ({}): one of the two is mistaken. Both count as read; look \
                 again, and leave the mistaken one blank.",
                other.0,
                other.1,
                within_a_sentence(&clue.0),
                clue.1
            )
        }
        Warning::Number(number) => number_message(catalogue, number),
        Warning::Trap { message, .. } => message.clone(),
        Warning::SeeASpecialist(reasons) => {
            let reasons: Vec<String> = reasons.iter().map(specialist_reason).collect();
            format!("See a specialist before much hangs on this: {}.", reasons.join("; "))
        }
        Warning::NoTable(clue) => {
            let unused = [UnusedClue { clue: clue.clone(), why: WhyUnused::NoTable }];
            unused_messages(catalogue, &unused).into_iter().map(|(_, message)| message).collect()
        }
        Warning::NoCollection => NO_COLLECTION.to_owned(),
        Warning::Notice(notice) => notice.clone(),
    }
}

/// Several answers, told apart, and what the average year then is.
fn two_answers_message(axis: Axis, [answers, smaller]: [&[Interval]; 2], mean: f64) -> String {
    let told = |answer: &Interval| {
        let years = answer_span(axis, answer.from, answer.to);
        format!("{years}, about {}", chance_in_words(answer.probability))
    };
    let less = smaller.iter().map(told).collect::<Vec<_>>().join("; ");
    let less = if less.is_empty() { less } else { format!(" (less likely: {less})") };
    let told = answers.iter().map(told).collect::<Vec<_>>().join(", or ");
    let (count, them, all) =
        if answers.len() == 2 { ("two", "the two", "both") } else { ("several", "them", "all of them") };
    // It may lie within one of them all the same.
    let is_within = answers.iter().any(|answer| f64::from(answer.from) <= mean && mean < f64::from(answer.to) + 1.0);
    let average = if answers.iter().any(|answer| answer.to > axis.last()) {
        format!("leaves out what is after {}", year(axis.last()))
    } else if is_within {
        format!("is drawn from {all}")
    } else {
        "lies between them".to_owned()
    };
    format!(
        "There are {count} answers, either {told}{less}. The average year, {mean:.1}, {average} and is not a date; \
         read {them} apart."
    )
}

/// An answer without dated clubs behind it.
fn beyond_message(axis: Axis, beyond: &BeyondTheCollection) -> String {
    let (from, to) = beyond.dated;
    let flat = beyond.flat.as_ref().map_or_else(String::new, |flat| {
        let told = if flat.is_split() {
            format!("it would be of {}, in part of years without them too", short_span(axis, flat))
        } else {
            format!("the middle year would be {}, a year without them too", middle_year(axis, flat))
        };
        format!(" If every year were alike before, {told}.")
    });
    format!(
        "The chance is {} that it was made in years with no dated clubs, or hardly any: the calibration's are of \
         {}.{flat} In such years the answer leans on its prior and on neighbouring years.",
        in_a_hundred(beyond.chance),
        span(from, to)
    )
}

/// Measures and other clues that speak for different times.
fn conflict_message(conflict: &Conflict) -> String {
    let [measures, others] = [conflict.measures, conflict.others].map(|(from, to)| span(from, to));
    format!(
        "Size and make disagree: by the measures alone, every year alike before, it would be {measures}, by all other \
         clues {others}. A part may be later work, or the kind of club mistaken; look again before one date is given."
    )
}

/// The years of a number, what they prove, and what the same number would be in other registers.
fn number_message(catalogue: &Catalogue, number: &ReadNumber) -> String {
    let list = |years: &[RegisteredIn]| {
        let runs = runs_of(years);
        let told: Vec<String> = runs.iter().take(6).map(|&(from, to)| span(from, to)).collect();
        format!("{}{}", told.join(", "), if runs.len() > 6 { " or later" } else { "" })
    };
    let others: Vec<String> = number
        .otherwise
        .iter()
        .map(|(register, years)| format!("{} as one of the {}", list(years), register.name()))
        .collect();
    let others =
        if others.is_empty() { String::new() } else { format!(" Read otherwise it would be {}.", others.join(", ")) };
    format!(
        "{} {}: if it is such a number, it was registered in {} ({}). That says not before, never \"made in\": half of \
         such articles are made within 3 years, one in ten after 12 or more.{others}",
        catalogue.name_of(&number.clue),
        number.text,
        list(&number.years),
        number.register.name()
    )
}

/// Years that follow one another, as runs.
fn runs_of(years: &[RegisteredIn]) -> Vec<(i32, i32)> {
    let mut runs: Vec<(i32, i32)> = Vec::new();
    for one in years {
        match runs.last_mut() {
            Some(last) if last.1 + 1 == one.year => last.1 = one.year,
            _ => runs.push((one.year, one.year)),
        }
    }
    runs
}

fn specialist_reason(reason: &SpecialistReason) -> String {
    match reason {
        SpecialistReason::DoubtfulMark => "a mark, or whether there is one, is doubtful, or it is cut again".to_owned(),
        SpecialistReason::Material(material) => {
            format!("{material} is named, which may not be sold or sent abroad without leave in many places")
        }
        SpecialistReason::OlderThan(part, year) => {
            format!("the {} is more likely than not older than {year}", part.word())
        }
        SpecialistReason::PerhapsACopy { chance, last } => {
            format!(
                "the chance is {} that it was made after {}, as copies and late pieces are",
                in_a_hundred(*chance),
                year(*last)
            )
        }
        SpecialistReason::TwoAnswers => "there is more than one answer".to_owned(),
        SpecialistReason::ManyOutOfStep { odd, of } => format!(
            "{odd} of its {of} readings are out of step with the rest: the kind of club may be another than taken, or \
             it may be made up of several"
        ),
        SpecialistReason::WideAndInConflict(years) => {
            format!("the answer is {years} years wide and its clues conflict")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The average year is said to lie between the answers only where it does, and three are not called two.
    #[test]
    fn an_average_within_an_answer_is_not_said_to_lie_between_them() {
        let answer = |from, to| Interval { from, to, probability: 0.3 };
        let told = |answers: &[(i32, i32)], mean| {
            let answers: Vec<Interval> = answers.iter().map(|&(from, to)| answer(from, to)).collect();
            two_answers_message(Axis::new(1780, 1940, 10).unwrap(), [&answers, &[]], mean)
        };
        let axis = Axis::new(1780, 1940, 10).unwrap();
        let [first, small, last] = [(1790, 1810), (1816, 1831), (1890, 1900)].map(|(from, to)| answer(from, to));
        let with = two_answers_message(axis, [&[first, last], &[small]], 1845.0);
        assert!(
            with.contains("two answers, either 1790-1810, about") && with.contains("(less likely: 1816-31"),
            "{with}"
        );
        let after = told(&[(1830, 1860), (1940, 1940)], 1845.0);
        assert!(
            after.contains("or after 1939, about") && after.contains("1845.0, leaves out what is after 1939"),
            "{after}"
        );
        assert!(told(&[(1830, 1840), (1890, 1900)], 1865.0).contains("two answers"));
        assert!(told(&[(1830, 1840), (1890, 1900)], 1865.0).contains("lies between them and is not a date"));
        let within = told(&[(1835, 1869), (1877, 1904)], 1864.6);
        assert!(within.contains("is drawn from both and is not a date") && !within.contains("between"), "{within}");
        assert!(
            told(&[(1830, 1840), (1890, 1900)], 1840.5).contains("drawn from both"),
            "the last year has twelve months"
        );
        let three = told(&[(1830, 1840), (1850, 1860), (1890, 1900)], 1845.0);
        assert!(three.starts_with("There are several answers") && three.ends_with("read them apart."), "{three}");
    }
}
