//! What a page says of one part of a club.

use super::facts::Known;
use super::plain_words::{moved, reading_in_words, side, within_a_sentence};
use crate::charts::{posterior_figure, with_words};
use crate::failure::Failure;
use crate::terminal::{
    cautions, clue_name, conflict_message, out_of_step_message, part_of, replaced_message, row_name, section_of,
    signed, specialist_message, two_answers_message, unused_messages,
};
use crate::wording::{date_line, in_a_hundred, in_words, level_in_words, percent, span, stands_for, year};
use agewright_model::{Cell, Clue, Dating, LedgerEntry, Part, Sensitivity, WithoutClue};
use serde::Serialize;

/// One part of the club as dated.
#[derive(Debug, Serialize)]
pub struct PartFacts {
    pub part: &'static str,
    pub date_line: String,
    pub stands_for: String,
    pub has_evidence: bool,
    pub bands: Vec<BandFacts>,
    pub decades: Vec<(String, String)>,
    /// The posterior as SVG, for a wide page and for a narrow one.
    pub figure_wide: String,
    pub figure_narrow: String,
    pub figure_key: String,
    pub mean: String,
    pub median: String,
    pub opening: String,
    pub closing: String,
    pub sentences: Vec<String>,
    pub entries: Vec<EntryFacts>,
    pub adjusting: Vec<String>,
    pub conflicts: Vec<String>,
    pub two_answers: Option<String>,
    /// How likely it is a later shaft or grip.
    pub replaced: Option<String>,
    /// The same in a few words for short pages, where it is more likely than not.
    pub later: Option<String>,
    pub unused: Vec<String>,
    /// What the readings call for: traps, and what numbers of registers prove.
    pub cautions: Vec<String>,
    pub all_median: String,
    pub all_span: String,
    pub without: Vec<ChangeFacts>,
    pub priors: Vec<ChangeFacts>,
}

#[derive(Debug, Serialize)]
pub struct BandFacts {
    pub level: &'static str,
    pub years: String,
}

#[derive(Debug, Serialize)]
pub struct EntryFacts {
    /// The part that the clue dates.
    pub part: &'static str,
    /// Speaks for the answer: moves it the way that all clues together do, and is borne out by them.
    pub supports: bool,
    /// Heading above the first entry of another part.
    pub section: Option<&'static str>,
    pub clue: String,
    pub reading: String,
    pub years: String,
    pub moved: String,
    pub side: &'static str,
    /// Length of the bar, in parts of a hundred of the longest.
    pub bar: u32,
    pub misread: String,
    pub without: String,
    pub adjusts: bool,
}

/// The answer under one change of what it hangs on.
#[derive(Debug, Serialize)]
pub struct ChangeFacts {
    pub what: String,
    pub median: String,
    pub change: String,
    pub span: String,
}

/// Moves below this are told together.
const SMALL_MOVE: f64 = 0.5;
/// So many moves are told in words; the ledger has them all.
const MOST_TOLD: usize = 6;
/// Decades with less than this chance are not listed.
const SMALL_SHARE: f64 = 0.005;
/// Widths of the figures in pixels.
const WIDE: i32 = 860;
const NARROW: i32 = 400;

fn spans(band: &agewright_model::Band) -> String {
    band.intervals.iter().map(|piece| span(piece.from, piece.to)).collect::<Vec<_>>().join(" or ")
}

