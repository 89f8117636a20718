//! The answer for one club as text.

use crate::terminal::like_text::like_text;
use crate::terminal::page::{Page, WIDE_ENOUGH, kept_together};
use crate::words::adjusting::adjusting_sentences;
use crate::words::after_the_years::{SMALL_SHARE, after_sentence};
use crate::words::answered::Answered;
use crate::words::before::before_words;
use crate::words::chance::level_in_words;
use crate::words::date_line::date_line;
use crate::words::given_date::{given_sentence, is_not_borne_out};
use crate::words::grounds::grounds_sentences;
use crate::words::moves::signed;
use crate::words::out_of_step::out_of_step_message;
use crate::words::parts::replaced_message;
use crate::words::readings::reading_in_short;
use crate::words::sections::{Section, sections};
use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{OPINION, calibration_in_short, other_priors_message, prior_sentence};
use crate::words::unused::unused_messages;
use crate::words::warning_words::warning_message;
use crate::words::years::{answer_span, answer_year, row_name, short_words, span, spans};
use agewright_model::answer::draws::DrawnAnswer;
use agewright_model::answer::ledger::{LedgerEntry, LedgerMethod};
use agewright_model::answer::out_of_step::OutOfStep;
use agewright_model::evidence::usable::WhyUnused;
use agewright_model::questions::grounds::Grounds;
use agewright_model::{Asked, Axis, Band, Catalogue, Cell, Dating, Part, Warning};
use std::fmt::Write as _;

/// What to show.
pub struct DateText<'a> {
    /// One for each part, the head first.
    pub parts: &'a [Answered<'a>],
    /// A year before which the chance is told too.
    pub before: Option<i32>,
    /// Whether bits, weights and favoured years are shown.
    pub detail: bool,
    /// Whether the dated clubs most like it are listed.
    pub like: bool,
}

/// The answer for one club: its parts, and what they rest on.
#[must_use]
pub fn date_text(page: Page, shown: &DateText<'_>) -> String {
    let mut out = parts_text(page, shown, true);
    closing_lines(page, &mut out, shown);
    out
}

