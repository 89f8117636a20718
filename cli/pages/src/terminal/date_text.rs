//! The answer for one club as text.

use crate::terminal::ledger_text::{LedgerColumns, ledger_text};
use crate::terminal::like_text::like_text;
use crate::terminal::page::{Page, kept_together};
use crate::words::after_the_years::SMALL_SHARE;
use crate::words::answered::Answered;
use crate::words::before::before_words;
use crate::words::chance::level_in_words;
use crate::words::date_line::date_line;
use crate::words::given_date::given_sentence;
use crate::words::grounds::grounds_sentences;
use crate::words::out_of_step::out_of_step_message;
use crate::words::parts::replaced_message;
use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{OPINION, calibration_in_short, other_priors_message, prior_sentence, prior_words};
use crate::words::undated::no_clue_of_date;
use crate::words::unused::unused_messages;
use crate::words::warning_words::warning_message;
use crate::words::years::{answer_span, answer_year, row_name, spans};
use agewright_model::answer::draws::DrawnAnswer;
use agewright_model::answer::out_of_step::OutOfStep;
use agewright_model::evidence::usable::WhyUnused;
use agewright_model::questions::grounds::Grounds;
use agewright_model::questions::overview::is_not_borne_out;
use agewright_model::{Axis, Band, Dating, Part, Warning};
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

/// An answer for the head has so many lines at the most, where its small moves can share one.
const ANSWER_LINES: usize = 40;
/// Of them what it rests on takes so many.
const CLOSING_LINES: usize = 6;

/// The answer for one club: its parts, and what they rest on.
#[must_use]
pub fn date_text(page: Page, shown: &DateText<'_>) -> String {
    let mut out = parts_text(page, shown, true);
    closing_lines(page, &mut out, shown, true);
    out
}

/// The answers for several clubs, one below another; how to read them, and what they rest on, stands once.
#[must_use]
pub fn accounts_text(page: Page, clubs: &[DateText<'_>]) -> String {
    let rule = format!("\n{}\n\n", "-".repeat(page.width()));
    let accounts = clubs.iter().enumerate().map(|(place, shown)| parts_text(page, shown, place == 0));
    let mut out = accounts.collect::<Vec<String>>().join(&rule);
    if let Some(first) = clubs.first() {
        closing_lines(page, &mut out, first, clubs.len() == 1);
    }
    out
}

/// The parts of a club; with `notes`, how to read the ledger.
fn parts_text(page: Page, shown: &DateText<'_>, notes: bool) -> String {
    let mut out = String::new();
    for (place, part) in shown.parts.iter().enumerate() {
        // Shaft and grip only where something was read of them.
        let Answered { asked, .. } = part;
        if place == 0 || asked.calibration().catalogue().was_looked_at(asked.club(), asked.part()) {
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
        let none = no_clue_of_date(dating);
        line(out, &page.wrapped(&none, ""));
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
        // An answer is seen at once; a narrow page scrolls anyhow.
        let is_short = !is_other && !shown.detail && !page.is_narrow();
        let room = is_short.then(|| ANSWER_LINES.saturating_sub(out.lines().count() + 1 + CLOSING_LINES));
        let columns = LedgerColumns { detail: shown.detail, notes: place.notes, room };
        let _ = write!(out, "\n{}", ledger_text(page, answered, columns));
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
            | Warning::CannotBoth { .. }
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

/// What all accounts rest on; what other priors would say is told of one club alone.
fn closing_lines(page: Page, out: &mut String, shown: &DateText<'_>, is_one: bool) {
    let Some(Answered { asked, dating, .. }) = shown.parts.first() else { return };
    let calibration = asked.calibration();
    out.push('\n');
    let prior = if is_one {
        prior_sentence(calibration, dating, shown.detail)
    } else {
        format!(
            "Prior (how clubs are spread over the years before any clue): {}.",
            prior_words(calibration, &dating.prior)
        )
    };
    let prior = page.wrapped(&prior, "  ");
    if !shown.detail {
        line(out, &prior);
        if let Some(lag) = lag_sentence(asked).filter(|_| asked.is_from_elsewhere()) {
            line(out, &page.wrapped(&lag, "  "));
        }
        line(out, &page.wrapped(&calibration_in_short(calibration), "  "));
        line(out, &page.wrapped(OPINION, ""));
        return;
    }
    // A narrow page has no such columns.
    if dating.has_evidence() && !page.is_narrow() {
        let columns = "Misread: the chance that the reading is mistaken or later work. Without: the middle year with \
                       that clue left out. Bits: by how much the clue narrowed the answer (one bit halves the years, - \
                       widens): \
                       before, less all entries, is after. Weight: at 0.6 a clue counts for six tenths, because it \
                       repeats what others say; above 1, its table is milder than the clue deserves. Favours: the \
                       ends of the shortest set of years with half of the clue's own likelihood.";
        line(out, &page.wrapped(columns, "  "));
    }
    line(out, &prior);
    if let Some(others) = other_priors_message(calibration, dating).filter(|_| is_one && dating.has_evidence()) {
        line(out, &page.wrapped(&format!("Other priors: {others}."), "  "));
    }
    out.push_str(&page.answer_lines(asked));
}
