//! A whole collection, as text.

use super::messages::{clue_name, prior_words, source_lines};
use super::page::{row_name, table, wrapped};
use crate::commands::{CollectionClub, Overview};
use crate::wording::{percent, year};
use agewright_model::{Calibration, RowCount};
use std::fmt::Write as _;

/// Rows of years that are sure to be empty are not printed.
const NOTHING: f64 = 0.005;

/// Text of at most 80 columns.
pub fn collection_text(calibration: &Calibration, overview: &Overview) -> String {
    let known = overview.clubs.iter().filter(|club| club.known).count();
    let undated = overview.clubs.iter().filter(|club| club.undated).count();
    let mut out = format!("Clubs: {}, {known} of known date", overview.clubs.len());
    if undated > 0 {
        let _ = write!(out, ", {undated} without a clue of date and not counted below");
    }
    out.push_str("\n\n");
    let row = |club: &CollectionClub| {
        let date = if club.known { format!("{} (known)", club.date_line) } else { club.date_line.clone() };
        let median = if club.two_answers || club.undated { "-".to_owned() } else { year(club.median) };
        vec![club.id.clone(), median, date]
    };
    let rows = overview.clubs.iter().map(row).collect();
    let _ = writeln!(out, "{}", table(&["Club", "Middle year", "Date"], rows, &[1]));
    counts_text(&mut out, calibration, overview);
    look_again_text(&mut out, calibration, overview);
    let _ = write!(out, "\n{}", closing(calibration, overview));
    out
}

fn counts_text(out: &mut String, calibration: &Calibration, overview: &Overview) {
    let step = calibration.catalogue.axis.step();
    let _ = writeln!(out, "\nHow many by {}\n", if step == 10 { "decade".to_owned() } else { format!("{step} years") });
    let name = |row: &RowCount| row_name(row.from, row.to, step);
    let rows = overview.rows.iter().enumerate().filter(|(_, row)| row.count.at_least_one() >= NOTHING);
    let rows = rows.map(|(ix, row)| {
        let (fewest, most) = row.count.band(0.8);
        let band = if fewest == most { fewest.to_string() } else { format!("{fewest} to {most}") };
        let thin = if overview.thin.contains(&ix) { "thin" } else { "" };
        vec![name(row), format!("{:.1}", row.count.mean()), band, percent(row.count.at_least_one()), thin.to_owned()]
    });
    let headings = ["Years", "Expected", "4 in 5", "One or more", ""];
    let _ = writeln!(out, "{}", table(&headings, rows.collect(), &[1, 2, 3]));
    let thin: Vec<String> = overview.thin.iter().map(|&ix| name(&overview.rows[ix])).collect();
    let text = if thin.is_empty() {
        "No decade within the collection's span is thin.".to_owned()
    } else {
        format!("Thin (at least one chance in five that the collection has none): {}.", thin.join(", "))
    };
    let _ = writeln!(out, "\n{}", wrapped(&text, "  "));
}

fn look_again_text(out: &mut String, calibration: &Calibration, overview: &Overview) {
    if overview.look_again.is_empty() {
        let _ = writeln!(out, "\nNo club asks for another look.");
        return;
    }
    let _ = writeln!(out, "\nWorth another look\n");
    for club in &overview.look_again {
        let mut text = format!("{}: {}", club.id, club.reasons.join("; "));
        if let Some((clue, bits)) = &club.look {
            let _ = write!(text, ". Next: {} (expected {bits:.2} bits)", clue_name(calibration, clue));
        }
        let _ = writeln!(out, "{}", wrapped(&text, "  "));
    }
}

fn closing(calibration: &Calibration, overview: &Overview) -> String {
    let text = format!(
        "Counts are sums of chances, not of best guesses, the clubs taken as independent; a club of known date counts in its own years, and one that the calibration was fitted on is dated too surely. Prior: {}.",
        prior_words(&overview.prior)
    );
    format!("{}\n{}", wrapped(&text, "  "), source_lines(calibration))
}
