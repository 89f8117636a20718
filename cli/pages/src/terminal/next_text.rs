//! What to look at next, as text.

use crate::terminal::page::Page;
use crate::words::after_the_years::share_after;
use crate::words::counted::counted;
use crate::words::next_look::next_sentence;
use crate::words::parts::part_suffix;
use crate::words::readings::level_name;
use crate::words::verbal::{in_a_hundred, percent};
use crate::words::years::{answer_year, short_span, spans};
use agewright_model::questions::next_look::{NextLook, NextLooks};
use agewright_model::{Asked, Calibration};
use std::fmt::Write as _;

/// How to take the reading is told for so many clues.
const EXPLAINED: usize = 3;
/// Clues that have a row, at the most.
const MOST_ROWS: usize = 8;

/// What may be worth a look although nothing says how much.
fn not_weighed(page: Page, calibration: &Calibration, next: &NextLooks) -> String {
    if next.not_weighed.is_empty() {
        return String::new();
    }
    let names: Vec<String> = next.not_weighed.iter().map(|clue| calibration.catalogue().name_of(clue)).collect();
    format!("{}\n", page.wrapped(&format!("Not weighed, and worth a look: {}.", names.join("; ")), "  "))
}

/// Bits to two decimals; nothing is 0.00, never -0.00.
fn bits(bits: f64) -> String {
    let text = format!("{bits:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// The text for the parts of a club; how to read it, and what all rests on, stands once.
#[must_use]
pub fn next_text(page: Page, parts: &[(Asked<'_>, NextLooks)]) -> String {
    let Some((first, _)) = parts.first() else { return String::new() };
    let texts: Vec<String> = parts.iter().map(|(asked, next)| part_text(page, asked, next)).collect();
    let mut out = texts.join("\n");
    let shown = || parts.iter().flat_map(|(_, next)| next.in_order().into_iter().take(MOST_ROWS));
    if shown().next().is_some() {
        let mut explained =
            "Bits: what looking may be expected to narrow; one bit halves the years in question. Years \
                             then: in the 4-in-5 band after looking, on average. Moves 10 years: how likely the middle \
                             year is to move by ten years or more."
                .to_owned();
        if shown().any(|look| look.bits < -0.005) {
            explained.push_str(
                " Bits below 0: the clue describes the club, and is likelier to loosen what the measures seem to say \
                 than to narrow it; the answer is then the truer one.",
            );
        }
        if parts.iter().any(|(_, next)| next.answers_now.len() > 1) {
            explained.push_str(
                " Where there are several answers, the year that moves is the one with half the chance on either side, \
                 which is no date.",
            );
        }
        let order = |next: &NextLooks| next.in_order().windows(2).any(|pair| pair[0].bits < pair[1].bits);
        if parts.iter().any(|(_, next)| order(next)) {
            explained.push_str(" What may leave fewer years or move them stands first, the others below it.");
        }
        let _ = writeln!(out, "\n{}", page.wrapped(&explained, "  "));
        let _ = writeln!(out, "{}", page.wrapped("Nothing is cleaned, unwound or taken apart for a reading.", "  "));
    }
    out.push_str(&page.answer_lines(first));
    out
}

fn part_text(page: Page, asked: &Asked<'_>, next: &NextLooks) -> String {
    let calibration = asked.calibration();
    let heading = format!("{}{}: what to look at next", asked.club().id, part_suffix(asked.part()));
    let mut out = format!("{}\n{}\n", page.wrapped(&heading, "  "), page.title_line(asked.club()));
    let _ = writeln!(out, "{}", page.wrapped(&next_sentence(asked, next), "  "));
    let _ = writeln!(out, "{}", page.wrapped(&answer_now(asked, next), "  "));
    let looks = next.in_order();
    if !looks.is_empty() {
        out.push('\n');
        looks_table(page, &mut out, calibration, &looks);
    }
    out.push_str(&not_weighed(page, calibration, next));
    for look in looks.into_iter().take(EXPLAINED).filter(|look| next.helps(look)) {
        let how = calibration.catalogue().clue(&look.clue).map_or("", |clue| clue.how.as_str());
        if how.is_empty() {
            continue;
        }
        let told = format!("{}: {how}", calibration.catalogue().name_of(&look.clue));
        let _ = writeln!(out, "\n{}", page.wrapped(&told, "  "));
        if !look.outcomes.is_empty() {
            let told = format!("  Middle year if it is {}.", outcomes(asked, look));
            let _ = writeln!(out, "{}", page.wrapped(&told, "  "));
        }
    }
    out
}

/// The middle year now, or where there are several answers, these.
fn answer_now(asked: &Asked<'_>, next: &NextLooks) -> String {
    let after = share_after(asked.axis(), next.after_now);
    let after = after.map_or_else(String::new, |after| format!(" After {after}; in a band those years count as one."));
    if next.answers_now.len() < 2 {
        return format!("Middle year now: {}.{after}", answer_year(asked.axis(), next.median_now));
    }
    let count = if next.answers_now.len() == 2 { "Two" } else { "Several" };
    format!("{count} answers now, and no one middle year: {}.{after}", spans(asked.axis(), &next.answers_now))
}

/// The clues that tell most, each with what looking may bring.
fn looks_table(page: Page, out: &mut String, calibration: &Calibration, looks: &[&NextLook]) {
    let rows = looks.iter().take(MOST_ROWS).map(|look| {
        vec![
            calibration.catalogue().name_of(&look.clue),
            bits(look.bits),
            format!("{:.0} years", look.width),
            percent(look.change),
        ]
    });
    let headings = ["Not yet examined", "Bits", "Years then", "Moves 10 years"];
    let _ = writeln!(out, "{}", page.table(&headings, rows.collect(), &[1, 2, 3]));
    let more = looks.len().saturating_sub(MOST_ROWS);
    if more > 0 {
        let _ = writeln!(
            out,
            "and {} that {} less",
            counted(more, "clue", "clues"),
            if more == 1 { "tells" } else { "tell" }
        );
    }
}

/// What may be found, how likely that is, and the middle year then.
fn outcomes(asked: &Asked<'_>, look: &NextLook) -> String {
    let catalogue = asked.calibration().catalogue();
    let told = look.outcomes.iter().filter(|outcome| outcome.chance >= 0.005).map(|outcome| {
        let level = level_name(catalogue, &look.clue, &outcome.level);
        let answer = &outcome.answer;
        let is_split = answer.is_split();
        let middle = if is_split { short_span(asked.axis(), answer) } else { answer_year(asked.axis(), answer.median) };
        format!("{level} ({}): {middle}", in_a_hundred(outcome.chance))
    });
    told.collect::<Vec<String>>().join("; ")
}
