//! What the answer hangs on, as JSON.

use crate::json::shared::{CalibrationName, SCHEMA, Span};
use agewright_files::LoadedCalibration;
use agewright_model::Asked;
use agewright_model::questions::sensitivity::Sensitivity;
use serde::Serialize;

/// What the answer hangs on.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct WithoutAnswer {
    clue: String,
    #[serde(flatten)]
    answer: Span,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PriorAnswer {
    prior: String,
    used: bool,
    #[serde(flatten)]
    answer: Span,
}

impl SensitivityAnswer {
    /// Medians and 80 % bands without each clue and under each prior, in the order of their effect.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, asked: &Asked<'_>, result: &Sensitivity) -> Self {
        let without =
            result.clues.iter().map(|(clue, answer)| WithoutAnswer { clue: clue.clone(), answer: Span::from(answer) });
        let priors = result.priors.iter().map(|prior| PriorAnswer {
            prior: prior.name.clone(),
            used: prior.chosen,
            answer: Span::from(&prior.answer),
        });
        Self {
            schema: SCHEMA,
            id: asked.club().id.clone(),
            part: asked.part().word(),
            calibration: CalibrationName::of(loaded),
            all: Span::from(&result.all),
            without: without.collect(),
            priors: priors.collect(),
        }
    }
}
