//! `agewright sensitivity`: what the answer hangs on.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answer_json::SensitivityAnswer;
use crate::arguments::{PlainFormat, SensitivityArguments};
use crate::failure::Failure;
use crate::terminal::sensitivity_text;
use agewright_model::{Part, sensitivity};

pub fn run(arguments: &SensitivityArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let question = Question::read(&arguments.records, streams)?;
    let club = question.one_club()?;
    let calibration = &question.loaded.calibration;
    let part = question.parts().first().copied().unwrap_or(Part::Head);
    let result = sensitivity(calibration, club, part, question.prior.as_deref(), &question.without)
        .map_err(|error| prior_failure(&error))?;
    match arguments.format {
        PlainFormat::Text => write!(streams.stdout, "{}", sensitivity_text(calibration, club, part, &result))?,
        PlainFormat::Json => {
            let answer = SensitivityAnswer::new(&question.loaded, club, part, &result);
            let line = serde_json::to_string(&answer).map_err(|error| Failure::Failed(error.to_string()))?;
            writeln!(streams.stdout, "{line}")?;
        }
    }
    Ok(())
}
