//! `agewright chart`: draws the posterior and the ledger.

use super::question::Question;
use crate::Streams;
use crate::arguments::{ChartArguments, ChartPanels};
use crate::charts::{ChartClub, Shown, draw, png};
use crate::failure::Failure;
use crate::files::{check_may_write, check_no_input, write_whole};
use agewright_model::Part;
use std::path::Path;

pub fn run(arguments: &ChartArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let form = arguments.out.as_deref().map(picture).transpose()?;
    if let Some(path) = &arguments.out {
        let inputs: Vec<&Path> = arguments
            .records
            .records
            .iter()
            .chain(&arguments.records.calibration)
            .map(std::path::PathBuf::as_path)
            .collect();
        check_no_input(path, &inputs)?;
        check_may_write(path, arguments.force)?;
    }
    let question = Question::read(&arguments.records, streams)?;
    let part = question.parts().first().copied().unwrap_or(Part::Head);
    let clubs = question
        .clubs
        .iter()
        .map(|club| Ok(ChartClub { club, dating: question.date(club, part)? }))
        .collect::<Result<Vec<_>, Failure>>()?;
    let default = if clubs.len() == 1 { ChartPanels::Both } else { ChartPanels::Posterior };
    let panels = arguments.show.unwrap_or(default);
    let shown = Shown { posterior: panels != ChartPanels::Ledger, ledger: panels != ChartPanels::Posterior };
    let svg = draw(&question.loaded.calibration, &clubs, shown).map_err(Failure::Failed)?;
    match (&arguments.out, form) {
        (Some(path), Some(form)) => write_whole(path, &form.bytes(&svg)?, arguments.force),
        _ => Ok(streams.stdout.write_all(svg.as_bytes())?),
    }
}

/// Form of a picture file.
#[derive(Clone, Copy)]
pub enum Picture {
    Svg,
    Png,
}

impl Picture {
    /// The file's contents for a drawing.
    pub fn bytes(self, svg: &str) -> Result<Vec<u8>, Failure> {
        match self {
            Self::Svg => Ok(svg.as_bytes().to_vec()),
            Self::Png => png(svg).map_err(Failure::Failed),
        }
    }
}

/// The form that a file's name asks for.
pub fn picture(path: &Path) -> Result<Picture, Failure> {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("svg") => Ok(Picture::Svg),
        Some("png") => Ok(Picture::Png),
        _ => Err(Failure::Usage(format!("{}: the name of a picture must end in .svg or .png", path.display()))),
    }
}
