//! What to look at next, as JSON.

use crate::json::shared::{CalibrationName, SCHEMA};
use agewright_files::LoadedCalibration;
use agewright_model::Asked;
use agewright_model::questions::next_look::{NextLook, NextLooks};
use serde::Serialize;

/// What to look at next.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// First and last years of the answers now, where the 80 % band is split into several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    answers_now: Vec<[i32; 2]>,
    after_now: f64,
    looks: Vec<LookAnswer>,
    /// Marks, numbers and signs of a later part that were not examined: of their chances nothing is known.
    not_weighed: Vec<String>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OutcomeAnswer {
    level: String,
    chance: f64,
    median: i32,
    from: i32,
    to: i32,
}

impl NextAnswer {
    /// What each look may be expected to tell.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, asked: &Asked<'_>, next: &NextLooks) -> Self {
        let catalogue = loaded.calibration.catalogue();
        let look = |look: &NextLook| LookAnswer {
            clue: look.clue.clone(),
            expected_bits: look.bits,
            expected_width: look.width,
            chance_of_change: look.change,
            how: catalogue.clue(&look.clue).map_or_else(String::new, |clue| clue.how.clone()),
            outcomes: look
                .outcomes
                .iter()
                .map(|outcome| OutcomeAnswer {
                    level: outcome.level.clone(),
                    chance: outcome.chance,
                    median: outcome.answer.median,
                    from: outcome.answer.from,
                    to: outcome.answer.to,
                })
                .collect(),
        };
        Self {
            schema: SCHEMA,
            id: asked.club().id.clone(),
            part: asked.part().word(),
            calibration: CalibrationName::of(loaded),
            prior: asked.prior().name.clone(),
            bits_now: next.bits_now,
            width_now: f64::from(next.width_now),
            median_now: next.median_now,
            answers_now: next.answers_now.iter().map(|answer| [answer.from, answer.to]).collect(),
            after_now: next.after_now,
            looks: next.in_order().into_iter().map(look).collect(),
            not_weighed: next.not_weighed.clone(),
        }
    }
}
