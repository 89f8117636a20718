//! `agewright compare`: clubs side by side.

use super::chart::{check_picture, picture};
use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{SideBySideAnswer, print_json};
use crate::arguments::{CompareArguments, PlainFormat};
use crate::charts::{ChartClub, draw_bars};
use crate::failure::Failure;
use crate::files::write_whole;
use crate::terminal::side_by_side_text;
use agewright_model::{Club, side_by_side};

/// More clubs than this are a collection.
const MOST_CLUBS: usize = 12;

pub fn run(arguments: &CompareArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if let Some(path) = &arguments.chart {
        check_picture(path, &arguments.club.records, arguments.force)?;
    }
    let question = Question::read(&arguments.club.records, streams)?;
    question.check_ids()?;
    let clubs: Vec<&Club> = question.clubs.iter().collect();
    if !(2..=MOST_CLUBS).contains(&clubs.len()) {
        return Err(Failure::Usage(format!(
            "compare lays 2 to {MOST_CLUBS} clubs side by side and {} were read\n= help: choose with --club, or date \
             them all with: agewright collection",
            clubs.len()
        )));
    }
    let (calibration, part) = (&question.loaded.calibration, question.part());
    let result = side_by_side(calibration, &clubs, part, question.prior.as_deref(), &question.without)
        .map_err(|error| prior_failure(&error))?;
    if let Some(path) = &arguments.chart {
        let drawn = clubs
            .iter()
            .map(|club| Ok(ChartClub { club, dating: question.date_without_account(club, part)? }))
            .collect::<Result<Vec<_>, Failure>>()?;
        let svg = draw_bars(calibration, &drawn).map_err(Failure::Failed)?;
        write_whole(path, &picture(path)?.bytes(&svg)?, arguments.force)?;
    }
    match arguments.club.format {
        PlainFormat::Text => Ok(write!(streams.stdout, "{}", side_by_side_text(calibration, &clubs, part, &result))?),
        PlainFormat::Json => {
            print_json(&SideBySideAnswer::new(&question.loaded, &clubs, part, question.prior_name(), &result), streams)
        }
    }
}
