//! `agewright compare`: clubs side by side.

use crate::arguments::{CompareArguments, PlainFormat};
use crate::asked::request::{Request, ShownAccount};
use crate::disk::json_line::print_json;
use crate::disk::picture_file::PictureFile;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_model::questions::side_by_side::side_by_side;
use agewright_model::{Asked, Club, KnownDate};
use agewright_pages::charts::club_bars::draw_bars;
use agewright_pages::json::side_by_side::SideBySideAnswer;
use agewright_pages::terminal::side_by_side_text::side_by_side_text;

/// More clubs than this are a collection.
const MOST_CLUBS: usize = 12;

pub fn run(arguments: &CompareArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let inputs = arguments.club.records.inputs();
    let picture =
        arguments.chart.as_deref().map(|path| PictureFile::new(path, &inputs, arguments.force)).transpose()?;
    let request = Request::read(&arguments.club.records, streams)?.sorted(arguments.sort)?;
    request.check_ids()?;
    let clubs: Vec<&Club> = request.clubs().collect();
    if !(2..=MOST_CLUBS).contains(&clubs.len()) {
        return Err(Failure::Usage(format!(
            "compare lays 2 to {MOST_CLUBS} clubs side by side and {} were read\nWhat to do: choose with --club, or \
             date \
             them all with: agewright collection",
            clubs.len()
        )));
    }
    let (calibration, part) = (&request.loaded.calibration, request.part());
    let asked = clubs.iter().map(|club| request.ask(club, part)).collect::<Result<Vec<Asked<'_>>, _>>()?;
    let given: Vec<Option<KnownDate>> = request.clubs.iter().map(|listed| listed.date).collect();
    let result = side_by_side(&asked, &given);
    if let Some(picture) = picture {
        let drawn = request.clubs.iter().map(|club| request.answer(club, part, ShownAccount::Years));
        let drawn = drawn.collect::<Result<Vec<_>, Failure>>()?;
        picture.write(&draw_bars(calibration, &drawn).map_err(Failure::Failed)?)?;
    }
    match arguments.club.format {
        PlainFormat::Text => Ok(write!(streams.stdout, "{}", side_by_side_text(streams.page, &asked, &result))?),
        PlainFormat::Json => print_json(&SideBySideAnswer::new(&request.loaded, &asked, &result), streams),
    }
}
