//! Why one period and not another, as JSON.

use crate::json::shared::{CalibrationName, Method, SCHEMA, method};
use crate::words::odds::odds_in_words;
use agewright_files::LoadedCalibration;
use agewright_model::{Asked, PeriodAccount};
use serde::Serialize;

/// Why one period and not another.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WhyNotAnswer {
    schema: u32,
    id: String,
    part: &'static str,
    calibration: CalibrationName,
    prior: String,
    periods: Vec<PeriodAnswer>,
    /// Chance of the years after the axis, which are in neither period.
    probability_after: f64,
    base_rate_decibans: f64,
    total_decibans: f64,
    total_in_words: String,
    #[serde(flatten)]
    method: Method,
    entries: Vec<EntryAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PeriodAnswer {
    from: i32,
    to: i32,
    probability: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct EntryAnswer {
    clue: String,
    reading: String,
    decibans: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    standard_error: Option<f64>,
}

impl WhyNotAnswer {
    /// The account of two periods.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, asked: &Asked<'_>, account: &PeriodAccount) -> Self {
        let periods = account.periods.iter().zip(account.probability);
        let entries = account.entries.iter().map(|entry| EntryAnswer {
            clue: entry.clue.clone(),
            reading: entry.reading.clone(),
            decibans: entry.decibans,
            standard_error: entry.standard_error,
        });
        Self {
            schema: SCHEMA,
            id: asked.club().id.clone(),
            part: asked.part().word(),
            calibration: CalibrationName::of(loaded),
            prior: asked.prior().name.clone(),
            periods: periods.map(|(&(from, to), probability)| PeriodAnswer { from, to, probability }).collect(),
            probability_after: account.after,
            base_rate_decibans: account.base_rate,
            total_decibans: account.total,
            total_in_words: odds_in_words(account.total),
            method: method(account.method),
            entries: entries.collect(),
        }
    }
}
