//! What a fit did, as text.

use super::page::wrapped;
use crate::files::Collection;
use crate::wording::span;
use agewright_calibration::{Fit, LeftOut, WhyLeftOut};
use std::fmt::Write as _;
use std::path::Path;

/// Text of at most 80 columns, for standard error.
pub fn fit_text(fitted: &Fit, collection: &Collection, out: &Path) -> String {
    let (report, calibration) = (&fitted.report, &fitted.calibration);
    let mut text = String::new();
    let mut say = |line: String| {
        let _ = writeln!(text, "{}", wrapped(&line, "  "));
    };
    let tables =
        calibration.level_tables.len() + calibration.blocks.iter().map(|block| block.clues.len()).sum::<usize>();
    let years = calibration.origin.dated.map_or_else(String::new, |[from, to]| format!(" of {}", span(from, to)));
    say(format!("{tables} tables fitted on {} dated clubs{years}; written to {}", report.clubs, out.display()));
    let undated = collection.clubs.len() - collection.dated.len();
    if undated > 0 {
        say(format!("note: {undated} clubs without a date were passed over"));
    }
    if report.worthless > 0 {
        say(format!("note: {} clubs of date grade 5 (own opinion) do not count", report.worthless));
    }
    for left_out in &report.left_out {
        say(left_out_words(left_out));
    }
    for aside in &report.set_aside {
        say(format!(
            "note: club {}, {} = {}: {:.0} robust standard deviations off the line, set aside in the fit; look again",
            aside.club,
            aside.clue,
            aside.reading,
            aside.deviations.abs()
        ));
    }
    if !report.empty_rows.is_empty() {
        let rows: Vec<String> = joined(&report.empty_rows).iter().map(|&(from, to)| span(from, to)).collect();
        say(format!("note: no dated club from {}; tables lean on their neighbours there", rows.join(", ")));
    }
    text
}

/// Runs of rows that touch become one.
fn joined(rows: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let mut runs: Vec<(i32, i32)> = Vec::new();
    for &(from, to) in rows {
        match runs.last_mut() {
            Some(last) if last.1 + 1 == from => last.1 = to,
            _ => runs.push((from, to)),
        }
    }
    runs
}

fn left_out_words(left_out: &LeftOut) -> String {
    let LeftOut { clue, readings, why } = left_out;
    match why {
        WhyLeftOut::TooFew => {
            format!("warning: {clue}: {readings} dated clubs read are too few for a table (4 or more); left out")
        }
        WhyLeftOut::NeverVaries => {
            format!("warning: {clue}: all {readings} dated clubs read alike, so it says nothing; left out")
        }
    }
}
