//! `agewright clues`: the catalogue as a bench sheet, as JSON, or as a blank recording sheet.

use super::question::calibration;
use crate::Streams;
use crate::answers::{CluesAnswer, print_json};
use crate::arguments::{CluesArguments, PlainFormat};
use crate::failure::Failure;
use crate::files::{check_may_write, csv_sheet, read_catalogue_with_marks, read_text, write_whole, xlsx_sheet};
use crate::terminal::bench_sheet;
use agewright_model::Catalogue;
use std::path::Path;

pub fn run(arguments: &CluesArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if let Some(path) = &arguments.sheet {
        check_may_write(path, arguments.force)?;
    }
    let catalogue = match &arguments.catalogue {
        Some(path) => read_catalogue_with_marks(path, &read_text(path, streams)?, streams)?.0,
        None => calibration(arguments.calibration.as_deref(), streams)?.calibration.catalogue,
    };
    if let Some(path) = &arguments.sheet {
        let contents = sheet(path, &catalogue)?;
        write_whole(path, &contents, arguments.force)?;
        writeln!(
            streams.stderr,
            "a recording sheet of {} clues; written to {}",
            catalogue.clues.len(),
            path.display()
        )?;
        return Ok(());
    }
    match arguments.format {
        PlainFormat::Text => Ok(write!(streams.stdout, "{}", bench_sheet(&catalogue))?),
        PlainFormat::Json => print_json(&CluesAnswer::new(catalogue), streams),
    }
}

fn sheet(path: &Path, catalogue: &Catalogue) -> Result<Vec<u8>, Failure> {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("csv") => csv_sheet(catalogue),
        Some("xlsx") => xlsx_sheet(catalogue),
        _ => Err(Failure::Usage(format!("{}: the name of a sheet must end in .csv or .xlsx", path.display()))),
    }
}
