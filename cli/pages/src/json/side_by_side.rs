//! Clubs laid side by side, as JSON.

use crate::json::shared::{CalibrationName, SCHEMA, Span};
use agewright_files::LoadedCalibration;
use agewright_model::questions::like::Likeness;
use agewright_model::questions::overview::is_known;
use agewright_model::questions::side_by_side::SideBySide;
use agewright_model::{Asked, ShortAnswer};
use serde::Serialize;

/// Clubs laid side by side.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SideBySideAnswer {
    schema: u32,
    part: &'static str,
    calibration: CalibrationName,
    prior: String,
    clubs: Vec<ClubAnswer>,
    pairs: Vec<PairAnswer>,
    clues: Vec<ClueAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClubAnswer {
    id: String,
    #[serde(flatten)]
    span: Span,
    chance_of_oldest: f64,
    /// The dated clubs most like it, where the calibration keeps them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    most_like: Vec<MostLike>,
    /// The years are those that the club is known to be of.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    known: bool,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct MostLike {
    id: String,
    from: i32,
    to: i32,
    share: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PairAnswer {
    first: String,
    second: String,
    first_older: f64,
    same_year: f64,
    second_older: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClueAnswer {
    clue: String,
    /// One for each club, in their order; none where it was not read.
    readings: Vec<Option<String>>,
    /// P(each is the oldest) by this clue alone; none where fewer than two were read.
    oldest_by_it: Option<Vec<Option<f64>>>,
}

fn most_like(asked: &Asked<'_>) -> Vec<MostLike> {
    let nearest = Likeness::of(asked).map_or_else(Vec::new, |like| like.nearest);
    nearest.into_iter().map(|club| MostLike { id: club.id, from: club.from, to: club.to, share: club.share }).collect()
}

impl SideBySideAnswer {
    /// Clubs as asked about, and how they compare; `None` of no club.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, clubs: &[Asked<'_>], result: &SideBySide) -> Option<Self> {
        let first = clubs.first()?;
        let id = |place: usize| clubs.get(place).map_or_else(String::new, |asked| asked.club().id.clone());
        let told = result.posteriors.iter().zip(&result.oldest).enumerate();
        let pairs = result.pairs.iter().map(|&(a, b, older)| PairAnswer {
            first: id(a),
            second: id(b),
            first_older: older.older,
            same_year: older.same,
            second_older: older.younger,
        });
        let clues = result.clues.iter().map(|clue| ClueAnswer {
            clue: clue.clue.clone(),
            readings: clue.readings.clone(),
            oldest_by_it: clue.oldest_by_it.clone(),
        });
        Some(Self {
            schema: SCHEMA,
            part: first.part().word(),
            calibration: CalibrationName::of(loaded),
            prior: first.prior().name.clone(),
            clubs: told
                .map(|(place, (posterior, &chance_of_oldest))| ClubAnswer {
                    id: id(place),
                    span: Span::from(&ShortAnswer::of(posterior)),
                    chance_of_oldest,
                    most_like: clubs.get(place).map_or_else(Vec::new, most_like),
                    known: result.given.get(place).is_some_and(|given| given.as_ref().is_some_and(is_known)),
                })
                .collect(),
            pairs: pairs.collect(),
            clues: clues.collect(),
        })
    }
}
