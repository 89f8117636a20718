//! What the answer hangs on, as text.

use crate::terminal::page::Page;
use crate::words::counted::{counted, in_a_row};
use crate::words::parts::part_suffix;
use crate::words::readings::within_a_sentence;
use crate::words::undated::prior_words;
use crate::words::years::{answer_year, change_of_median, middle_year, short_span};
use agewright_model::questions::sensitivity::{Sensitivity, WithPrior};
use agewright_model::{Asked, Axis, ShortAnswer};
use std::fmt::Write as _;

/// A clue that moves the middle year by less than this matters little.
const MATTERS: u32 = 2;
/// Clues that are named where several matter alike, at the most.
const MOST_NAMED: usize = 3;
/// At least so many clues have a row.
const FEWEST_ROWS: usize = 3;

/// The text.
#[must_use]
pub fn sensitivity_text(page: Page, asked: &Asked<'_>, result: &Sensitivity) -> String {
    let (mut out, part, catalogue) = (String::new(), part_suffix(asked.part()), asked.calibration().catalogue());
    let heading = format!("{}{part}: what the answer hangs on", asked.club().id);
    let _ = writeln!(out, "{}\n{}", page.wrapped(&heading, "  "), page.title_line(asked.club()));
    let _ = writeln!(out, "{}\n", page.wrapped(&opening(asked, result), "  "));
    let [shown, rest] = by_weight(result);
    let row = |name: &str, answer: &ShortAnswer, all| row(asked.axis(), name, answer, all);
    let mut rows = vec![row("With everything", &result.all, &result.all)];
    rows.extend(
        shown.iter().map(|(clue, answer)| row(&format!("without {}", catalogue.name_of(clue)), answer, &result.all)),
    );
    rows.push(vec![String::new(); 4]);
    rows.extend(result.priors.iter().map(|prior| {
        let used = if prior.chosen { " (used)" } else { "" };
        row(&format!("prior {}{used}", prior.name), &prior.answer, &result.all)
    }));
    let _ = writeln!(out, "{}", page.table(&["", "Middle year", "Change", "4 in 5"], rows, &[1, 2]));
    if !rest.is_empty() {
        let most = rest.iter().map(|(_, answer)| moves(result, answer)).max().unwrap_or(0);
        let names: Vec<String> = rest.iter().map(|(clue, _)| within_a_sentence(&catalogue.name_of(clue))).collect();
        let told = format!(
            "None of the clues without a row above moves {}{}: {}.",
            middle_in_words(result),
            if most == 0 { String::new() } else { format!(" by more than {}", years_moved(most)) },
            names.join("; ")
        );
        let _ = writeln!(out, "\n{}", page.wrapped(&told, "  "));
    }
    let _ =
        writeln!(out, "{}", page.wrapped("Prior: how clubs are spread over the years before a clue is read.", "  "));
    out.push_str(&page.answer_lines(asked));
    out
}

/// The clues that have a row of their own, and the others; the largest change stands first.
fn by_weight(result: &Sensitivity) -> [&[(String, ShortAnswer)]; 2] {
    let matters = |(_, answer): &(String, ShortAnswer)| moves(result, answer) >= MATTERS;
    let last = result.clues.iter().rposition(matters).map_or(0, |place| place + 1);
    let (shown, rest) = result.clues.split_at(last.max(FEWEST_ROWS).min(result.clues.len()));
    [shown, rest]
}

