//! `agewright clues`: the catalogue as a bench sheet, as JSON, or as a blank recording sheet with or without drawings.

use crate::arguments::{CluesArguments, PlainFormat};
use crate::asked::request::calibration;
use crate::disk::catalogue_file::read_catalogue_with_marks;
use crate::disk::json_line::print_json;
use crate::disk::whole_file::{check_may_write, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::recording_sheet::csv_sheet;
use agewright_files::recording_workbook::xlsx_sheet;
use agewright_model::Catalogue;
use agewright_pages::json::clues::CluesAnswer;
use agewright_pages::terminal::bench_sheet::bench_sheet;
use agewright_pages::write_up::illustrated_sheet::illustrated_sheet;
use std::path::Path;

pub fn run(arguments: &CluesArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if let Some(path) = &arguments.sheet {
        check_may_write(path, arguments.force)?;
    }
    let catalogue = match &arguments.catalogue {
        Some(path) => read_catalogue_with_marks(Some(path), &[], streams)?.catalogue,
        None => calibration(arguments.calibration.as_deref(), &[], streams)?.calibration.catalogue().clone(),
    };
    if let Some(path) = &arguments.sheet {
        write_whole(path, &sheet(path, &catalogue)?, arguments.force)?;
        let (clues, path) = (catalogue.clues().len(), path.display());
        return streams.tell(&format!("a recording sheet of {clues} clues; written to {path}"));
    }
    match arguments.format {
        PlainFormat::Text => Ok(write!(streams.stdout, "{}", bench_sheet(streams.page, &catalogue))?),
        PlainFormat::Json => print_json(&CluesAnswer::new(&catalogue), streams),
    }
}

fn sheet(path: &Path, catalogue: &Catalogue) -> Result<Vec<u8>, Failure> {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("csv") => Ok(csv_sheet(catalogue)?),
        Some("xlsx") => Ok(xlsx_sheet(catalogue)?),
        Some("html") => Ok(illustrated_sheet(catalogue)?.into_bytes()),
        _ => Err(Failure::Usage(format!("{}: the name of a sheet must end in .csv, .xlsx or .html", path.display()))),
    }
}
