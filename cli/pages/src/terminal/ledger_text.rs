//! The account of an answer as a table.

use crate::terminal::page::{Page, WIDE_ENOUGH};
use crate::words::adjusting::adjusting_sentences;
use crate::words::after_the_years::after_sentence;
use crate::words::answered::Answered;
use crate::words::moves::signed;
use crate::words::readings::reading_in_short;
use crate::words::sections::{Section, before_any_clue, sections};
use crate::words::verbal::percent;
use crate::words::years::{answer_year, short_words, span};
use agewright_model::Catalogue;
use agewright_model::answer::ledger::{LedgerEntry, LedgerMethod};

/// Clues that moved the average by so many years or less share a line, where there are so many of them at the least;
/// the larger moves only where the account has no room else.
const SMALL_MOVES: [f64; 6] = [0.5, 1.0, 1.5, 2.0, 3.0, 5.0];
const FEWEST_SMALL: usize = 3;

/// What of the account is shown.
#[derive(Clone, Copy)]
pub struct LedgerColumns {
    /// Bits, weights and favoured years, and a line for each clue however small its move.
    pub detail: bool,
    /// How to read it.
    pub notes: bool,
    /// Lines that it has room for, where they are few.
    pub room: Option<usize>,
}

/// The account of one answer, and how to read it; small moves share a line, so many that it has room.
pub fn ledger_text(page: Page, answered: &Answered<'_>, shown: LedgerColumns) -> String {
    let [least, more @ ..] = SMALL_MOVES;
    let mut text = ledger_with(page, answered, shown, least);
    for small in more {
        if shown.room.is_none_or(|room| text.lines().count() <= room) {
            break;
        }
        text = ledger_with(page, answered, shown, small);
    }
    text
}

fn ledger_with(page: Page, answered: &Answered<'_>, shown: LedgerColumns, small: f64) -> String {
    let (dating, ledger) = (&answered.dating, answered.ledger());
    let mut told = vec![page.wrapped("Ledger: how far each clue moved the average year (+ later, - earlier)", "  ")];
    let all_right = [2, 3, 4, 5];
    let has_detail = shown.detail && !page.is_narrow();
    let (headings, right): (&[&str], &[usize]) = match (shown.detail, page.is_narrow()) {
        (true, false) => (&["Clue", "Reading", "Years", "Bits", "Weight", "Misread", "Without", "Favours"], &all_right),
        (false, false) => (&["Clue", "Reading", "Years", "Misread", "Without it"], &all_right[..2]),
        (_, true) => (&["Clue", "Reading", "Years"], &all_right[..1]),
    };
    // A narrow page drops the last columns.
    let rows = ledger_rows(answered, (shown.detail, small), has_detail).into_iter().map(|mut row| {
        row.truncate(headings.len());
        row
    });
    told.push(page.table(headings, rows.collect(), right));
    if shown.notes && page.is_narrow() {
        let note = format!(
            "The chance of misreading and the answer without each clue stand on a page of {WIDE_ENOUGH} columns or \
             more."
        );
        told.push(page.wrapped(&note, "  "));
    } else if shown.notes && !shown.detail {
        told.push(page.wrapped("Misread: chance of a mistake or later work. Without it: middle year (4 in 5).", "  "));
    }
    if sections(answered)
        .iter()
        .any(|section| told_apart(section, (shown.detail, small)).0.iter().any(|entry| entry.adjusts))
    {
        let note = "* No sign of the date by itself: what it moves, it moves through other clues.";
        told.push(page.wrapped(note, "  "));
    }
    for sentence in adjusting_sentences(answered).iter().filter(|_| shown.detail) {
        told.push(page.wrapped(sentence, "  "));
    }
    if let LedgerMethod::Orders(orders) = ledger.method {
        let worst = ledger.entries.iter().filter_map(|e| e.standard_error).map(|e| e[0]).fold(0.0, f64::max);
        let text = format!(
            "Too much for all sets of clues: averaged over {orders} orders, standard error at most {worst:.2} years."
        );
        told.push(page.wrapped(&text, ""));
    }
    if dating.has_two_answers() {
        let text = format!("The average year {:.1} is that of all answers together, and no date.", ledger.closing);
        told.push(page.wrapped(&text, ""));
    }
    if let Some(sentence) = after_sentence(dating) {
        told.push(page.wrapped(&sentence, "  "));
    }
    format!("{}\n", told.join("\n"))
}

