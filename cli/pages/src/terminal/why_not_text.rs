//! Why one period and not another, as text.

use crate::terminal::page::Page;
use crate::words::after_the_years::share_after;
use crate::words::moves::signed;
use crate::words::odds::odds_in_words;
use crate::words::parts::part_suffix;
use crate::words::readings::{reading_in_short, text_in_words};
use crate::words::years::period_name;
use agewright_model::answer::ledger::LedgerMethod;
use agewright_model::questions::why_not::PeriodEntry;
use agewright_model::{Asked, Calibration, PeriodAccount};
use std::fmt::Write as _;

/// Weights below this, in decibans, are not named in the closing sentence (a factor of 1.25).
const WORTH_NAMING: f64 = 1.0;

/// The text.
#[must_use]
pub fn why_not_text(page: Page, asked: &Asked<'_>, account: &PeriodAccount) -> String {
    let calibration = asked.calibration();
    let [first, second] = account.periods.map(|(from, to)| period_name(from, to));
    let heading = format!("{}{}: why not {first}?", asked.club().id, part_suffix(asked.part()));
    let mut out = format!("{}\n{}", page.wrapped(&heading, "  "), page.title_line(asked.club()));
    let _ = writeln!(
        out,
        "{}\n",
        page.wrapped(&format!("Against {second}, in decibans (+ for {first}, - for {second})"), "  ")
    );
    let mut balance = account.base_rate;
    let mut rows = vec![row("Base rate (the prior)", "", account.base_rate, balance)];
    for entry in account.by_size() {
        balance += entry.decibans;
        rows.push(row(
            &calibration.catalogue().name_of(&entry.clue),
            &reading_in_short(calibration.catalogue(), &entry.clue, &entry.reading),
            entry.decibans,
            balance,
        ));
    }
    rows.push(vec!["With all clues".to_owned(), String::new(), String::new(), signed(account.total)]);
    let _ = writeln!(out, "{}", page.table(&["Clue", "Reading", "Decibans", "So far"], rows, &[2, 3]));
    let _ = writeln!(out, "\n{}", page.wrapped("Decibans: 3 are 2 to one, 10 are 10 to one, 20 are 100 to one.", "  "));
    if let LedgerMethod::Orders(orders) = account.method {
        let worst = account.entries.iter().filter_map(|entry| entry.standard_error).fold(0.0, f64::max);
        let text = format!("Averaged over {orders} orders of the clues, standard error at most {worst:.2} decibans.");
        let _ = writeln!(out, "{}", page.wrapped(&text, "  "));
    }
    let _ = writeln!(out, "\n{}", page.wrapped(&closing(calibration, account, &first, &second), ""));
    let [one, other] = account.periods.map(|(from, to)| to - from + 1);
    if one != other {
        let told = format!("Years: {first} {one}, {second} {other}; the base rate counts that.");
        let _ = writeln!(out, "{}", page.wrapped(&told, ""));
    }
    if let Some(after) = share_after(asked.axis(), account.after) {
        let _ = writeln!(out, "\n{}", page.wrapped(&format!("In neither period, by all clues: after {after}."), "  "));
    }
    let _ = write!(out, "\n{}", page.answer_lines(asked));
    out
}

fn row(name: &str, reading: &str, decibans: f64, balance: f64) -> Vec<String> {
    vec![name.to_owned(), reading.to_owned(), signed(decibans), signed(balance)]
}

/// The account as a sentence or two.
fn closing(calibration: &Calibration, account: &PeriodAccount, first: &str, second: &str) -> String {
    let side = |decibans: f64| {
        let odds = odds_in_words(decibans);
        match odds.as_str() {
            "about even" => "about even".to_owned(),
            _ => format!("{odds} for {}", if decibans > 0.0 { first } else { second }),
        }
    };
    let mut text = format!(
        "Before any clue the odds are {}; with all of them, {}. ",
        side(account.base_rate),
        side(account.total)
    );
    let naming = |speaks_for: f64| -> Vec<&PeriodEntry> {
        let entries = account.by_size().into_iter();
        entries.filter(|entry| !entry.adjusts && entry.decibans * speaks_for >= WORTH_NAMING).take(3).collect()
    };
    let listed = |entries: &[&PeriodEntry]| {
        entries.iter().map(|entry| named(calibration, entry)).collect::<Vec<String>>().join(", ")
    };
    let (against, in_favour) = (naming(-1.0), naming(1.0));
    if against.is_empty() {
        let _ = write!(text, "No clue of date speaks much against {first}");
    } else {
        let _ = write!(text, "Most against {first}: {}", listed(&against));
    }
    if in_favour.is_empty() {
        let _ = write!(text, "; no clue of date speaks much for it. ");
    } else {
        let _ = write!(text, "; most for it: {}. ", listed(&in_favour));
    }
    text.push_str(&the_others(account, &[against, in_favour].concat(), first, second));
    let _ = write!(
        text,
        "In the whole answer the chance of {first} is {} and that of {second} {}.",
        percent(account.probability[0]),
        percent(account.probability[1])
    );
    text
}

/// What all clues that are not named say together, where that is worth naming and there are several.
fn the_others(account: &PeriodAccount, named: &[&PeriodEntry], first: &str, second: &str) -> String {
    let is_named = |entry: &&PeriodEntry| named.iter().any(|named| named.clue == entry.clue);
    let others = || account.entries.iter().filter(|entry| !is_named(entry));
    let together: f64 = others().map(|entry| entry.decibans).sum();
    if others().count() < 2 || together.abs() < WORTH_NAMING {
        return String::new();
    }
    let side = if together > 0.0 { first } else { second };
    let which = if named.is_empty() { "All together" } else { "The others together" };
    format!("{which}, {} clues, say {} for {side}. ", others().count(), odds_in_words(together))
}

fn named(calibration: &Calibration, entry: &PeriodEntry) -> String {
    let catalogue = calibration.catalogue();
    let reading = text_in_words(catalogue, &entry.clue, &entry.reading);
    format!("{} ({reading}: {})", catalogue.name_of(&entry.clue), odds_in_words(entry.decibans))
}

fn percent(probability: f64) -> String {
    let percent = 100.0 * probability;
    match percent {
        ..0.01 => "less than 0.01 %".to_owned(),
        ..1.0 => format!("{percent:.2} %"),
        _ => format!("{percent:.0} %"),
    }
}
