//! What a page says of one part of a club.

use crate::words::adjusting::adjusting_sentences;
use crate::words::after_the_years::after_sentence;
use crate::words::answered::Answered;
use crate::words::chance::level_in_words;
use crate::words::counted::counted;
use crate::words::date_line::date_line;
use crate::words::grounds::{grounds_sentences, n_sound, rests_on_prior};
use crate::words::label_date::stands_for;
use crate::words::like::{LikeWords, like_heading, like_words};
use crate::words::moves::{moved, side, signed};
use crate::words::out_of_step::out_of_step_message;
use crate::words::parts::{replaced_message, replacement_sentence};
use crate::words::readings::{text_in_words, within_a_sentence};
use crate::words::sections::{Section, before_any_clue, sections};
use crate::words::times_of_a_year::times_of_a_year;
use crate::words::undated::rests_on;
use crate::words::unused::unused_messages;
use crate::words::verbal::percent;
use crate::words::warning_words::warning_message;
use crate::words::years::{
    answer_year, change_of_median, middle_year, row_name, row_word, short_span, short_words, spans,
};
use crate::write_up::known::Known;
use crate::write_up::named_clues::{NamedClue, NamedClues, disputed, share_of_stamps};
use crate::write_up::page_error::PageError;
use agewright_model::answer::out_of_step::OutOfStep;
use agewright_model::questions::grounds::Grounds;
use agewright_model::questions::like::{LikeClub, Likeness};
use agewright_model::questions::sensitivity::{Sensitivity, WithPrior};
use agewright_model::{Axis, Band, Catalogue, Dating, Part, ShortAnswer, Warning};
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
    pub prior: String,
    pub opening: String,
    /// What the account opens with.
    pub before_any_clue: &'static str,
    pub closing: String,
    /// What speaks most for the years of the date line, and what against them.
    pub grounds: Vec<String>,
    /// The part's own clues that are named for them, but for those out of step with the rest.
    pub supports: Vec<NamedClue>,
    /// Clues out of step with the rest.
    pub odd: Vec<NamedClue>,
    /// What they lean on most, where that is itself in doubt.
    pub leans_on: Option<NamedClue>,
    /// Clues left out on request.
    pub left_out: Vec<String>,
    /// Whether one of those for them was left out as out of step.
    pub is_struck: bool,
    /// Whether no clue speaks for the years of the date line, by itself or with others.
    pub none_speaks: bool,
    /// How many sound clues speak for them, named or not.
    pub n_sound: usize,
    /// How much of what speaks for them is stamped on the club.
    pub share_of_stamps: f64,
    /// Whether all clues together hardly make the years likelier than they were.
    pub adds_little: bool,
    /// Whether its years are those of the prior, and no clue's.
    pub rests_on_prior: bool,
    pub sentences: Vec<String>,
    pub entries: Vec<EntryFacts>,
    pub adjusting: Vec<String>,
    /// The dated clubs most like it, each in a sentence or two, and what stands above their list.
    pub like: Vec<String>,
    pub like_heading: String,
    pub conflicts: Vec<String>,
    pub two_answers: Option<String>,
    /// How likely it is a later shaft or grip.
    pub replaced: Option<String>,
    /// The same in a few words for short pages, where it is more likely than not.
    pub later: Option<String>,
    /// What is told rests on where no clue of date could be used.
    pub rests_on: String,
    /// What the account leaves out: the years after the axis.
    pub after: Option<String>,
    /// Whether it is more likely than not of after the axis.
    pub is_after: bool,
    /// Readings that cannot both be right, each pair as `face scoring and regularity of the scoring`.
    pub disputed: Vec<String>,
    /// Whether its size and its make do.
    pub in_conflict: bool,
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
/// An effect on the chance of the years below this is none that a label tells of.
const LEAST_TOLD: f64 = 0.005;
/// Clues that add less than this to the chance of the years add little.
const ADDS_LITTLE: f64 = 0.05;
/// Decades with less than this chance are not listed.
const SMALL_SHARE: f64 = 0.005;
/// Widths of the figures in pixels.
const WIDE: i32 = 860;
const NARROW: i32 = 400;