/// The answers for several clubs, one below another; how to read them, and what they rest on, stands once.
#[must_use]
pub fn accounts_text(page: Page, clubs: &[DateText<'_>]) -> String {
    let rule = format!("\n{}\n\n", "-".repeat(page.width()));
    let accounts = clubs.iter().enumerate().map(|(place, shown)| parts_text(page, shown, place == 0));
    let mut out = accounts.collect::<Vec<String>>().join(&rule);
    if let Some(first) = clubs.first() {
        closing_lines(page, &mut out, first);
    }
    out
}

/// The parts of a club; with `notes`, how to read the ledger.
fn parts_text(page: Page, shown: &DateText<'_>, notes: bool) -> String {
    let mut out = String::new();
    for (place, part) in shown.parts.iter().enumerate() {
        // Shaft and grip only where something was read of them.
        if place == 0 || was_read(&part.asked) {
            part_text(page, &mut out, shown, part, PartPlace { is_other: place > 0, notes: notes && place == 0 });
        }
    }
    out
}

/// Where a part stands on the page.
#[derive(Clone, Copy)]
struct PartPlace {
    /// Behind the first part of its club.
    is_other: bool,
    /// Whether how to read the ledger is told with it.
    notes: bool,
}

/// Whether anything was read of the part that was asked about.
fn was_read(asked: &Asked<'_>) -> bool {
    let read = asked.calibration().catalogue().read_on(asked.club());
    read.into_iter().any(|(clue, cell)| clue.part == asked.part() && *cell != Cell::NotExamined)
}

fn line(out: &mut String, text: &str) {
    let _ = writeln!(out, "{text}");
}

fn part_text(page: Page, out: &mut String, shown: &DateText<'_>, answered: &Answered<'_>, place: PartPlace) {
    let is_other = place.is_other;
    let Answered { asked, dating, .. } = answered;
    let part = if dating.part == Part::Head && !is_other { String::new() } else { format!(", {}", dating.part.word()) };
    if is_other {
        out.push('\n');
    }
    line(out, &page.wrapped(&format!("{}{part}: {}", asked.club().id, date_line(dating)), "  "));
    if let Some(title) = asked.club().text.get("title").filter(|_| !is_other) {
        line(out, &page.wrapped(title, ""));
    }
    if let Some(given) = answered.given.as_ref().filter(|_| !is_other) {
        line(out, &page.wrapped(&given_sentence(given), ""));
        if is_not_borne_out(given, dating) {
            line(out, &page.wrapped("Its clues do not bear that out: one of the two wants another look.", ""));
        }
    }
    out.push('\n');
    if let Some(message) = replaced_message(dating) {
        line(out, &page.wrapped(&message, ""));
    }
    if dating.has_evidence() {
        let axis = dating.posterior.axis();
        let bands: Vec<String> = dating.bands.iter().rev().map(|band| band_words(axis, band)).collect();
        line(out, &page.wrapped(&format!("Made: {}", bands.join("; ")), "      "));
        if let Some(drawn) = &dating.drawn {
            line(out, &page.wrapped(&drawn_words(axis, drawn, asked.calibration().shelf().is_some()), "      "));
        }
        line(out, &page.wrapped(&format!("By decade: {}", decades(dating)), "      "));
    } else {
        let none = "No clue of date could be used: what is known here is the prior alone.";
        line(out, &page.wrapped(none, ""));
    }
    if let Some(before) = shown.before {
        line(out, &page.wrapped(&before_words(dating, before), "  "));
    }
    let catalogue = asked.calibration().catalogue();
    for warning in answered.warnings.iter().filter(|warning| matches!(warning, Warning::TwoAnswers { .. })) {
        line(out, &format!("\n{}", page.wrapped(&warning_message(catalogue, warning), "")));
    }
    if dating.has_evidence() {
        out.push('\n');
        for sentence in grounds_sentences(answered, &Grounds::of(asked, dating)) {
            line(out, &page.wrapped(&sentence, "  "));
        }
    }
    warnings_text(page, out, answered);
    if dating.has_evidence() {
        ledger_text(page, out, shown, answered, place.notes);
    }
    unused_text(page, out, shown, answered);
    if shown.like {
        let _ = write!(out, "\n{}", like_text(page, asked));
    }
}

fn band_words(axis: Axis, band: &Band) -> String {
    kept_together(&format!("{} ({})", spans(axis, &band.intervals), level_in_words(band.level)))
}

/// How far the answer hangs on which clubs were in the collection.
fn drawn_words(axis: Axis, drawn: &DrawnAnswer, has_shelf: bool) -> String {
    let bands: Vec<String> = drawn.bands.iter().rev().map(|band| band_words(axis, band)).collect();
    let median = kept_together(&answer_span(axis, drawn.median.0, drawn.median.1));
    let held = if has_shelf { " of the tables; the dated clubs that vote stay" } else { "" };
    format!(
        "With other clubs in the collection ({} draws{held}): {}; middle year {median} in 4 draws of 5",
        drawn.n,
        bands.join("; ")
    )
}

fn decades(dating: &Dating) -> String {
    let mut rest = 0.0;
    let mut told = Vec::new();
    for (from, to, probability) in dating.posterior.by_row() {
        // Small ones are summed up.
        if probability < SMALL_SHARE {
            rest += probability;
            continue;
        }
        let name = row_name(from, to, dating.posterior.axis().step());
        told.push(kept_together(&format!("{name} {:.0} %", 100.0 * probability)));
    }
    let after = dating.posterior.after();
    if after >= SMALL_SHARE {
        let name = answer_year(dating.posterior.axis(), dating.posterior.latest());
        told.push(kept_together(&format!("{name} {:.0} %", 100.0 * after)));
    } else {
        rest += after;
    }
    if rest >= 0.005 {
        told.push(kept_together(&format!("all others {:.0} %", 100.0 * rest)));
    }
    told.join(", ")
}

fn ledger_text(page: Page, out: &mut String, shown: &DateText<'_>, answered: &Answered<'_>, notes: bool) {
    let (dating, ledger) = (&answered.dating, &answered.dating.ledger);
    line(
        out,
        &format!("\n{}", page.wrapped("Ledger: how far each clue moved the average year (+ later, - earlier)", "  ")),
    );
    let all_right = [2, 3, 4, 5];
    let has_detail = shown.detail && !page.is_narrow();
    let (headings, right): (&[&str], &[usize]) = match (shown.detail, page.is_narrow()) {
        (true, false) => (&["Clue", "Reading", "Years", "Bits", "Weight", "Misread", "Without", "Favours"], &all_right),
        (false, false) => (&["Clue", "Reading", "Years", "Misread", "Without it"], &all_right[..2]),
        (_, true) => (&["Clue", "Reading", "Years"], &all_right[..1]),
    };
    // A narrow page drops the last columns.
    let rows = ledger_rows(answered, has_detail).into_iter().map(|mut row| {
        row.truncate(headings.len());
        row
    });
    line(out, &page.table(headings, rows.collect(), right));
    if notes && page.is_narrow() {
        let note = format!(
            "The chance of misreading and the answer without each clue stand on a page of {WIDE_ENOUGH} columns or \
             more."
        );
        line(out, &page.wrapped(&note, "  "));
    } else if notes && !shown.detail {
        line(out, "Misread: chance of a mistake or later work. Without it: middle year (4 in 5).");
    }
    if ledger.entries.iter().any(|entry| entry.adjusts) {
        let note = "* No sign of the date by itself: what it moves, it moves through other clues.";
        line(out, &page.wrapped(note, "  "));
    }
    for sentence in adjusting_sentences(answered).iter().filter(|_| shown.detail) {
        line(out, &page.wrapped(sentence, "  "));
    }
    if let LedgerMethod::Orders(orders) = ledger.method {
        let worst = ledger.entries.iter().filter_map(|e| e.standard_error).map(|e| e[0]).fold(0.0, f64::max);
        let text = format!(
            "Too much for all sets of clues: averaged over {orders} orders, standard error at most {worst:.2} years."
        );
        line(out, &page.wrapped(&text, ""));
    }
    if dating.has_two_answers() {
        let text = format!("The average year {:.1} is that of all answers together, and no date.", ledger.closing);
        line(out, &page.wrapped(&text, ""));
    }
    if let Some(sentence) = after_sentence(dating) {
        line(out, &page.wrapped(&sentence, "  "));
    }
}

/// Rows of the ledger: before any clue, the clues of each part, with all clues.
fn ledger_rows(answered: &Answered<'_>, detail: bool) -> Vec<Vec<String>> {
    let (dating, ledger) = (&answered.dating, &answered.dating.ledger);
    let catalogue = answered.asked.calibration().catalogue();
    let mut rows = vec![edge_row("Before any clue", ledger.opening, ledger.opening_bits, detail)];
    for Section { heading, entries, .. } in sections(catalogue, dating) {
        rows.extend(heading.map(|heading| {
            let mut row = vec![String::new(); if detail { 8 } else { 5 }];
            heading.clone_into(&mut row[0]);
            row
        }));
        rows.extend(entries.into_iter().map(|entry| entry_row(catalogue, entry, detail)));
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
        row.extend([format!("{:+.2}", entry.bits), format!("{:.2}", entry.weight)]);
    }
    row.push(format!("{:.0} %", 100.0 * entry.misread));
    if detail {
        row.push(answer_year(catalogue.axis(), entry.without.median));
        row.push(entry.favours.map_or_else(|| "-".to_owned(), |(from, to)| span(from, to)));
    } else {
        row.push(short_words(catalogue.axis(), &entry.without));
    }
    row
}

fn warnings_text(page: Page, out: &mut String, answered: &Answered<'_>) {
    let catalogue = answered.asked.calibration().catalogue();
    let odd = |warning: &Warning| matches!(warning, Warning::OutOfStep(_));
    let first_odd = answered.warnings.iter().position(odd);
    for (place, warning) in answered.warnings.iter().enumerate() {
        match warning {
            // All in one sentence, where the first stands.
            Warning::OutOfStep(_) if Some(place) == first_odd => {
                let all: Vec<&OutOfStep> = answered.dating.out_of_step.iter().collect();
                line(out, &page.wrapped(&out_of_step_message(catalogue, &all), "  "));
            }
            Warning::BeyondTheCollection(_)
            | Warning::Conflict(_)
            | Warning::WitnessesApart(_)
            | Warning::OneForAll(_)
            | Warning::NoClubNear(_)
            | Warning::SeeASpecialist(_)
            | Warning::Number(_)
            | Warning::Trap { .. } => line(out, &page.wrapped(&warning_message(catalogue, warning), "  ")),
            // Told above, with the readings that do not count, and with what the answer rests on.
            Warning::OutOfStep(_)
            | Warning::TwoAnswers { .. }
            | Warning::NoTable(_)
            | Warning::NoCollection
            | Warning::Notice(_) => {}
        }
    }
}

/// Readings that gave no evidence; what describes the club is expected to give none, and told with the detail only.
fn unused_text(page: Page, out: &mut String, shown: &DateText<'_>, answered: &Answered<'_>) {
    let notes: Vec<String> = unused_messages(answered.asked.calibration().catalogue(), &answered.dating.unused)
        .into_iter()
        .filter(|(why, _)| shown.detail || *why != WhyUnused::Adjusts)
        .map(|(_, message)| page.wrapped(&message, "  "))
        .collect();
    if !notes.is_empty() {
        line(out, &format!("\n{}", notes.join("\n")));
    }
}

fn closing_lines(page: Page, out: &mut String, shown: &DateText<'_>) {
    let Some(Answered { asked, dating, .. }) = shown.parts.first() else { return };
    let calibration = asked.calibration();
    out.push('\n');
    let prior = page.wrapped(&prior_sentence(calibration, dating, shown.detail), "  ");
    if !shown.detail {
        line(out, &prior);
        if let Some(lag) = lag_sentence(asked).filter(|_| asked.is_from_elsewhere()) {
            line(out, &page.wrapped(&lag, "  "));
        }
        line(out, &page.wrapped(&calibration_in_short(calibration), "  "));
        line(out, &page.wrapped(OPINION, ""));
        return;
    }
    if dating.has_evidence() {
        let columns = "Misread: the chance that the reading is mistaken or later work. Without: the middle year with \
                       that clue left out. Bits: by how much the clue narrowed the answer (one bit halves the years, - \
                       widens): \
                       before, less all entries, is after. Weight: at 0.6 a clue counts for six tenths, because it \
                       repeats what others say; above 1, its table is milder than the clue deserves. Favours: the \
                       ends of the shortest set of years with half of the clue's own likelihood.";
        line(out, &page.wrapped(columns, "  "));
    }
    line(out, &prior);
    if let Some(others) = other_priors_message(calibration, dating).filter(|_| dating.has_evidence()) {
        line(out, &page.wrapped(&format!("Other priors: {others}."), "  "));
    }
    out.push_str(&page.answer_lines(asked));
}
