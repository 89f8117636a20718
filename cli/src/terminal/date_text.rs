//! The answer for one club as text.

use super::messages::{
    clue_name, conflict_message, other_priors_message, out_of_step_message, part_of, prior_words, replaced_message,
    section_of, source_lines, specialist_message, two_answers_message, unused_messages,
};
use super::page::{kept_together, row_name, signed, table, wrapped};
use super::traps::cautions;
use crate::wording::{date_line, in_a_hundred, in_words, level_in_words, span, year};
use agewright_model::{
    Calibration, Cell, Club, Dating, DrawnAnswer, LedgerEntry, LedgerMethod, Part, Prior, WhyUnused,
};
use std::fmt::Write as _;

/// What to show.
pub struct DateText<'a> {
    pub calibration: &'a Calibration,
    pub club: &'a Club,
    /// One for each part, the head first.
    pub datings: &'a [Dating],
    pub before: Option<i32>,
    pub detail: bool,
}

/// Decades with less than this share are summed up.
const SMALL_SHARE: f64 = 0.015;

/// Text of at most 80 columns.
pub fn date_text(shown: &DateText<'_>) -> String {
    let mut out = String::new();
    for (place, dating) in shown.datings.iter().enumerate() {
        // Shaft and grip only where something was read of them.
        if place > 0 && !was_read(shown, dating) {
            continue;
        }
        part_text(&mut out, shown, dating, place > 0);
    }
    closing_lines(&mut out, shown);
    out
}

/// Whether anything was read of a part.
fn was_read(shown: &DateText<'_>, dating: &Dating) -> bool {
    let clues = shown.calibration.catalogue.clues.iter().zip(&shown.club.cells);
    clues.into_iter().any(|(clue, cell)| clue.part == dating.part && *cell != Cell::NotExamined)
}

fn line(out: &mut String, text: &str) {
    let _ = writeln!(out, "{text}");
}

fn part_text(out: &mut String, shown: &DateText<'_>, dating: &Dating, is_other: bool) {
    let part = if dating.part == Part::Head && !is_other { String::new() } else { format!(", {}", dating.part.word()) };
    if is_other {
        out.push('\n');
    }
    line(out, &wrapped(&format!("{}{part}: {}", shown.club.id, date_line(dating)), "  "));
    if let Some(title) = shown.club.text.get("title").filter(|_| !is_other) {
        line(out, &wrapped(title, ""));
    }
    out.push('\n');
    if let Some(message) = replaced_message(dating) {
        line(out, &message);
    }
    if dating.has_evidence() {
        let bands: Vec<String> = dating.bands.iter().rev().map(band_words).collect();
        line(out, &wrapped(&format!("Made: {}", bands.join("; ")), "      "));
        if let Some(drawn) = &dating.drawn {
            line(out, &wrapped(&drawn_words(drawn), "      "));
        }
        line(out, &wrapped(&format!("By decade: {}", decades(dating, shown.calibration)), "      "));
    } else {
        line(out, "No clue of date could be used: what is known here is the prior alone.");
    }
    if let Some(before) = shown.before {
        let chance = dating.posterior.probability_before(before);
        line(out, &format!("Made before {}: {} ({})", year(before), in_a_hundred(chance), in_words(chance)));
    }
    if let Some(message) = two_answers_message(dating) {
        line(out, &format!("\n{}", wrapped(&message, "")));
    }
    if dating.has_evidence() {
        ledger_text(out, shown, dating);
    }
    warnings_text(out, shown, dating);
}

fn band_words(band: &agewright_model::Band) -> String {
    let spans: Vec<String> = band.intervals.iter().map(|piece| span(piece.from, piece.to)).collect();
    kept_together(&format!("{} ({})", spans.join(" or "), level_in_words(band.level)))
}

/// How far the answer hangs on which clubs were in the collection.
fn drawn_words(drawn: &DrawnAnswer) -> String {
    let bands: Vec<String> = drawn.bands.iter().rev().map(band_words).collect();
    let median = kept_together(&span(drawn.median.0, drawn.median.1));
    format!(
        "With other clubs in the collection ({} draws): {}; middle year {median} in 4 draws of 5",
        drawn.n,
        bands.join("; ")
    )
}

fn decades(dating: &Dating, calibration: &Calibration) -> String {
    let mut rest = 0.0;
    let mut told = Vec::new();
    for (from, to, probability) in dating.posterior.by_row() {
        if probability < SMALL_SHARE {
            rest += probability;
            continue;
        }
        let name = row_name(from, to, calibration.catalogue.axis.step());
        told.push(kept_together(&format!("{name} {:.0} %", 100.0 * probability)));
    }
    if rest >= 0.005 {
        told.push(kept_together(&format!("all others {:.0} %", 100.0 * rest)));
    }
    told.join(", ")
}

