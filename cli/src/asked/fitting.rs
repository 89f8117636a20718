//! What `fit` and `audit` have in common: rules with the marks of the catalogue, and how a failed fit is told.

use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_calibration::{FitError, Rules};
use agewright_files::{SourceText, read_rules};
use agewright_model::Catalogue;
use agewright_model::tables::mark_use::MarkUse;
use std::path::Path;
use std::sync::Arc;

/// Rules of thumb with the years of use of the catalogue's marks; marks alone are rules too. The text is that of the
/// rules.
pub fn read_rules_with_marks(
    path: Option<&Path>,
    catalogue: &Catalogue,
    marks: Vec<MarkUse>,
    streams: &mut Streams<'_>,
) -> Result<(Option<Rules>, Option<Arc<SourceText>>), Failure> {
    let source = path.map(|path| read_text(path, streams)).transpose()?;
    let rules = source.as_ref().map(|source| read_rules(source, catalogue)).transpose()?;
    if marks.is_empty() {
        return Ok((rules, source));
    }
    Ok((Some(Rules { marks, ..rules.unwrap_or_default() }), source))
}

/// Why nothing could be fitted, as the command line tells it.
pub fn fit_failure(error: &FitError, collection: &str) -> Failure {
    match error {
        FitError::Prior(prior) => Failure::unknown_word(&format!("--prior: {error}"), &prior.name, &prior.allowed),
        _ => Failure::Rejected(format!("{collection}: {error}")),
    }
}
