//! The catalogue, as JSON.

use crate::json::shared::SCHEMA;
use agewright_files::CatalogueFile;
use agewright_model::Catalogue;
use serde::Serialize;

/// The catalogue.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CluesAnswer {
    schema: u32,
    /// As a catalogue file has it.
    catalogue: CatalogueFile,
}

impl CluesAnswer {
    /// A catalogue.
    #[must_use]
    pub fn new(catalogue: &Catalogue) -> Self {
        Self { schema: SCHEMA, catalogue: CatalogueFile::of(catalogue) }
    }
}