/// Facts of a part as dated, and of what its date hangs on.
pub fn part_facts(
    known: &Known<'_>,
    answered: &Answered<'_>,
    sensitivity: &Sensitivity,
) -> Result<PartFacts, PageError> {
    let (dating, catalogue) = (&answered.dating, answered.asked.calibration().catalogue());
    let like = Likeness::of(&answered.asked);
    let (ledger, part, step) = (answered.ledger(), dating.part, catalogue.axis().step());
    let grounds = Grounds::of(&answered.asked, dating);
    let NamedClues { supports, odd, leans_on, left_out, is_struck } = NamedClues::of(answered, &grounds);
    let entries = if dating.has_evidence() { entries(answered) } else { Vec::new() };
    let two_answers = told(answered, |warning| matches!(warning, Warning::TwoAnswers { .. })).pop();
    Ok(PartFacts {
        part: part.word(),
        date_line: date_line(dating),
        stands_for: stands_for(dating),
        has_evidence: dating.has_evidence(),
        bands: bands(dating),
        decades: decades(dating, step),
        figure_wide: (known.figure)(dating, WIDE).map_err(PageError::Figure)?,
        figure_narrow: (known.figure)(dating, NARROW).map_err(PageError::Figure)?,
        figure_key: figure_key(dating, two_answers.is_some()),
        mean: format!("{:.1}", dating.posterior.mean()),
        median: answer_year(catalogue.axis(), dating.posterior.median()),
        prior: dating.prior.clone(),
        opening: format!("{:.1}", ledger.opening),
        before_any_clue: before_any_clue(dating),
        closing: format!("{:.1}", ledger.closing),
        rests_on_prior: dating.has_evidence() && rests_on_prior(answered, &grounds),
        grounds: grounds_sentences(answered, &grounds),
        supports,
        odd,
        leans_on,
        left_out,
        is_struck,
        none_speaks: none_speaks(&grounds),
        n_sound: n_sound(&grounds),
        share_of_stamps: share_of_stamps(catalogue, &grounds),
        adds_little: grounds.without_all > grounds.chance - ADDS_LITTLE,
        sentences: sentences(answered),
        adjusting: if entries.is_empty() { Vec::new() } else { adjusting_sentences(answered) },
        entries,
        like: like.iter().flat_map(|like| &like.nearest).map(|club| like_sentences(catalogue, club)).collect(),
        like_heading: like.as_ref().map(like_heading).unwrap_or_default(),
        conflicts: told(answered, is_of_the_answer).into_iter().chain(out_of_step_sentence(answered)).collect(),
        two_answers,
        replaced: replaced_message(dating),
        later: replacement_sentence(dating),
        rests_on: rests_on(dating),
        after: after_sentence(dating),
        is_after: dating.posterior.after() >= 0.5,
        disputed: disputed(answered),
        in_conflict: dating.conflict.is_some(),
        unused: unused_messages(catalogue, &dating.unused).into_iter().map(|(_, message)| message).collect(),
        cautions: told(answered, |warning| matches!(warning, Warning::Number(_) | Warning::Trap { .. })),
        all_median: middle_year(catalogue.axis(), &sensitivity.all),
        all_span: short_span(catalogue.axis(), &sensitivity.all),
        without: without(catalogue, sensitivity),
        priors: sensitivity.priors.iter().map(|prior| under(catalogue.axis(), prior, &sensitivity.all)).collect(),
    })
}

/// The bands, the widest first.
fn bands(dating: &Dating) -> Vec<BandFacts> {
    let axis = dating.posterior.axis();
    let told = |band: &Band| BandFacts { level: level_in_words(band.level), years: spans(axis, &band.intervals) };
    dating.bands.iter().rev().map(told).collect()
}

/// A dated club laid beside it: what differs is what one looks at.
fn like_sentences(catalogue: &Catalogue, club: &LikeClub) -> String {
    let LikeWords { heading, agrees, differs, unread } = like_words(catalogue, club);
    let listed = |list: &[String]| if list.is_empty() { "nothing".to_owned() } else { list.join("; ") };
    let unread = if unread.is_empty() { String::new() } else { format!(" Not read there: {}.", unread.join("; ")) };
    format!("{heading}. Agrees in {}. Differs in {}.{unread}", counted(agrees.len(), "clue", "clues"), listed(&differs))
}

/// Whether a warning is about the answer as a whole; others stand with what they are about.
fn is_of_the_answer(warning: &Warning) -> bool {
    matches!(
        warning,
        Warning::BeyondTheCollection(_)
            | Warning::Conflict(_)
            | Warning::WitnessesApart(_)
            | Warning::OneForAll(_)
            | Warning::NoClubNear(_)
            | Warning::CannotBoth { .. }
            | Warning::SeeASpecialist(_)
    )
}

fn none_speaks(grounds: &Grounds) -> bool {
    grounds.without_all >= grounds.chance && grounds.effects.iter().all(|ground| ground.effect < LEAST_TOLD)
}

/// All that is out of step, in one sentence.
fn out_of_step_sentence(answered: &Answered<'_>) -> Option<String> {
    let odd = answered.warnings.iter().filter_map(|warning| match warning {
        Warning::OutOfStep(odd) => Some(odd),
        _ => None,
    });
    let odd: Vec<&OutOfStep> = odd.collect();
    let told = out_of_step_message(answered.asked.calibration().catalogue(), &odd);
    (!told.is_empty()).then_some(told)
}

