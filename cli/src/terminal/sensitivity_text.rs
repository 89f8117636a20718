//! What the answer hangs on, as text.

use super::messages::{clue_name, source_lines};
use super::page::{part_suffix, table};
use crate::wording::{span, year};
use agewright_model::{Calibration, Club, Part, Sensitivity, WithoutClue};
use std::fmt::Write as _;

/// Text of at most 80 columns.
pub fn sensitivity_text(calibration: &Calibration, club: &Club, part: Part, result: &Sensitivity) -> String {
    let mut out = String::new();
    let part = part_suffix(part);
    let _ = writeln!(out, "{}{part}: what the answer hangs on\n", club.id);
    let mut rows = vec![row("With everything", &result.all, &result.all)];
    rows.extend(
        result
            .clues
            .iter()
            .map(|(clue, answer)| row(&format!("without {}", clue_name(calibration, clue)), answer, &result.all)),
    );
    rows.push(vec![String::new(); 4]);
    rows.extend(result.priors.iter().map(|prior| {
        let used = if prior.chosen { " (used)" } else { "" };
        row(&format!("prior {}{used}", prior.name), &prior.answer, &result.all)
    }));
    let _ = writeln!(out, "{}", table(&["", "Middle year", "Change", "4 in 5"], rows, &[1, 2]));
    out.push_str("\nThe largest change stands first.\n");
    out.push_str(&source_lines(calibration));
    out
}

fn row(name: &str, answer: &WithoutClue, all: &WithoutClue) -> Vec<String> {
    let change = answer.median - all.median;
    let change = if change == 0 { "0".to_owned() } else { format!("{change:+}") };
    vec![name.to_owned(), year(answer.median), change, span(answer.from, answer.to)]
}
