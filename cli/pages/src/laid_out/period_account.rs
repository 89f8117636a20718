//! Why one period and not another.

use crate::words::after_the_years::share_after;
use crate::words::moves::signed;
use crate::words::odds::odds_in_words;
use crate::words::readings::{reading_in_short, text_in_words};
use crate::words::years::period_name;
use agewright_model::answer::ledger::LedgerMethod;
use agewright_model::questions::why_not::PeriodEntry;
use agewright_model::{Asked, Calibration, PeriodAccount};
use serde::Serialize;
use std::fmt::Write as _;

/// Weights below this, in decibans, are not named in the closing sentence (a factor of 1.25).
const WORTH_NAMING: f64 = 1.0;

/// The account of two periods in rows and sentences.
#[derive(Debug, Serialize)]
pub struct LaidOutPeriods {
    /// The period that is asked about, and the one that it is weighed against.
    pub periods: [String; 2],
    /// The prior, then the clues, those of the largest weight first.
    pub rows: Vec<PeriodRow>,
    /// Decibans with all clues.
    pub total: String,
    /// The same in words, as those of a row.
    pub says: String,
    /// What decibans are.
    pub gloss: &'static str,
    /// How far the weights may be off, where orders were drawn.
    pub drawn: Option<String>,
    /// The account in a sentence or two.
    pub closing: String,
    /// How long the periods are, where that differs.
    pub lengths: Option<String>,
    /// The chance of neither.
    pub after: Option<String>,
}

/// What a clue says between the two.
#[derive(Debug, Serialize)]
pub struct PeriodRow {
    /// The clue.
    pub clue: String,
    /// What was read.
    pub reading: String,
    /// Its decibans, + for the first.
    pub decibans: String,
    /// The sum of decibans down to this row.
    pub so_far: String,
    /// The same in words, `4 to one for the 1850s`.
    pub says: String,
    /// `for` the first period or `against` it.
    pub side: &'static str,
    /// Length of its bar, in parts of a hundred of the longest.
    pub bar: u32,
}

impl LaidOutPeriods {
    /// Of an account.
    #[must_use]
    pub fn of(asked: &Asked<'_>, account: &PeriodAccount) -> Self {
        let catalogue = asked.calibration().catalogue();
        let periods = account.periods.map(|(from, to)| period_name(from, to));
        let weights = account.entries.iter().map(|entry| entry.decibans).chain([account.base_rate]);
        let longest = weights.map(f64::abs).fold(0.0, f64::max);
        let row = |clue: String, reading: String, decibans: f64, so_far: f64| PeriodRow {
            clue,
            reading,
            decibans: signed(decibans),
            so_far: signed(so_far),
            says: side_in_words(decibans, &periods),
            side: if decibans > 0.0 { "for" } else { "against" },
            bar: bar(decibans.abs(), longest),
        };
        let mut so_far = account.base_rate;
        let mut rows = vec![row("Base rate (the prior)".to_owned(), String::new(), so_far, so_far)];
        for entry in account.by_size() {
            so_far += entry.decibans;
            let reading = reading_in_short(catalogue, &entry.clue, &entry.reading);
            rows.push(row(catalogue.name_of(&entry.clue), reading, entry.decibans, so_far));
        }
        let drawn = match account.method {
            LedgerMethod::Orders(orders) => {
                let worst = account.entries.iter().filter_map(|entry| entry.standard_error).fold(0.0, f64::max);
                Some(format!("Averaged over {orders} orders of the clues, standard error at most {worst:.2} decibans."))
            }
            LedgerMethod::Exact => None,
        };
        let [one, other] = account.periods.map(|(from, to)| to - from + 1);
        let [first, second] = &periods;
        Self {
            rows,
            total: signed(account.total),
            says: side_in_words(account.total, &periods),
            gloss: "Decibans: 3 are 2 to one, 10 are 10 to one, 20 are 100 to one.",
            drawn,
            closing: closing(asked.calibration(), account, &periods),
            lengths: (one != other)
                .then(|| format!("Years: {first} {one}, {second} {other}; the base rate counts that.")),
            after: share_after(asked.axis(), account.after)
                .map(|after| format!("In neither period, by all clues: after {after}.")),
            periods,
        }
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 100")]
fn bar(length: f64, longest: f64) -> u32 {
    if longest > 0.0 { (100.0 * length / longest).round() as u32 } else { 0 }
}

/// Odds and which of the two they are for.
fn side_in_words(decibans: f64, periods: &[String; 2]) -> String {
    let odds = odds_in_words(decibans);
    match odds.as_str() {
        "about even" => odds,
        _ => format!("{odds} for {}", periods[usize::from(decibans <= 0.0)]),
    }
}

/// The account as a sentence or two.
fn closing(calibration: &Calibration, account: &PeriodAccount, periods: &[String; 2]) -> String {
    let [first, second] = periods;
    let mut text = format!(
        "Before any clue the odds are {}; with all of them, {}. ",
        side_in_words(account.base_rate, periods),
        side_in_words(account.total, periods)
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
    text.push_str(&the_others(account, &[against, in_favour].concat(), periods));
    let _ = write!(
        text,
        "In the whole answer the chance of {first} is {} and that of {second} {}.",
        percent(account.probability[0]),
        percent(account.probability[1])
    );
    text
}

/// What all clues that are not named say together, where that is worth naming and there are several.
fn the_others(account: &PeriodAccount, named: &[&PeriodEntry], periods: &[String; 2]) -> String {
    let is_named = |entry: &&PeriodEntry| named.iter().any(|named| named.clue == entry.clue);
    let others = || account.entries.iter().filter(|entry| !is_named(entry));
    let together: f64 = others().map(|entry| entry.decibans).sum();
    if others().count() < 2 || together.abs() < WORTH_NAMING {
        return String::new();
    }
    let which = if named.is_empty() { "All together" } else { "The others together" };
    format!("{which}, {} clues, say {}. ", others().count(), side_in_words(together, periods))
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
