//! Several clubs dated, one line each, as text.

use crate::terminal::page::{Page, kept_together};
use crate::words::answered::Answered;
use crate::words::before::{before_in_short, before_note};
use crate::words::counted::counted;
use crate::words::date_line::date_line;
use crate::words::given_date::given_in_short;
use crate::words::named::noted_of_all;
use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{OPINION, calibration_in_short};
use crate::words::warnings_in_short::warnings_in_short;
use crate::words::years::year;
use agewright_model::Dating;
use agewright_model::questions::overview::is_not_borne_out;
use std::fmt::Write as _;

/// A date line of which the level is not broken.
fn level_together(line: &str) -> String {
    line.replace("4 in 5", &kept_together("4 in 5"))
}

/// The main part of each club in a table, what must be told of some of them, and what all rest on; with a year, the
/// chance that each was made before it.
#[must_use]
pub fn clubs_text(page: Page, clubs: &[Answered<'_>], before: Option<i32>) -> String {
    let Some(first) = clubs.first() else { return String::new() };
    let has_given = clubs.iter().any(|club| club.given.is_some());
    let mut headings = vec!["Club".to_owned(), "Date".to_owned()];
    headings.extend(before.map(|before| format!("Before {}", year(before))));
    headings.extend(has_given.then(|| "Given".to_owned()));
    let rows = clubs.iter().map(|club| {
        let mut row = vec![club.asked.club().id.clone(), level_together(&date_line(&club.dating))];
        row.extend(before.map(|before| before_in_short(&club.dating, before)));
        row.extend(has_given.then(|| club.given.as_ref().map_or_else(String::new, given_in_short)));
        row
    });
    let headings: Vec<&str> = headings.iter().map(String::as_str).collect();
    let mut out = format!("{}\n", page.table(&headings, rows.collect(), &[]));
    let datings: Vec<&Dating> = clubs.iter().map(|club| &club.dating).collect();
    if let Some(note) = before.and_then(|before| before_note(&datings, before)) {
        let _ = writeln!(out, "{}", page.wrapped(&note, "  "));
    }
    let mut heeded: Vec<String> = Vec::new();
    for club in clubs {
        let catalogue = club.asked.calibration().catalogue();
        let mut told = warnings_in_short(catalogue, &club.warnings);
        told.extend(
            club.given
                .as_ref()
                .filter(|date| is_not_borne_out(date, &club.dating))
                .map(|date| format!("{}, which its clues do not bear out", given_in_short(date))),
        );
        if !told.is_empty() {
            heeded.push(page.wrapped(&format!("{}: {}", club.asked.club().id, told.join("; ")), "  "));
        }
    }
    if !heeded.is_empty() {
        let _ = write!(out, "\nTo mind with these dates\n{}\n", heeded.join("\n"));
    }
    let has_parts = first.asked.calibration().parts_dated().len() > 1;
    let told = format!(
        "{}. What moved each: --ledger{}. Prior (how clubs are spread over the years before any clue): {}.",
        counted(clubs.len(), "club", "clubs"),
        if has_parts { ", which dates shaft and grip too" } else { "" },
        first.dating.prior
    );
    let _ = writeln!(out, "\n{}", page.wrapped(&told, "  "));
    if let Some(lag) = lag_sentence(&first.asked).filter(|_| first.asked.is_from_elsewhere()) {
        let _ = writeln!(out, "{}", page.wrapped(&lag, "  "));
    }
    if let Some(note) = noted_of_all(clubs.iter().map(|club| club.asked.club())) {
        let _ = writeln!(out, "{}", page.wrapped(&note, "  "));
    }
    let source = calibration_in_short(first.asked.calibration());
    let _ = writeln!(out, "{}\n{}", page.wrapped(&source, "  "), page.wrapped(OPINION, ""));
    out
}
