//! Clubs side by side.

use crate::words::given_date::given_in_short;
use crate::words::named::noted_of_all;
use crate::words::readings::reading_in_short;
use crate::words::verbal::{in_words, percent};
use crate::words::years::{answer_year, span, spans};
use agewright_model::KnownDate;
use agewright_model::questions::like::Likeness;
use agewright_model::questions::overview::is_known;
use agewright_model::questions::side_by_side::{ClueSideBySide, SideBySide};
use agewright_model::questions::which_is_older::OlderThan;
use agewright_model::{Asked, Axis, Band};
use serde::Serialize;

/// Dated clubs that are named as most like each.
const MOST_NEAR: usize = 3;
/// The likeliest oldest club must lead the next by as much to be named.
const STANDS_OUT: f64 = 0.05;
/// By one clue alone a difference smaller than this says nothing.
const SAYS_NOTHING: f64 = 0.02;
/// How the comparison is to be read.
const HOW: &str = "Years of different clubs are taken as independent, each under the same prior. By one clue alone: \
                   the chance among the clubs read for it, club type and the like allowed for. A blank says that the \
                   clue tells them apart by less than 2 %, or was read on one only. No middle year is given for a club \
                   that is undated or has two answers.";
const HOW_KNOWN: &str = "A club of known date counts in its known years, whatever its clues say; clue by clue it is \
                         compared by its clues.";

/// Clubs side by side, in rows and sentences.
#[derive(Debug, Serialize)]
pub struct LaidOutClubs {
    /// Which is the oldest, and how sure that is.
    pub opening: String,
    /// What is noted of all of them.
    pub noted: Option<String>,
    /// The clubs, in the order that was asked for.
    pub clubs: Vec<ClubRow>,
    /// Those of which no clue of date was read.
    pub undated: Option<String>,
    /// Every pair, the likelier order first.
    pub pairs: Vec<PairRow>,
    /// Dated clubs most like each, where the calibration keeps them.
    pub like: Vec<LikeRow>,
    /// Clue by clue.
    pub clues: Vec<ClueRow>,
    /// How it is to be read.
    pub how: Vec<&'static str>,
}

/// One of the clubs.
#[derive(Debug, Serialize)]
pub struct ClubRow {
    /// Its id.
    pub id: String,
    /// Its middle year, where it has one.
    pub middle: String,
    /// Its years.
    pub years: String,
    /// The chance that it is the oldest of all.
    pub oldest: String,
}

/// Two of the clubs.
#[derive(Debug, Serialize)]
pub struct PairRow {
    /// `a older than b`.
    pub pair: String,
    /// The chance of that.
    pub chance: String,
    /// The chance that they are of one year.
    pub same: String,
    /// The chance in words.
    pub words: &'static str,
}

/// Dated clubs most like one.
#[derive(Debug, Serialize)]
pub struct LikeRow {
    /// The club that they are like.
    pub id: String,
    /// Each with its years and its share of the votes.
    pub near: Vec<String>,
}

/// One clue on all of the clubs.
#[derive(Debug, Serialize)]
pub struct ClueRow {
    /// The clue.
    pub clue: String,
    /// What was read, in the order of the clubs; none where it was not.
    pub readings: Vec<Option<String>>,
    /// Which is likeliest the oldest by it alone, with the chance; empty where it does not tell.
    pub oldest: String,
}

