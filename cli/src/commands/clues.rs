//! `agewright clues`: the catalogue as a bench sheet.

use super::question::calibration;
use crate::Streams;
use crate::arguments::CluesArguments;
use crate::failure::Failure;
use crate::files::{read_catalogue, read_text};
use crate::terminal::bench_sheet;

pub fn run(arguments: &CluesArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let catalogue = match &arguments.catalogue {
        Some(path) => read_catalogue(&read_text(path, streams)?)?,
        None => calibration(arguments.calibration.as_deref(), streams)?.calibration.catalogue,
    };
    write!(streams.stdout, "{}", bench_sheet(&catalogue))?;
    Ok(())
}
