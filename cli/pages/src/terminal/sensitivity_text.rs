//! What the answer hangs on, as text.

use crate::terminal::page::{answer_lines, table};
use crate::words::parts::part_suffix;
use crate::words::years::{answer_span, answer_year, change_of_median};
use agewright_model::questions::sensitivity::Sensitivity;
use agewright_model::{Asked, Axis, ShortAnswer};
use std::fmt::Write as _;

/// Text of at most 80 columns.
#[must_use]
pub fn sensitivity_text(asked: &Asked<'_>, result: &Sensitivity) -> String {
    let (mut out, part, calibration) = (String::new(), part_suffix(asked.part()), asked.calibration());
    let _ = writeln!(out, "{}{part}: what the answer hangs on\n", asked.club().id);
    let row = |name: &str, answer: &ShortAnswer, all| row(asked.axis(), name, answer, all);
    let mut rows = vec![row("With everything", &result.all, &result.all)];
    rows.extend(
        result.clues.iter().map(|(clue, answer)| {
            row(&format!("without {}", calibration.catalogue().name_of(clue)), answer, &result.all)
        }),
    );
    rows.push(vec![String::new(); 4]);
    rows.extend(result.priors.iter().map(|prior| {
        let used = if prior.chosen { " (used)" } else { "" };
        row(&format!("prior {}{used}", prior.name), &prior.answer, &result.all)
    }));
    let _ = writeln!(out, "{}", table(&["", "Middle year", "Change", "4 in 5"], rows, &[1, 2]));
    out.push_str("\nThe largest change stands first.\n");
    out.push_str(&answer_lines(asked));
    out
}

fn row(axis: Axis, name: &str, answer: &ShortAnswer, all: &ShortAnswer) -> Vec<String> {
    let change = change_of_median(axis, all.median, answer.median);
    let (median, span) = (answer_year(axis, answer.median), answer_span(axis, answer.from, answer.to));
    vec![name.to_owned(), median, change, span]
}
