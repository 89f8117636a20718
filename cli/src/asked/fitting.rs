//! What `fit` and `audit` have in common: rules with the marks of the catalogue, and how a failed fit is told.

use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_calibration::{FitError, Rules};
use agewright_files::{STARTER_RULES, SourceText, read_rules};
use agewright_model::Catalogue;
use agewright_model::tables::mark_use::MarkUse;
use std::path::Path;
use std::sync::Arc;

/// The rules of thumb that count.
pub enum RulesFrom<'a> {
    /// Those of a file.
    File(&'a Path),
    /// The starter rules that are built in.
    BuiltIn,
    /// None.
    Nowhere,
}

impl<'a> RulesFrom<'a> {
    /// Those that were named; of the starter catalogue its own, unless none are wanted.
    pub fn asked(rules: Option<&'a Path>, is_starter: bool, no_rules: bool) -> Self {
        match rules {
            Some(path) => Self::File(path),
            None if is_starter && !no_rules => Self::BuiltIn,
            None => Self::Nowhere,
        }
    }
}

/// Rules of thumb with the years of use of the catalogue's marks; marks alone are rules too. The text is that of the
/// rules.
pub fn read_rules_with_marks(
    from: &RulesFrom<'_>,
    catalogue: &Catalogue,
    marks: Vec<MarkUse>,
    streams: &mut Streams<'_>,
) -> Result<(Option<Rules>, Option<Arc<SourceText>>), Failure> {
    let source = match from {
        RulesFrom::File(path) => Some(read_text(path, streams)?),
        RulesFrom::BuiltIn => Some(SourceText::new("rules.toml (built in)", STARTER_RULES)),
        RulesFrom::Nowhere => None,
    };
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
