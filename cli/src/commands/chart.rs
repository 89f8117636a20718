//! `agewright chart`: draws the posterior and the ledger.

use super::question::Question;
use crate::Streams;
use crate::arguments::{ChartArguments, ChartPanels, RecordArguments};
use crate::charts::{ChartClub, Shown, draw, draw_bars, png};
use crate::failure::Failure;
use crate::files::{check_may_write, check_no_input, write_whole};
use std::path::{Path, PathBuf};

pub fn run(arguments: &ChartArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let form = arguments.out.as_deref().map(picture).transpose()?;
    if let Some(path) = &arguments.out {
        check_picture(path, &arguments.records, arguments.force)?;
    }
    let question = Question::read(&arguments.records, streams)?;
    let part = question.part();
    let clubs = question
        .clubs
        .iter()
        .map(|club| Ok(ChartClub { club, dating: question.date(club, part)? }))
        .collect::<Result<Vec<_>, Failure>>()?;
    let default = if clubs.len() == 1 { ChartPanels::Both } else { ChartPanels::Bars };
    let calibration = &question.loaded.calibration;
    let svg = match arguments.show.unwrap_or(default) {
        ChartPanels::Bars => draw_bars(calibration, &clubs),
        ChartPanels::Posterior => draw(calibration, &clubs, Shown { posterior: true, ledger: false }),
        ChartPanels::Ledger => draw(calibration, &clubs, Shown { posterior: false, ledger: true }),
        ChartPanels::Both => draw(calibration, &clubs, Shown { posterior: true, ledger: true }),
    };
    let svg = svg.map_err(Failure::Failed)?;
    match (&arguments.out, form) {
        (Some(path), Some(form)) => write_whole(path, &form.bytes(&svg)?, arguments.force),
        _ => Ok(streams.stdout.write_all(svg.as_bytes())?),
    }
}

/// Refuses early a picture that cannot be written, or whose name is that of an input.
pub fn check_picture(path: &Path, records: &RecordArguments, force: bool) -> Result<(), Failure> {
    picture(path)?;
    let inputs: Vec<&Path> = records.records.iter().chain(&records.calibration).map(PathBuf::as_path).collect();
    check_no_input(path, &inputs)?;
    check_may_write(path, force)
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
