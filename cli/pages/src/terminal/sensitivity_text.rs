//! What the answer hangs on, as text.

use crate::terminal::page::{answer_lines, table};
use crate::words::parts::part_suffix;
use crate::words::years::{span, year};
use agewright_model::questions::sensitivity::Sensitivity;
use agewright_model::{Asked, ShortAnswer};
use std::fmt::Write as _;

/// Text of at most 80 columns.
#[must_use]
pub fn sensitivity_text(asked: &Asked<'_>, result: &Sensitivity) -> String {
    let (mut out, part, calibration) = (String::new(), part_suffix(asked.part()), asked.calibration());
    let _ = writeln!(out, "{}{part}: what the answer hangs on\n", asked.club().id);
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

fn row(name: &str, answer: &ShortAnswer, all: &ShortAnswer) -> Vec<String> {
    let change = answer.median - all.median;
    let change = if change == 0 { "0".to_owned() } else { format!("{change:+}") };
    vec![name.to_owned(), year(answer.median), change, span(answer.from, answer.to)]
}
