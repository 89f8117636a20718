//! What the answer hangs on, as text.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use crate::words::parts::part_suffix;
use crate::words::readings::within_a_sentence;
use crate::words::years::{answer_span, answer_year, change_of_median};
use agewright_model::questions::sensitivity::{Sensitivity, WithPrior};
use agewright_model::{Asked, Axis, ShortAnswer};
use std::fmt::Write as _;

/// A clue that moves the middle year by less than this matters little.
const MATTERS: u32 = 2;
/// At least so many clues have a row.
const FEWEST_ROWS: usize = 3;

/// The text.
#[must_use]
pub fn sensitivity_text(page: Page, asked: &Asked<'_>, result: &Sensitivity) -> String {
    let (mut out, part, catalogue) = (String::new(), part_suffix(asked.part()), asked.calibration().catalogue());
    let heading = format!("{}{part}: what the answer hangs on", asked.club().id);
    let _ = writeln!(out, "{}\n", page.wrapped(&heading, "  "));
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
        let names: Vec<String> = rest.iter().map(|(clue, _)| within_a_sentence(&catalogue.name_of(clue))).collect();
        let told = format!(
            "Without any one of the others the middle year moves by {} at the most: {}.",
            counted(most_moved(result, rest), "year", "years"),
            names.join("; ")
        );
        let _ = writeln!(out, "\n{}", page.wrapped(&told, "  "));
    }
    let _ =
        writeln!(out, "{}", page.wrapped("Prior: how clubs are spread over the years before a clue is read.", "  "));
    out.push_str(&page.answer_lines(asked));
    out
}

/// By how many years the middle year moves without the clue that moves it most.
fn most_moved(result: &Sensitivity, clues: &[(String, ShortAnswer)]) -> usize {
    let moved = clues.iter().map(|(_, answer)| answer.median.abs_diff(result.all.median)).max();
    usize::try_from(moved.unwrap_or(0)).unwrap_or(usize::MAX)
}

/// The clues that have a row of their own, and the others; the largest change stands first.
fn by_weight(result: &Sensitivity) -> [&[(String, ShortAnswer)]; 2] {
    let matters = |(_, answer): &(String, ShortAnswer)| answer.median.abs_diff(result.all.median) >= MATTERS;
    let last = result.clues.iter().rposition(matters).map_or(0, |place| place + 1);
    let (shown, rest) = result.clues.split_at(last.max(FEWEST_ROWS).min(result.clues.len()));
    [shown, rest]
}

/// What matters most of the clues, and the prior where it matters more.
fn opening(asked: &Asked<'_>, result: &Sensitivity) -> String {
    let (axis, catalogue) = (asked.axis(), asked.calibration().catalogue());
    let moves = |answer: &ShortAnswer| answer.median.abs_diff(result.all.median);
    let most = result.clues.iter().map(|(_, answer)| moves(answer)).max();
    let farthest = result.clues.iter().filter(|(_, answer)| Some(moves(answer)) == most);
    let farthest: Vec<&(String, ShortAnswer)> = farthest.collect();
    let years = |answer: &ShortAnswer| answer_year(axis, answer.median);
    let (of_clues, by_clues) = match (farthest.as_slice(), most.unwrap_or(0)) {
        ([], _) => return "No clue of date was read: the answer is the prior alone.".to_owned(),
        (_, ..MATTERS) => {
            let most = counted(most_moved(result, &result.clues), "year", "years");
            let told = format!(
                "The answer hangs on no single clue: without any one of them the middle year moves by {most} at the \
                 most."
            );
            (told, most_moved(result, &result.clues))
        }
        ([(clue, answer)], _) => {
            let name = within_a_sentence(&catalogue.name_of(clue));
            let (without, with) = (years(answer), years(&result.all));
            let told = format!(
                "Of the clues most hangs on {name}: without it the middle year would be {without} and not {with}."
            );
            (told, most_moved(result, &result.clues))
        }
        (several, _) => {
            let names: Vec<String> =
                several.iter().map(|(clue, _)| within_a_sentence(&catalogue.name_of(clue))).collect();
            let moved = counted(most_moved(result, &result.clues), "year", "years");
            let told = format!(
                "Of the clues most hangs on {}: without any one of them the middle year moves by {moved}.",
                names.join(" and ")
            );
            (told, most_moved(result, &result.clues))
        }
    };
    let prior = result.priors.iter().max_by_key(|prior| moves(&prior.answer));
    let by_prior = |prior: &WithPrior| usize::try_from(moves(&prior.answer)).unwrap_or(usize::MAX);
    match prior.filter(|prior| by_prior(prior) > by_clues) {
        Some(prior) => format!(
            "{of_clues} More hangs on how clubs are taken to be spread over the years (the prior): under {} it would \
             be {}.",
            prior.name,
            years(&prior.answer)
        ),
        None => of_clues,
    }
}

fn row(axis: Axis, name: &str, answer: &ShortAnswer, all: &ShortAnswer) -> Vec<String> {
    let change = change_of_median(axis, all.median, answer.median);
    let (median, span) = (answer_year(axis, answer.median), answer_span(axis, answer.from, answer.to));
    vec![name.to_owned(), median, change, span]
}
