//! `agewright chart`: draws the posterior and the ledger.

use super::question::Question;
use crate::Streams;
use crate::arguments::{ChartArguments, ChartPart};
use crate::charts::{ChartClub, Shown, draw, png};
use crate::failure::Failure;
use crate::files::{check_may_write, write_whole};
use agewright_model::Part;
use std::path::Path;

pub fn run(arguments: &ChartArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let form = arguments.out.as_deref().map(form_of).transpose()?;
    if let Some(path) = &arguments.out {
        check_may_write(path, arguments.force)?;
    }
    let question = Question::read(&arguments.records, streams)?;
    let part = question.parts().first().copied().unwrap_or(Part::Head);
    let clubs = question
        .clubs
        .iter()
        .map(|club| Ok(ChartClub { club, dating: question.date(club, part)? }))
        .collect::<Result<Vec<_>, Failure>>()?;
    let default = if clubs.len() == 1 { ChartPart::Both } else { ChartPart::Posterior };
    let part = arguments.show.unwrap_or(default);
    let shown = Shown { posterior: part != ChartPart::Ledger, ledger: part != ChartPart::Posterior };
    let svg = draw(&question.loaded.calibration, &clubs, shown).map_err(Failure::Failed)?;
    match (&arguments.out, form) {
        (Some(path), Some(Form::Png)) => write_whole(path, &png(&svg).map_err(Failure::Failed)?, arguments.force),
        (Some(path), _) => write_whole(path, svg.as_bytes(), arguments.force),
        (None, _) => Ok(streams.stdout.write_all(svg.as_bytes())?),
    }
}

enum Form {
    Svg,
    Png,
}

fn form_of(path: &Path) -> Result<Form, Failure> {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("svg") => Ok(Form::Svg),
        Some("png") => Ok(Form::Png),
        _ => Err(Failure::Usage(format!("--out {}: the name must end in .svg or .png", path.display()))),
    }
}
