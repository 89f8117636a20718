//! `agewright next`: what to look at next.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{NextAnswer, print_json};
use crate::arguments::{ClubArguments, PlainFormat};
use crate::failure::Failure;
use crate::terminal::next_text;
use agewright_model::next_looks;

pub fn run(arguments: &ClubArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let question = Question::read(&arguments.records, streams)?;
    let club = question.one_club()?;
    let calibration = &question.loaded.calibration;
    for (place, part) in question.parts().into_iter().enumerate() {
        let next = next_looks(calibration, club, part, question.prior.as_deref(), &question.without)
            .map_err(|error| prior_failure(&error))?;
        match arguments.format {
            PlainFormat::Text => {
                let gap = if place > 0 { "\n" } else { "" };
                write!(streams.stdout, "{gap}{}", next_text(calibration, club, part, &next))?;
            }
            PlainFormat::Json => {
                print_json(&NextAnswer::new(&question.loaded, club, part, question.prior_name(), &next), streams)?;
            }
        }
    }
    Ok(())
}
