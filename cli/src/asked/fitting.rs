//! What `fit` and `audit` have in common: rules with the marks of the catalogue, and how a failed fit is told.

use crate::arguments::KnowledgeArguments;
use crate::disk::catalogue_file::{ReadCatalogue, read_catalogue_with_marks};
use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_calibration::{FitError, Rules};
use agewright_files::{STARTER_RULES, SourceText, read_rules};
use agewright_model::Catalogue;
use std::sync::Arc;

/// What is known before any club, as read.
pub struct Knowledge {
    pub catalogue: Catalogue,
    pub catalogue_source: Arc<SourceText>,
    pub rules: Option<Rules>,
    /// Text of the rules; of marks alone there is none.
    pub rules_source: Option<Arc<SourceText>>,
}

/// The catalogue, rules of thumb, and the years of use of marks, which are rules too. With the starter catalogue go its
/// own rules, unless others are named or none are wanted.
pub fn read_knowledge(arguments: &KnowledgeArguments, streams: &mut Streams<'_>) -> Result<Knowledge, Failure> {
    let is_starter = arguments.catalogue.is_none();
    let read = read_catalogue_with_marks(arguments.catalogue.as_deref(), &arguments.marks, streams)?;
    let ReadCatalogue { catalogue, marks, source: catalogue_source } = read;
    let rules_source = match &arguments.rules {
        Some(path) => Some(read_text(path, streams)?),
        None if is_starter && !arguments.no_rules => Some(SourceText::new("rules.toml (built in)", STARTER_RULES)),
        None => None,
    };
    let mut rules = rules_source.as_ref().map(|source| read_rules(source, &catalogue)).transpose()?;
    if !marks.is_empty() {
        rules = Some(Rules { marks, ..rules.unwrap_or_default() });
    }
    Ok(Knowledge { catalogue, catalogue_source, rules, rules_source })
}

/// Why nothing could be fitted, as the command line tells it.
pub fn fit_failure(error: &FitError, collection: &str) -> Failure {
    match error {
        FitError::Prior(prior) => Failure::unknown_word(&format!("--prior: {error}"), &prior.name, &prior.allowed),
        _ => Failure::Rejected(format!("{collection}: {error}")),
    }
}
