//! `agewright sensitivity`: what the answer hangs on.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{SensitivityAnswer, print_json};
use crate::arguments::{ClubArguments, PlainFormat};
use crate::failure::Failure;
use crate::terminal::sensitivity_text;
use agewright_model::sensitivity;

pub fn run(arguments: &ClubArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let question = Question::read(&arguments.records, streams)?;
    let club = question.one_club()?;
    let calibration = &question.loaded.calibration;
    let part = question.part();
    let result = sensitivity(calibration, club, part, question.prior.as_deref(), &question.without)
        .map_err(|error| prior_failure(&error))?;
    match arguments.format {
        PlainFormat::Text => write!(streams.stdout, "{}", sensitivity_text(calibration, club, part, &result))?,
        PlainFormat::Json => {
            print_json(&SensitivityAnswer::new(&question.loaded, club, part, &result), streams)?;
        }
    }
    Ok(())
}
