//! `agewright fit`: fits a calibration from clubs of known date.

use crate::Streams;
use crate::arguments::FitArguments;
use crate::failure::Failure;
use crate::files::{
    TableOptions, calibration_text, check_may_write, read_catalogue, read_collection, read_text, sha256, write_whole,
};
use crate::nearest_word::hint;
use crate::terminal::fit_text;
use agewright_calibration::{FitError, FitSettings, fit};
use agewright_model::Origin;
use std::path::Path;

pub fn run(arguments: &FitArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    check_may_write(&arguments.out, arguments.force)?;
    let catalogue_source = read_text(&arguments.catalogue, streams)?;
    let catalogue = read_catalogue(&catalogue_source)?;
    let collection_source = read_text(&arguments.collection, streams)?;
    let options = TableOptions { ignore: arguments.ignore.clone() };
    let collection = read_collection(&collection_source, &catalogue, &options)?;
    let collection_file = file_name(&arguments.collection);
    let settings = FitSettings {
        name: arguments.name.clone().unwrap_or_else(|| format!("{} from {collection_file}", catalogue.name)),
        origin: Origin {
            program: concat!("agewright ", env!("CARGO_PKG_VERSION")).to_owned(),
            catalogue_file: file_name(&arguments.catalogue),
            catalogue_sha256: sha256(&catalogue_source.text),
            collection_file,
            collection_sha256: sha256(&collection_source.text),
            notice: arguments.notice.clone(),
            ..Origin::default()
        },
        prior: arguments.prior.clone(),
    };
    let fitted =
        fit(&catalogue, &collection.dated, &settings).map_err(|error| fit_failure(&error, &collection_source.name))?;
    let text = calibration_text(&fitted.calibration)?;
    write_whole(&arguments.out, text.as_bytes(), arguments.force)?;
    write!(streams.stderr, "{}", fit_text(&fitted, &collection, &arguments.out))?;
    Ok(())
}

/// Why nothing could be fitted, as the command line tells it.
pub fn fit_failure(error: &FitError, collection: &str) -> Failure {
    match error {
        FitError::Prior { name, allowed } => {
            let help = hint(name, allowed).map_or_else(String::new, |help| format!("\n= help: {help}"));
            Failure::Usage(format!("--prior: {error}{help}"))
        }
        _ => Failure::Rejected(format!("{collection}: {error}")),
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
