//! What to look at next, as JSON.

use super::shared::{CalibrationName, SCHEMA};
use crate::files::LoadedCalibration;
use crate::terminal::clue_how;
use agewright_model::{Club, NextLook, NextLooks, Part};
use serde::Serialize;

#[derive(Debug, Serialize)]
pub struct NextAnswer {
    schema: u32,
    id: String,
    part: &'static str,
    calibration: CalibrationName,
    prior: String,
    bits_now: f64,
    /// Years in the 80 % band now.
    width_now: f64,
    median_now: i32,
    looks: Vec<LookAnswer>,
    /// Marks, numbers and signs of a later part that were not examined: of their chances nothing is known.
    not_weighed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct LookAnswer {
    clue: String,
    expected_bits: f64,
    expected_width: f64,
    /// Chance that the median moves by ten years or more.
    chance_of_change: f64,
    how: String,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    outcomes: Vec<OutcomeAnswer>,
}

#[derive(Debug, Serialize)]
struct OutcomeAnswer {
    level: String,
    chance: f64,
    median: i32,
    from: i32,
    to: i32,
}

impl NextAnswer {
    pub fn new(loaded: &LoadedCalibration, club: &Club, part: Part, prior: &str, next: &NextLooks) -> Self {
        let look = |look: &NextLook| LookAnswer {
            clue: look.clue.clone(),
            expected_bits: look.bits,
            expected_width: look.width,
            chance_of_change: look.change,
            how: clue_how(&loaded.calibration, &look.clue),
            outcomes: look
                .outcomes
                .iter()
                .map(|outcome| OutcomeAnswer {
                    level: outcome.level.clone(),
                    chance: outcome.chance,
                    median: outcome.median,
                    from: outcome.from,
                    to: outcome.to,
                })
                .collect(),
        };
        Self {
            schema: SCHEMA,
            id: club.id.clone(),
            part: part.word(),
            calibration: CalibrationName::of(loaded),
            prior: prior.to_owned(),
            bits_now: next.bits_now,
            width_now: next.width_now,
            median_now: next.median_now,
            looks: next.looks.iter().map(look).collect(),
            not_weighed: next.not_weighed.clone(),
        }
    }
}