/// The entries of a section that have a line each, and the small ones that share one, where these are several.
fn told_apart<'a>(section: &Section<'a>, (detail, small): (bool, f64)) -> (Vec<&'a LedgerEntry>, Vec<&'a LedgerEntry>) {
    // One that is likelier wrong than right keeps its line, so that its chance is seen.
    let is_small = |entry: &&LedgerEntry| (10.0 * entry.years).round().abs() <= 10.0 * small && entry.misread < 0.5;
    let (small, large): (Vec<&LedgerEntry>, Vec<_>) = section.entries.iter().copied().partition(is_small);
    if detail || small.len() < FEWEST_SMALL { (section.entries.clone(), Vec::new()) } else { (large, small) }
}

/// Rows of the ledger: before any clue, the clues of each part, with all clues.
fn ledger_rows(answered: &Answered<'_>, (all, small_move): (bool, f64), detail: bool) -> Vec<Vec<String>> {
    let (dating, ledger) = (&answered.dating, answered.ledger());
    let catalogue = answered.asked.calibration().catalogue();
    let mut rows = vec![edge_row(before_any_clue(dating), ledger.opening, ledger.opening_bits, detail)];
    for section in sections(answered) {
        let (entries, small) = told_apart(&section, (all, small_move));
        rows.extend(section.heading.map(|heading| {
            let mut row = vec![String::new(); if detail { 8 } else { 5 }];
            heading.clone_into(&mut row[0]);
            row
        }));
        let are_all = entries.is_empty();
        rows.extend(entries.into_iter().map(|entry| entry_row(catalogue, entry, detail)));
        if !small.is_empty() {
            let sum = small.iter().map(|entry| entry.years).sum();
            let what = if are_all { "clues" } else { "others" };
            let name = format!("{} {what}, {small_move} or less each", small.len());
            rows.push(vec![name, String::new(), signed(sum), String::new(), String::new()]);
        }
    }
    let mut closing = edge_row("With all clues", ledger.closing, ledger.closing_bits, detail);
    let short = dating.short();
    let answer =
        if detail { answer_year(catalogue.axis(), short.median) } else { short_words(catalogue.axis(), &short) };
    closing[if detail { 6 } else { 4 }] = if dating.has_two_answers() { String::new() } else { answer };
    rows.push(closing);
    rows
}

fn edge_row(name: &str, mean: f64, bits: f64, detail: bool) -> Vec<String> {
    let mut row = vec![name.to_owned(), String::new(), format!("{mean:.1}")];
    if detail {
        row.extend([format!("{bits:.2}"), String::new()]);
    }
    row.resize(if detail { 8 } else { 5 }, String::new());
    row
}

fn entry_row(catalogue: &Catalogue, entry: &LedgerEntry, detail: bool) -> Vec<String> {
    let reading = reading_in_short(catalogue, &entry.clue, &entry.reading);
    let mark = if entry.adjusts { " *" } else { "" };
    let mut row = vec![format!("{}{mark}", catalogue.name_of(&entry.clue)), reading, signed(entry.years)];
    if detail {
        let bits = entry.bits.map_or_else(String::new, |bits| format!("{bits:+.2}"));
        row.extend([bits, format!("{:.2}", entry.weight)]);
    }
    row.push(percent(entry.misread));
    if detail {
        row.push(answer_year(catalogue.axis(), entry.without.median));
        row.push(entry.favours.map_or_else(|| "-".to_owned(), |(from, to)| span(from, to)));
    } else {
        row.push(short_words(catalogue.axis(), &entry.without));
    }
    row
}