impl LaidOutClubs {
    /// Of clubs as asked about; `None` of no club.
    #[must_use]
    pub fn of(asked: &[Asked<'_>], result: &SideBySide) -> Option<Self> {
        let catalogue = asked.first()?.calibration().catalogue();
        let ids: Vec<&str> = asked.iter().map(|asked| asked.club().id.as_str()).collect();
        let is_dated_elsewhere = |given: &Option<KnownDate>| given.is_some_and(|date| is_known(&date));
        let undated = asked
            .iter()
            .zip(&result.given)
            .map(|(asked, given)| !asked.evidence().has_clue_of_date() && !is_dated_elsewhere(given));
        let undated: Vec<bool> = undated.collect();
        let is_known_one = result.given.iter().flatten().any(is_known);
        Some(Self {
            opening: opening(&oldest_first(result), &ids, result),
            noted: noted_of_all(asked.iter().map(Asked::club)),
            clubs: (0..ids.len()).map(|place| club_row(&ids, (result, &undated), place)).collect(),
            undated: undated_sentence(&ids, &undated),
            pairs: result.pairs.iter().map(|pair| pair_row(&ids, pair)).collect(),
            like: asked.iter().filter_map(like_row).collect(),
            clues: result
                .clues
                .iter()
                .map(|clue| ClueRow {
                    clue: catalogue.name_of(&clue.clue),
                    readings: clue
                        .readings
                        .iter()
                        .map(|reading| Some(reading_in_short(catalogue, &clue.clue, reading.as_ref()?)))
                        .collect(),
                    oldest: oldest_by_it(clue, &ids),
                })
                .collect(),
            how: [HOW].into_iter().chain(is_known_one.then_some(HOW_KNOWN)).collect(),
        })
    }
}

fn club_row(ids: &[&str], (result, undated): (&SideBySide, &[bool]), place: usize) -> ClubRow {
    let (posterior, band) = (&result.posteriors[place], result.posteriors[place].band(0.8));
    let known = result.given[place].filter(is_known);
    let years = known.map_or_else(|| band_words(posterior.axis(), &band), |date| given_in_short(&date));
    let has_middle = band.modes().is_empty() && !undated[place];
    ClubRow {
        id: ids[place].to_owned(),
        middle: if has_middle { answer_year(posterior.axis(), posterior.median()) } else { "-".to_owned() },
        years: if undated[place] { "undated".to_owned() } else { years },
        oldest: percent(result.oldest[place]),
    }
}

fn undated_sentence(ids: &[&str], undated: &[bool]) -> Option<String> {
    let ids: Vec<&str> = ids.iter().zip(undated).filter(|(_, undated)| **undated).map(|(id, _)| *id).collect();
    (!ids.is_empty()).then(|| {
        format!(
            "No clue of date was read on {}: what is said of it here is little more than how clubs are spread over \
             time (the prior).",
            ids.join(", ")
        )
    })
}

fn pair_row(ids: &[&str], (a, b, OlderThan { older, same, younger }): &(usize, usize, OlderThan)) -> PairRow {
    let (first, second, chance) = if older >= younger { (a, b, *older) } else { (b, a, *younger) };
    PairRow {
        pair: format!("{} older than {}", ids[*first], ids[*second]),
        chance: percent(chance),
        same: percent(*same),
        words: in_words(chance),
    }
}

fn like_row(asked: &Asked<'_>) -> Option<LikeRow> {
    let near = Likeness::of(asked)?.nearest.into_iter().take(MOST_NEAR);
    let near = near.map(|club| format!("{}, {} ({})", club.id, span(club.from, club.to), percent(club.share)));
    Some(LikeRow { id: asked.club().id.clone(), near: near.collect() })
}

/// Places of the clubs, the likeliest oldest first.
fn oldest_first(result: &SideBySide) -> Vec<usize> {
    let mut order: Vec<usize> = (0..result.oldest.len()).collect();
    // What is printed alike stays in the order of the clubs.
    let printed = |place: usize| (100.0 * result.oldest[place]).round();
    order.sort_by(|&a, &b| printed(b).total_cmp(&printed(a)).then_with(|| a.cmp(&b)));
    order
}

/// Which is the oldest, and how sure that is.
fn opening(order: &[usize], ids: &[&str], result: &SideBySide) -> String {
    match order {
        [first, second, ..] if result.oldest[*first] - result.oldest[*second] < STANDS_OUT => {
            "None stands out as the oldest.".to_owned()
        }
        [first, ..] if result.oldest[*first] < 0.5 => {
            format!("{} is likelier than any other to be the oldest ({}).", ids[*first], percent(result.oldest[*first]))
        }
        [first, ..] => format!("{} is {} the oldest.", ids[*first], in_words(result.oldest[*first])),
        [] => String::new(),
    }
}

/// The 80 % band, its pieces apart.
fn band_words(axis: Axis, band: &Band) -> String {
    spans(axis, &band.intervals)
}

/// The club, or the clubs alike, that are likeliest the oldest by a clue alone, with the chance; nothing where the clue
/// does not tell.
fn oldest_by_it(clue: &ClueSideBySide, ids: &[&str]) -> String {
    let Some(chances) = &clue.oldest_by_it else { return String::new() };
    let read: Vec<(usize, f64)> = chances.iter().enumerate().filter_map(|(ix, c)| c.map(|c| (ix, c))).collect();
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    let even = 1.0 / read.len().max(1) as f64;
    match read.iter().max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0))) {
        Some(&(_, chance)) if chance - even >= SAYS_NOTHING => {
            // Clubs of one reading share the place.
            let is_first = |(_, other): &&(usize, f64)| percent(*other) == percent(chance);
            let first: Vec<&str> = read.iter().filter(is_first).map(|(ix, _)| ids[*ix]).collect();
            let each = if first.len() > 1 { " each" } else { "" };
            format!("{}, {}{each}", first.join(" and "), percent(chance))
        }
        _ => String::new(),
    }
}