/// Warnings of some kinds, in their order.
fn told(answered: &Answered<'_>, is_meant: impl Fn(&Warning) -> bool) -> Vec<String> {
    let catalogue = answered.asked.calibration().catalogue();
    let meant = answered.warnings.iter().filter(|warning| is_meant(warning));
    meant.map(|warning| warning_message(catalogue, warning)).collect()
}

fn decades(dating: &Dating, step: i32) -> Vec<(String, String)> {
    let rows = dating.posterior.by_row().into_iter().filter(|row| row.2 >= SMALL_SHARE);
    let mut told: Vec<(String, String)> =
        rows.map(|(from, to, share)| (row_name(from, to, step), percent(share))).collect();
    let (axis, after) = (dating.posterior.axis(), dating.posterior.after());
    if after >= SMALL_SHARE {
        told.push((answer_year(axis, axis.to()), percent(after)));
    }
    told
}

/// The clues without which the answer has other years.
fn without(catalogue: &Catalogue, sensitivity: &Sensitivity) -> Vec<ChangeFacts> {
    let moving = sensitivity.clues.iter().filter(|(_, answer)| !answer.has_years_of(&sensitivity.all));
    let change = |(clue, answer): &(String, ShortAnswer)| {
        let what = format!("without {}", within_a_sentence(&catalogue.name_of(clue)));
        change(catalogue.axis(), what, answer, &sensitivity.all)
    };
    moving.map(change).collect()
}

fn under(axis: Axis, prior: &WithPrior, all: &ShortAnswer) -> ChangeFacts {
    let used = if prior.chosen { " (used)" } else { "" };
    change(axis, format!("prior {}{used}", prior.name), &prior.answer, all)
}

fn change(axis: Axis, what: String, answer: &ShortAnswer, all: &ShortAnswer) -> ChangeFacts {
    ChangeFacts {
        what,
        median: middle_year(axis, answer),
        change: match answer.is_split() || all.is_split() {
            true => "-".to_owned(),
            false => change_of_median(axis, all.median, answer.median),
        },
        span: short_span(axis, answer),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a hundred")]
fn entries(answered: &Answered<'_>) -> Vec<EntryFacts> {
    let catalogue = answered.asked.calibration().catalogue();
    let longest = answered.ledger().entries.iter().map(|entry| entry.years.abs()).fold(1.0, f64::max);
    let mut told = Vec::new();
    for Section { part, heading, entries } in sections(answered) {
        let mut heading = heading;
        told.extend(entries.into_iter().map(|entry| EntryFacts {
            section: heading.take(),
            part: part.word(),
            clue: catalogue.name_of(&entry.clue),
            reading: text_in_words(catalogue, &entry.clue, &entry.reading),
            years: signed(entry.years),
            moved: moved(entry.years),
            side: side(entry.years),
            bar: (100.0 * entry.years.abs() / longest).round() as u32,
            misread: percent(entry.misread),
            without: short_words(catalogue.axis(), &entry.without),
            adjusts: entry.adjusts,
        }));
    }
    told
}

/// What the figure shows, in words.
fn figure_key(dating: &Dating, is_split: bool) -> String {
    let times = match times_of_a_year([&dating.posterior]) {
        1 => String::new(),
        times => format!(", times {times}"),
    };
    let strips = if dating.has_evidence() {
        let tick = if is_split { "" } else { "; the tick is the middle year" };
        format!(" Strips above, from dark to light: the bands that hold 1 in 2, 4 in 5 and 19 in 20{tick}.")
    } else {
        String::new()
    };
    let row = row_word(dating.posterior.axis().step());
    format!("Columns: the chance of each {row}. Line: the chance of each year{times}.{strips}")
}

/// The account in plain words, the largest moves first.
fn sentences(answered: &Answered<'_>) -> Vec<String> {
    let (dating, catalogue) = (&answered.dating, answered.asked.calibration().catalogue());
    let mut told = Vec::new();
    let mut small = 0;
    for entry in answered.ledger().by_size() {
        if entry.years.abs() < SMALL_MOVE || told.len() == MOST_TOLD {
            small += 1;
            continue;
        }
        let name = catalogue.name_of(&entry.clue);
        let name = if entry.adjusts { format!("{name} (through other clues)") } else { name };
        let reading = text_in_words(catalogue, &entry.clue, &entry.reading);
        told.push(format!("{name}, {reading}: {}.", moved(entry.years)));
    }
    match small {
        0 => {}
        1 => told.push("One more clue moved it less.".to_owned()),
        n => told.push(format!("{n} more clues moved it less; the ledger has them all.")),
    }
    if dating.part != Part::Head || dating.has_evidence() { told } else { Vec::new() }
}
