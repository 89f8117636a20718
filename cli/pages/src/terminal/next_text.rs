//! What to look at next, as text.

use crate::terminal::page::{answer_lines, table, wrapped};
use crate::words::after_the_years::share_after;
use crate::words::counted::counted;
use crate::words::parts::part_suffix;
use crate::words::readings::level_name;
use crate::words::verbal::{in_a_hundred, percent};
use crate::words::years::answer_year;
use agewright_model::questions::next_look::{NextLook, NextLooks};
use agewright_model::{Asked, Calibration};
use std::fmt::Write as _;

/// How to take the reading is told for so many clues.
const EXPLAINED: usize = 3;

/// What may be worth a look although nothing says how much.
fn not_weighed(calibration: &Calibration, next: &NextLooks) -> String {
    if next.not_weighed.is_empty() {
        return String::new();
    }
    let names: Vec<String> = next.not_weighed.iter().map(|clue| calibration.catalogue().name_of(clue)).collect();
    format!("{}\n", wrapped(&format!("Not weighed, and worth a look: {}.", names.join("; ")), "  "))
}

/// Bits to two decimals; nothing is 0.00, never -0.00.
fn bits(bits: f64) -> String {
    let text = format!("{bits:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// Text of at most 80 columns.
#[must_use]
pub fn next_text(asked: &Asked<'_>, next: &NextLooks) -> String {
    let calibration = asked.calibration();
    let mut out = format!("{}{}: what to look at next\n\n", asked.club().id, part_suffix(asked.part()));
    let now = format!(
        "Now: middle year {}, the 4-in-5 band is {} wide.",
        answer_year(asked.axis(), next.median_now),
        counted(usize::try_from(next.width_now).unwrap_or(0), "year", "years")
    );
    let after = share_after(asked.axis(), next.after_now);
    let after = after.map_or_else(String::new, |after| format!(" After {after}; in a band those years count as one."));
    let _ = writeln!(out, "{}\n", wrapped(&format!("{now}{after}"), "  "));
    if next.looks.is_empty() {
        let _ = writeln!(out, "No clue is left to weigh.");
        out.push_str(&not_weighed(calibration, next));
        out.push_str(&answer_lines(asked));
        return out;
    }
    let rows = next.looks.iter().map(|look| {
        vec![
            calibration.catalogue().name_of(&look.clue),
            bits(look.bits),
            format!("{:.0} years", look.width),
            percent(look.change),
        ]
    });
    let headings = ["Clue not yet examined", "Bits", "Band then", "Moves 10 years or more"];
    let _ = writeln!(out, "{}", table(&headings, rows.collect(), &[1, 2, 3]));
    let mut explained =
        "Bits: what looking may be expected to narrow, averaged over what may be found; one bit halves the years in \
         question. Band then: years in the 4-in-5 band to be expected after looking. The last column: how likely the \
         middle year is to move by ten years or more."
            .to_owned();
    if next.looks.iter().any(|look| look.bits < -0.005) {
        explained.push_str(
            " Bits below 0: the clue describes the club, and is likelier to loosen what the measures seem to say than \
             to narrow it; the answer is then the truer one.",
        );
    }
    let _ = writeln!(out, "\n{}", wrapped(&explained, "  "));
    out.push_str(&not_weighed(calibration, next));
    for look in next.looks.iter().take(EXPLAINED) {
        let how = calibration.catalogue().clue(&look.clue).map_or("", |clue| clue.how.as_str());
        if how.is_empty() {
            continue;
        }
        let _ =
            writeln!(out, "\n{}", wrapped(&format!("{}: {how}", calibration.catalogue().name_of(&look.clue)), "  "));
        if !look.outcomes.is_empty() {
            let _ = writeln!(out, "{}", wrapped(&format!("  Middle year if it is {}.", outcomes(asked, look)), "  "));
        }
    }
    out.push_str("\nNothing is cleaned, unwound or taken apart for a reading.\n");
    out.push_str(&answer_lines(asked));
    out
}

/// What may be found, how likely that is, and the middle year then.
fn outcomes(asked: &Asked<'_>, look: &NextLook) -> String {
    let catalogue = asked.calibration().catalogue();
    let told = look.outcomes.iter().filter(|outcome| outcome.chance >= 0.005).map(|outcome| {
        let level = level_name(catalogue, &look.clue, &outcome.level);
        let middle = answer_year(asked.axis(), outcome.answer.median);
        format!("{level} ({}): {middle}", in_a_hundred(outcome.chance))
    });
    told.collect::<Vec<String>>().join("; ")
}
