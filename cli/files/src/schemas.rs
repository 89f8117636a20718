//! JSON Schema (2020-12) of what is read: an editor then completes and checks a file as it is typed.

use crate::calibration::calibration_file::CalibrationFile;
use crate::catalogue::CatalogueFile;
use crate::record::Record;
#[cfg(feature = "fit")]
use crate::rules::RulesFile;
use agewright_model::reading::cell::{NOT_EXAMINED, RESERVED, UNREADABLE};
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
        for field in ["made", "made_from", "made_to"] {
            properties.insert(field.to_owned(), text_or_number.clone());
        }
        let of_number = json!({ "type": "integer", "minimum": 1, "maximum": 5 });
        let of_text = json!({ "type": "string", "pattern": "^\\s*[1-5]?\\s*$" });
        properties.insert("date_grade".to_owned(), json!({ "anyOf": [of_number, of_text] }));
    }
    schema
}

/// What may stand in the cell of a clue. Of levels an editor offers the ids; any text of words that the clue knows is
/// let pass, for alternatives and doubt are the reader's to judge. A mark may be one of the user's own, which no
/// catalogue lists.
fn cell_schema(clue: &Clue) -> Value {
    let no_reading = || RESERVED.iter().chain(&NOT_EXAMINED).chain(&UNREADABLE).map(|word| (*word).to_owned());
    let mut offered: Vec<String> = RESERVED.iter().rev().map(|word| (*word).to_owned()).collect();
    let mut description = vec![clue.name()];
    description.extend(Some(clue.how.clone()).filter(|how| !how.is_empty()));
    let with_a_figure = json!({ "type": "string", "pattern": "[0-9\u{bc}-\u{be}\u{2150}-\u{215e}]" });
    let without = json!({ "type": "string", "pattern": words_pattern(no_reading()) });
    let any = match clue.kind {
        ClueKind::Measured => json!([{ "type": "number" }, { "enum": offered }, with_a_figure, without]),
        ClueKind::Register => json!([{ "type": "integer" }, { "enum": offered }, with_a_figure, without]),
        ClueKind::Levels | ClueKind::Mark => {
            offered.splice(0..0, clue.levels.iter().map(|level| level.id.clone()));
            let known = clue.levels.iter().flat_map(|level| level.words().map(str::to_owned)).chain(no_reading());
            let text = match clue.kind {
                ClueKind::Mark => json!({ "type": "string" }),
                _ => json!({ "type": "string", "pattern": words_pattern(known) }),
            };
            json!([{ "enum": offered }, text])
        }
    };
    json!({ "description": description.join(". "), "anyOf": any })
}

/// A pattern of texts that hold some of these words and no other, whatever signs stand between them and however they
/// are written, or signs alone.
fn words_pattern(words: impl Iterator<Item = String>) -> String {
    let letter = |c: char| {
        let (small, large) = (c.to_lowercase().to_string(), c.to_uppercase().to_string());
        if small == large || large.chars().count() > 1 { c.to_string() } else { format!("[{small}{large}]") }
    };
    let runs = |word: &str| {
        let parts = word.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
        parts.map(|part| part.chars().map(letter).collect()).collect::<Vec<String>>().join(BETWEEN)
    };
    let mut words: Vec<String> = words.map(|word| runs(&word)).filter(|word| !word.is_empty()).collect();
    words.sort_by_key(|word| (std::cmp::Reverse(word.len()), word.clone()));
    words.dedup();
    let any = words.join("|");
    let signs = BETWEEN.trim_end_matches('+');
    format!("^{signs}*(?:(?:{any})(?:(?:{BETWEEN}[oO][rR])?{BETWEEN}(?:{any}))*)?{signs}*$")
}

/// Signs and blanks between words: all that is no letter or figure of Latin writing.
const BETWEEN: &str = "[^0-9A-Za-z\u{c0}-\u{24f}]+";