/// Facts of a part as dated, and of what its date hangs on.
pub fn part_facts(known: &Known<'_>, dating: &Dating, sensitivity: &Sensitivity) -> Result<PartFacts, Failure> {
    let calibration = &known.loaded.calibration;
    let axis = calibration.catalogue.axis;
    let (ledger, part) = (&dating.ledger, dating.part);
    let figure = |width: i32| {
        let svg = posterior_figure(calibration, dating, width).map_err(Failure::Failed)?;
        let title = format!("When the {} of {} was made, by year", part.word(), known.club.id);
        Ok::<String, Failure>(with_words(&svg, &title, &format!("{}. {}", date_line(dating), stands_for(dating))))
    };
    let rows = dating.posterior.by_row();
    let decades = rows.iter().filter(|row| row.2 >= SMALL_SHARE);
    let two_answers = two_answers_message(dating);
    let steps = if axis.step() == 10 { "decade".to_owned() } else { format!("{} years", axis.step()) };
    let entries = if dating.has_evidence() { entries(known, dating) } else { Vec::new() };
    Ok(PartFacts {
        part: part.word(),
        date_line: date_line(dating),
        stands_for: stands_for(dating),
        has_evidence: dating.has_evidence(),
        bands: dating
            .bands
            .iter()
            .rev()
            .map(|band| BandFacts { level: level_in_words(band.level), years: spans(band) })
            .collect(),
        decades: decades.map(|row| (row_name(row.0, row.1, axis.step()), percent(row.2))).collect(),
        figure_wide: figure(WIDE)?,
        figure_narrow: figure(NARROW)?,
        figure_key: format!(
            "Columns: the chance of each {steps}. Line: the chance of each year, times {}. Strips above, from dark to light: \
             the bands that hold 1 in 2, 4 in 5 and 19 in 20{}.",
            axis.step(),
            if two_answers.is_some() { "" } else { "; the tick is the middle year" }
        ),
        mean: format!("{:.1}", dating.posterior.mean()),
        median: year(dating.posterior.median()),
        opening: format!("{:.1}", ledger.opening),
        closing: format!("{:.1}", ledger.closing),
        sentences: sentences(known, dating),
        adjusting: entries.iter().filter(|entry| entry.adjusts).map(|entry| entry.clue.clone()).collect(),
        entries,
        conflicts: conflict_message(dating)
            .into_iter()
            .chain(dating.out_of_step.iter().map(|odd| out_of_step_message(calibration, odd)))
            .chain(specialist_message(calibration, known.club, dating))
            .collect(),
        two_answers,
        replaced: replaced_message(dating),
        later: dating.replaced.filter(|chance| *chance >= 0.5).map(|chance| {
            format!("The {} is {} a later one ({}).", part.word(), in_words(chance), in_a_hundred(chance))
        }),
        unused: unused_messages(calibration, &dating.unused).into_iter().map(|(_, message)| message).collect(),
        cautions: cautions(calibration, known.club, part).into_iter().map(|caution| caution.message).collect(),
        all_median: year(sensitivity.all.median),
        all_span: span(sensitivity.all.from, sensitivity.all.to),
        without: sensitivity
            .clues
            .iter()
            .filter(|(_, answer)| answer != &sensitivity.all)
            .map(|(clue, answer)| {
                change(
                    format!("without {}", within_a_sentence(&clue_name(calibration, clue))),
                    answer,
                    &sensitivity.all,
                )
            })
            .collect(),
        priors: sensitivity
            .priors
            .iter()
            .map(|prior| {
                let used = if prior.chosen { " (used)" } else { "" };
                change(format!("prior {}{used}", prior.name), &prior.answer, &sensitivity.all)
            })
            .collect(),
    })
}

fn change(what: String, answer: &WithoutClue, all: &WithoutClue) -> ChangeFacts {
    let by = answer.median - all.median;
    ChangeFacts {
        what,
        median: year(answer.median),
        change: if by == 0 { "0".to_owned() } else { format!("{by:+}") },
        span: span(answer.from, answer.to),
    }
}

fn clue_of<'a>(known: &'a Known<'_>, id: &str) -> Option<(&'a Clue, &'a Cell)> {
    let catalogue = &known.loaded.calibration.catalogue;
    let ix = catalogue.clue_ix(id)?;
    Some((&catalogue.clues[ix], known.club.cells.get(ix)?))
}

fn entry_reading(known: &Known<'_>, entry: &LedgerEntry) -> String {
    match clue_of(known, &entry.clue) {
        Some((clue, Cell::Read(reading))) => reading_in_words(clue, reading),
        _ => entry.reading.clone(),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a hundred")]
fn entries(known: &Known<'_>, dating: &Dating) -> Vec<EntryFacts> {
    let calibration = &known.loaded.calibration;
    let longest = dating.ledger.entries.iter().map(|entry| entry.years.abs()).fold(1.0, f64::max);
    let mut told = Vec::new();
    for part in Part::ALL {
        let mut entries = dating.ledger.by_size();
        entries.retain(|entry| part_of(calibration, &entry.clue) == Some(part));
        let mut section = (part != dating.part).then(|| section_of(part));
        told.extend(entries.into_iter().map(|entry| EntryFacts {
            section: section.take(),
            part: part.word(),
            supports: entry.years * (dating.ledger.closing - dating.ledger.opening) > 0.0
                && dating.out_of_step.iter().all(|odd| odd.clue != entry.clue),
            clue: clue_name(calibration, &entry.clue),
            reading: entry_reading(known, entry),
            years: signed(entry.years),
            moved: moved(entry.years),
            side: side(entry.years),
            bar: (100.0 * entry.years.abs() / longest).round() as u32,
            misread: format!("{:.0} %", 100.0 * entry.misread),
            without: format!("{} ({})", year(entry.without.median), span(entry.without.from, entry.without.to)),
            adjusts: entry.adjusts,
        }));
    }
    told
}

/// The account in plain words, the largest moves first.
fn sentences(known: &Known<'_>, dating: &Dating) -> Vec<String> {
    let calibration = &known.loaded.calibration;
    let mut told = Vec::new();
    let mut small = 0;
    for entry in dating.ledger.by_size() {
        if entry.years.abs() < SMALL_MOVE || told.len() == MOST_TOLD {
            small += 1;
            continue;
        }
        let name = within_a_sentence(&clue_name(calibration, &entry.clue));
        let name = if entry.adjusts { format!("{name} (through other clues)") } else { name };
        told.push(format!("The {name}, {}, moved the estimate {}.", entry_reading(known, entry), moved(entry.years)));
    }
    match small {
        0 => {}
        1 => told.push("One more clue moved it less.".to_owned()),
        n => told.push(format!("{n} more clues moved it less; the ledger has them all.")),
    }
    if dating.part != Part::Head || dating.has_evidence() { told } else { Vec::new() }
}
