//! What the answer hangs on, as JSON.

use super::shared::{CalibrationName, SCHEMA, Span};
use crate::files::LoadedCalibration;
use agewright_model::{Club, Part, Sensitivity};
use serde::Serialize;

/// What the answer hangs on.
#[derive(Debug, Serialize)]
pub struct SensitivityAnswer {
    schema: u32,
    id: String,
    part: &'static str,
    calibration: CalibrationName,
    all: Span,
    without: Vec<WithoutAnswer>,
    priors: Vec<PriorAnswer>,
}

#[derive(Debug, Serialize)]
struct WithoutAnswer {
    clue: String,
    median: i32,
    from: i32,
    to: i32,
}

#[derive(Debug, Serialize)]
struct PriorAnswer {
    prior: String,
    used: bool,
    median: i32,
    from: i32,
    to: i32,
}

impl SensitivityAnswer {
    /// Medians and 80 % bands without each clue and under each prior, in the order of their effect.
    pub fn new(loaded: &LoadedCalibration, club: &Club, part: Part, result: &Sensitivity) -> Self {
        let without = result.clues.iter().map(|(clue, answer)| WithoutAnswer {
            clue: clue.clone(),
            median: answer.median,
            from: answer.from,
            to: answer.to,
        });
        let priors = result.priors.iter().map(|prior| PriorAnswer {
            prior: prior.name.clone(),
            used: prior.chosen,
            median: prior.answer.median,
            from: prior.answer.from,
            to: prior.answer.to,
        });
        Self {
            schema: SCHEMA,
            id: club.id.clone(),
            part: part.word(),
            calibration: CalibrationName::of(loaded),
            all: Span::from(&result.all),
            without: without.collect(),
            priors: priors.collect(),
        }
    }
}
