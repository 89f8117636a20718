//! `agewright chart`: draws the posterior and the ledger.

use crate::arguments::{ChartArguments, ChartPanels};
use crate::asked::request::{Request, ShownAccount};
use crate::disk::picture_file::PictureFile;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_pages::charts::club_bars::draw_bars;
use agewright_pages::charts::drawing::{Shown, draw};
use agewright_pages::charts::like_rows::draw_like;
use agewright_pages::charts::outlined::outlined;

pub fn run(arguments: &ChartArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let inputs = arguments.records.inputs();
    let picture = arguments.out.as_deref().map(|path| PictureFile::new(path, &inputs, arguments.force)).transpose()?;
    let request = Request::read(&arguments.records, streams)?.sorted(arguments.sort)?;
    let part = request.part();
    let default = if request.clubs.len() == 1 { ChartPanels::Both } else { ChartPanels::Bars };
    let show = arguments.show.unwrap_or(default);
    let answer = |club| request.answer(club, part, ShownAccount::Years);
    let clubs = request.clubs.iter().map(answer).collect::<Result<Vec<_>, Failure>>()?;
    let calibration = &request.loaded.calibration;
    let svg = match show {
        ChartPanels::Bars => draw_bars(calibration, &clubs),
        ChartPanels::Like => draw_like(calibration, &clubs),
        ChartPanels::Posterior => draw(calibration, &clubs, Shown { posterior: true, ledger: false }),
        ChartPanels::Ledger => draw(calibration, &clubs, Shown { posterior: false, ledger: true }),
        ChartPanels::Both => draw(calibration, &clubs, Shown { posterior: true, ledger: true }),
    };
    let svg = svg.map_err(Failure::Failed)?;
    match picture {
        Some(picture) => picture.write(&svg),
        None => Ok(streams.stdout.write_all(outlined(&svg).map_err(Failure::Failed)?.as_bytes())?),
    }
}
