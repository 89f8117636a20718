//! The catalogue, as JSON.

use super::shared::SCHEMA;
use agewright_model::Catalogue;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub struct CluesAnswer {
    schema: u32,
    /// As a catalogue file has it.
    catalogue: Catalogue,
}

impl CluesAnswer {
    pub fn new(catalogue: Catalogue) -> Self {
        Self { schema: SCHEMA, catalogue }
    }
}