/// What matters most of the clues, and the prior where it matters more.
fn opening(asked: &Asked<'_>, result: &Sensitivity) -> String {
    let is_split = |answer: &ShortAnswer| answer.is_split() || result.all.is_split();
    let middle = middle_in_words(result);
    // Where answers are split, what changes is which years they are.
    let instead = |answer: &ShortAnswer| {
        let axis = asked.axis();
        if is_split(answer) {
            let [changed, all] = [answer, &result.all].map(|answer| short_span(axis, answer));
            return format!("the years (4 chances in 5) would be {changed} and not {all}");
        }
        let [changed, all] = [answer, &result.all].map(|answer| answer_year(axis, answer.median));
        format!("the middle year would be {changed} and not {all}")
    };
    // Of several answers the middle year is none, and its move is told of none.
    let counts = |answer: &ShortAnswer| result.all.is_split() || !answer.is_split();
    let counted_ones = || result.clues.iter().filter(|(_, answer)| counts(answer));
    let most = counted_ones().map(|(_, answer)| moves(result, answer)).max().unwrap_or(0);
    if !asked.evidence().has_clue_of_date() {
        return format!("No clue of date was read: the answer is {}.", prior_words(most == 0));
    }
    let farthest: Vec<&(String, ShortAnswer)> =
        counted_ones().filter(|(_, answer)| moves(result, answer) == most).collect();
    let name_of = |(clue, _): &(String, ShortAnswer)| within_a_sentence(&asked.calibration().catalogue().name_of(clue));
    let names: Vec<String> = farthest.iter().map(|clue| name_of(clue)).collect();
    let (names, moved) = match names.as_slice() {
        [one] => (one.clone(), years_moved(most)),
        few if few.len() <= MOST_NAMED => (in_a_row(few), years_moved(most)),
        many => (format!("{} clues alike", many.len()), years_moved(most)),
    };
    let splitting = result.clues.iter().filter(|(_, answer)| !counts(answer));
    let splitting: Vec<String> = splitting.map(name_of).collect();
    let of_clues = match (splitting.as_slice(), farthest.as_slice()) {
        ([], _) if most < MATTERS => format!(
            "The answer hangs on no single clue: without any one of them {middle} moves by {moved} at the most."
        ),
        ([], [(_, answer)]) => format!("Of the clues most hangs on {names}: without it {}.", instead(answer)),
        ([], _) => format!("Of the clues most hangs on {names}: without any one of them {middle} moves by {moved}."),
        (held, others) => {
            let them = if held.len() == 1 { "it" } else { "any one of them" };
            let rest = format!(" Without any one of the others {middle} moves by {moved} at the most.");
            format!(
                "Of the clues most hangs on {}: without {them} there would be more than one answer, and no one middle \
                 year.{}",
                in_a_row(held),
                if others.is_empty() { "" } else { rest.as_str() }
            )
        }
    };
    let prior = result.priors.iter().max_by_key(|prior| moves(result, &prior.answer));
    let of_priors = match prior.filter(|prior| moves(result, &prior.answer) > most) {
        Some(prior) => format!(
            " More hangs on how clubs are taken to be spread over the years (the prior): under {} {}.",
            prior.name,
            instead(&prior.answer)
        ),
        None => prior_that_splits(asked.axis(), result),
    };
    of_clues + &of_priors
}

/// The prior under which one answer would be several, where there is one.
fn prior_that_splits(axis: Axis, result: &Sensitivity) -> String {
    let splits = |prior: &&WithPrior| prior.answer.is_split() && !result.all.is_split();
    result.priors.iter().find(splits).map_or_else(String::new, |prior| {
        format!(
            " Under the prior {} there would be more than one answer: {}.",
            prior.name,
            short_span(axis, &prior.answer)
        )
    })
}

/// The median in words: of a split answer it is no date.
fn middle_in_words(result: &Sensitivity) -> &'static str {
    if result.all.is_split() { "the year with half the chance on either side" } else { "the middle year" }
}

/// By how many years the middle year of an answer lies off that with everything.
fn moves(result: &Sensitivity, answer: &ShortAnswer) -> u32 {
    answer.median.abs_diff(result.all.median)
}

fn years_moved(years: u32) -> String {
    counted(usize::try_from(years).unwrap_or(usize::MAX), "year", "years")
}

fn row(axis: Axis, name: &str, answer: &ShortAnswer, all: &ShortAnswer) -> Vec<String> {
    let is_split = answer.is_split() || all.is_split();
    let change = if is_split { "-".to_owned() } else { change_of_median(axis, all.median, answer.median) };
    vec![name.to_owned(), middle_year(axis, answer), change, short_span(axis, answer)]
}
