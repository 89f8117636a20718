//! JSON Schema (2020-12) of what is read: an editor then completes and checks a file as it is typed.

use crate::calibration::calibration_file::CalibrationFile;
use crate::catalogue::CatalogueFile;
use crate::record::Record;
#[cfg(feature = "fit")]
use crate::rules::RulesFile;
use agewright_model::{Catalogue, Clue, ClueKind};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

/// The schema of a type as it is read.
fn as_read<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12().for_deserialize().into_generator().into_root_schema_for::<T>()
}

/// Of a catalogue's file.
#[must_use]
pub fn catalogue_schema() -> Schema {
    as_read::<CatalogueFile>()
}

/// Of a calibration's file.
#[must_use]
pub fn calibration_schema() -> Schema {
    as_read::<CalibrationFile>()
}

/// Of a file of rules of thumb.
#[cfg(feature = "fit")]
#[must_use]
pub fn rules_schema() -> Schema {
    as_read::<RulesFile>()
}

/// Of a record read by this catalogue: its clues by their ids, the words of their levels, and what else a cell may say.
///
/// ```
/// let loaded = agewright_files::built_in().unwrap();
/// let schema = agewright_files::schemas::record_schema(loaded.calibration.catalogue());
/// let pin = &schema.as_value()["properties"]["readings"]["properties"]["pin_direction"];
/// assert!(pin["anyOf"][0]["enum"].as_array().unwrap().contains(&"side_side".into()));
/// ```
#[must_use]
pub fn record_schema(catalogue: &Catalogue) -> Schema {
    let mut schema = as_read::<Record>();
    let readings: serde_json::Map<String, Value> =
        catalogue.clues().iter().map(|clue| (clue.id.clone(), cell_schema(clue))).collect();
    let readings = json!({
        "description": "What was read, clue by clue; a clue that was not examined is left out.",
        "type": "object",
        "properties": readings,
        "additionalProperties": false,
    });
    let text_or_number = json!({ "type": ["string", "integer"] });
    if let Some(Value::Object(properties)) = schema.get_mut("properties") {
        properties.insert("readings".to_owned(), readings);
        for field in ["made", "made_from", "made_to", "date_grade"] {
            properties.insert(field.to_owned(), text_or_number.clone());
        }
    }
    schema
}

/// What may stand in the cell of a clue: its levels by name for an editor to offer, or any text, for alternatives,
/// doubt and other words are the reader's to judge; of a measure a number too.
fn cell_schema(clue: &Clue) -> Value {
    let mut said = vec!["unreadable".to_owned(), "altered".to_owned()];
    let mut description = vec![clue.name()];
    description.extend(Some(clue.how.clone()).filter(|how| !how.is_empty()));
    let any = match clue.kind {
        ClueKind::Measured => json!([{ "type": "number" }, { "enum": said }, { "type": "string" }]),
        ClueKind::Register => json!([{ "type": "integer" }, { "enum": said }, { "type": "string" }]),
        ClueKind::Levels | ClueKind::Mark => {
            said.splice(0..0, clue.levels.iter().map(|level| level.id.clone()));
            json!([{ "enum": said }, { "type": "string" }])
        }
    };
    json!({ "description": description.join(". "), "anyOf": any })
}
