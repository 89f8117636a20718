//! `agewright collection`: a whole collection dated.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{CollectionAnswer, print_json};
use crate::arguments::{CollectionArguments, PlainFormat};
use crate::failure::Failure;
use crate::terminal::{clue_name, collection_text, progress};
use crate::wording::{date_line, span};
use agewright_calibration::DatedClub;
use agewright_model::{Axis, Club, Dating, Part, RowCount, counts_by_row, next_looks, thin_rows};

/// A date that is worth this much as a dated club is taken as known.
const KNOWN_WORTH: f64 = 0.7;
/// An 80 % band of more years than this deserves another look.
const WIDE: i32 = 40;

/// Prior of clubs found anywhere, where rules name one.
const GENERAL: &str = "general";

/// A collection, dated.
pub struct Overview {
    pub part: Part,
    pub prior: String,
    pub clubs: Vec<CollectionClub>,
    pub rows: Vec<RowCount>,
    /// Places of the rows that may well hold no club.
    pub thin: Vec<usize>,
    pub look_again: Vec<LookAgain>,
}

/// One club of it.
pub struct CollectionClub {
    pub id: String,
    /// Whether the years are those given with the club.
    pub known: bool,
    pub date_line: String,
    /// Whether the band is split, so that the median lies between two answers.
    pub two_answers: bool,
    /// No clue of date: not counted.
    pub undated: bool,
    pub median: i32,
    pub from: i32,
    pub to: i32,
}

/// A club that deserves another look.
pub struct LookAgain {
    pub id: String,
    pub reasons: Vec<String>,
    /// The clue not yet examined that may be expected to tell most, and its expected bits.
    pub look: Option<(String, f64)>,
}

pub fn run(arguments: &CollectionArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut question = Question::read(&arguments.club.records, streams)?;
    // Starter rules date a single club as one shown to a specialist; a collection is clubs found anywhere.
    let calibration = &question.loaded.calibration;
    if question.prior.is_none() && calibration.origin.clubs == 0 && calibration.prior(GENERAL).is_ok() {
        question.prior = Some(GENERAL.to_owned());
    }
    question.check_ids()?;
    let overview = overview(&question, arguments.by_clues_alone)?;
    match arguments.club.format {
        PlainFormat::Text => {
            Ok(write!(streams.stdout, "{}", collection_text(&question.loaded.calibration, &overview))?)
        }
        PlainFormat::Json => print_json(&CollectionAnswer::new(&question.loaded, &overview), streams),
    }
}

fn overview(question: &Question, by_clues_alone: bool) -> Result<Overview, Failure> {
    let (axis, part) = (question.loaded.calibration.catalogue.axis, question.part());
    let mut clubs = Vec::with_capacity(question.clubs.len());
    let mut probabilities = Vec::with_capacity(question.clubs.len());
    let mut look_again = Vec::new();
    let bar = progress("dating", question.clubs.len());
    for club in &question.clubs {
        let known = question.dated.iter().find(|dated| dated.club.id == club.id && dated.worth() >= KNOWN_WORTH);
        if let Some(dated) = known.filter(|_| !by_clues_alone) {
            clubs.push(known_club(dated));
            probabilities.push(even(axis, dated.made_from(), dated.made_to()));
        } else {
            let dating = question.date_without_account(club, part)?;
            look_again.extend(another_look(question, club, &dating)?);
            clubs.push(dated_club(club, &dating));
            // Of a club without a clue nothing is known but the prior, and that is no club.
            if dating.has_evidence() {
                probabilities.push(dating.posterior.by_year().to_vec());
            }
        }
        bar.inc(1);
    }
    bar.finish();
    clubs.sort_by_key(|club| club.median);
    let rows = counts_by_row(axis, &probabilities);
    Ok(Overview { part, prior: question.prior_name().to_owned(), clubs, thin: thin_rows(&rows), rows, look_again })
}

fn known_club(dated: &DatedClub) -> CollectionClub {
    let (from, to) = (dated.made_from(), dated.made_to());
    CollectionClub {
        id: dated.club.id.clone(),
        known: true,
        date_line: span(from, to),
        two_answers: false,
        undated: false,
        median: i32::midpoint(from, to),
        from,
        to,
    }
}

fn dated_club(club: &Club, dating: &Dating) -> CollectionClub {
    let band = dating.band(0.8);
    CollectionClub {
        id: club.id.clone(),
        known: false,
        date_line: date_line(dating),
        two_answers: !band.modes().is_empty(),
        undated: !dating.has_evidence(),
        median: dating.posterior.median(),
        from: band.from(),
        to: band.to(),
    }
}

/// Probability by year of a club made in from..=to, any of these years alike.
fn even(axis: Axis, from: i32, to: i32) -> Vec<f64> {
    let each = 1.0 / f64::from(to - from + 1);
    axis.years().map(|year| if (from..=to).contains(&year) { each } else { 0.0 }).collect()
}

/// Why a club deserves another look, if it does, and what to look at.
fn another_look(question: &Question, club: &Club, dating: &Dating) -> Result<Option<LookAgain>, Failure> {
    let calibration = &question.loaded.calibration;
    let band = dating.band(0.8);
    let years: i32 = band.intervals.iter().map(|piece| piece.to - piece.from + 1).sum();
    let mut reasons = Vec::new();
    if !dating.has_evidence() {
        reasons.push("no clue of date".to_owned());
    } else if !band.modes().is_empty() {
        reasons.push("two answers".to_owned());
    } else if years > WIDE {
        reasons.push(format!("{years} years wide"));
    }
    if dating.conflict.is_some() {
        reasons.push("size and make disagree".to_owned());
    }
    let odd = dating.out_of_step.iter().map(|odd| clue_name(calibration, &odd.clue)).collect::<Vec<_>>();
    if !odd.is_empty() {
        reasons.push(format!("out of step: {}", odd.join("; ")));
    }
    if reasons.is_empty() {
        return Ok(None);
    }
    let next = next_looks(calibration, club, dating.part, question.prior.as_deref(), &question.without)
        .map_err(|error| prior_failure(&error))?;
    let look = next.looks.first().map(|look| (look.clue.clone(), look.bits));
    Ok(Some(LookAgain { id: club.id.clone(), reasons, look }))
}