fn ledger_text(out: &mut String, shown: &DateText<'_>, dating: &Dating) {
    let ledger = &dating.ledger;
    line(out, "\nLedger: how far each clue moved the average year (+ later, - earlier)\n");
    let mut rows = vec![edge_row("Before any clue", ledger.opening, ledger.opening_bits, shown.detail)];
    for part in Part::ALL {
        let mut entries = ledger.by_size();
        entries.retain(|entry| part_of(shown.calibration, &entry.clue) == Some(part));
        if part != dating.part && !entries.is_empty() {
            let mut heading = vec![String::new(); if shown.detail { 8 } else { 5 }];
            section_of(part).clone_into(&mut heading[0]);
            rows.push(heading);
        }
        rows.extend(entries.into_iter().map(|entry| entry_row(shown, entry)));
    }
    rows.push(edge_row("With all clues", ledger.closing, ledger.closing_bits, shown.detail));
    let (headings, right): (&[&str], &[usize]) = if shown.detail {
        (&["Clue", "Reading", "Years", "Bits", "Weight", "Misread", "Without", "Favours"], &[2, 3, 4, 5])
    } else {
        (&["Clue", "Reading", "Years", "Misread", "Without it"], &[2, 3])
    };
    line(out, &table(headings, rows, right));
    let adjusting: Vec<String> =
        ledger.entries.iter().filter(|e| e.adjusts).map(|e| clue_name(shown.calibration, &e.clue)).collect();
    if !adjusting.is_empty() {
        let text =
            format!("No evidence of date by themselves, these move it through other clues: {}.", adjusting.join("; "));
        line(out, &format!("\n{}", wrapped(&text, "  ")));
    }
    if let LedgerMethod::Orders(orders) = ledger.method {
        let worst = ledger.entries.iter().filter_map(|e| e.standard_error).map(|e| e[0]).fold(0.0, f64::max);
        let text = format!(
            "Too many clues for all sets: averaged over {orders} orders, standard error at most {worst:.2} years."
        );
        line(out, &wrapped(&text, ""));
    }
    let median = year(dating.posterior.median());
    let closing = if two_answers_message(dating).is_some() {
        format!("average year {:.1}, middle year {median}: neither is a date, see above", ledger.closing)
    } else {
        format!("average year {:.1}; the date line uses the middle year, {median}", ledger.closing)
    };
    line(out, &format!("\n{closing}"));
}

fn edge_row(name: &str, mean: f64, bits: f64, detail: bool) -> Vec<String> {
    let mut row = vec![name.to_owned(), String::new(), format!("{mean:.1}")];
    if detail {
        row.extend([format!("{bits:.2}"), String::new()]);
    }
    row.resize(if detail { 8 } else { 5 }, String::new());
    row
}

fn entry_row(shown: &DateText<'_>, entry: &LedgerEntry) -> Vec<String> {
    let mut row =
        vec![clue_name(shown.calibration, &entry.clue), entry.reading.replace('|', " | "), signed(entry.years)];
    if shown.detail {
        row.extend([format!("{:+.2}", entry.bits), format!("{:.2}", entry.weight)]);
    }
    row.push(format!("{:.0} %", 100.0 * entry.misread));
    if shown.detail {
        row.push(year(entry.without.median));
        row.push(entry.favours.map_or_else(|| "-".to_owned(), |(from, to)| span(from, to)));
    } else {
        row.push(format!("{} ({})", year(entry.without.median), span(entry.without.from, entry.without.to)));
    }
    row
}

fn warnings_text(out: &mut String, shown: &DateText<'_>, dating: &Dating) {
    let calibration = shown.calibration;
    if let Some(message) = conflict_message(dating) {
        line(out, &format!("\n{}", wrapped(&message, "  ")));
    }
    for clue in &dating.out_of_step {
        line(out, &format!("\n{}", wrapped(&out_of_step_message(calibration, clue), "  ")));
    }
    let told = cautions(calibration, shown.club, dating.part);
    if !told.is_empty() {
        line(out, "\nMind");
        for caution in told {
            line(out, &wrapped(&format!("- {}", caution.message), "  "));
        }
    }
    if let Some(message) = specialist_message(calibration, shown.club, dating) {
        line(out, &format!("\n{}", wrapped(&message, "  ")));
    }
    // What describes the club is expected to give no evidence: told with --detail only.
    let notes: Vec<String> = unused_messages(calibration, &dating.unused)
        .into_iter()
        .filter(|(why, _)| shown.detail || *why != WhyUnused::Adjusts)
        .map(|(_, message)| wrapped(&message, "  "))
        .collect();
    if !notes.is_empty() {
        line(out, &format!("\n{}", notes.join("\n")));
    }
}

fn closing_lines(out: &mut String, shown: &DateText<'_>) {
    let Some(dating) = shown.datings.first() else { return };
    out.push('\n');
    if dating.has_evidence() {
        let without =
            if shown.detail { "Without: the middle year" } else { "Without it: the middle year and the 4-in-5 span" };
        let misread = format!(
            "Misread: the chance that the reading is mistaken or later work. {without} with that clue left out."
        );
        line(out, &wrapped(&misread, "  "));
        if shown.detail {
            let detail = "Bits: by how much the clue narrowed the answer (- where it widened it): before, less all entries, is after. Weight: at 0.6 a clue counts for six tenths, because it repeats what others say; above 1, its table is milder than the clue deserves. Favours: the ends of the shortest set of years with half of the clue's own likelihood.";
            line(out, &wrapped(detail, "  "));
        }
    }
    let prior = if dating.prior == Prior::FLAT {
        "Prior: flat, every year alike; many more clubs survive from late years than from early ones.".to_owned()
    } else {
        let name = prior_words(&dating.prior);
        format!("Prior: {name}; under the flat prior the middle year would be {}.", year(dating.flat_median))
    };
    line(out, &wrapped(&prior, "  "));
    if let Some(others) = other_priors_message(shown.calibration, dating).filter(|_| dating.has_evidence()) {
        line(out, &wrapped(&format!("Other priors: {others}."), "  "));
    }
    out.push_str(&source_lines(shown.calibration));
}
