//! What a write-up wrote, and the facts that go with it, as JSON.

use crate::json::dating::Answer;
use crate::json::sensitivity::SensitivityAnswer;
use crate::json::shared::SCHEMA;
use serde::Serialize;
use serde_json::Value;

/// What a write-up wrote.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WriteUpAnswer {
    schema: u32,
    id: String,
    folder: String,
    files: Vec<String>,
    /// Those of the files that were written; the others stood there already, word for word.
    written: Vec<String>,
}

impl WriteUpAnswer {
    /// Files of a club's folder, and those of them that were written.
    #[must_use]
    pub fn new(id: &str, folder: &str, files: &[&str], written: &[String]) -> Self {
        Self {
            schema: SCHEMA,
            id: id.to_owned(),
            folder: folder.to_owned(),
            files: files.iter().map(|&name| name.to_owned()).collect(),
            written: written.to_vec(),
        }
    }
}

#[derive(Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(crate) struct Facts<'a> {
    schema: u32,
    answer: &'a Answer,
    /// One for each part.
    sensitivity: &'a [SensitivityAnswer],
}

/// The figures behind a page, rounded to six decimals so that they are the same on every machine; over several lines.
///
/// # Errors
/// An error of JSON, which there should be none of.
pub fn rounded_json(answer: &Answer, sensitivity: &[SensitivityAnswer]) -> Result<String, serde_json::Error> {
    let mut value = serde_json::to_value(Facts { schema: SCHEMA, answer, sensitivity })?;
    round(&mut value);
    Ok(serde_json::to_string_pretty(&value)? + "\n")
}

fn round(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => {
            if let Some(rounded) = number.as_f64().map(|v| (v * 1e6).round() / 1e6 + 0.0) {
                *value = Value::from(rounded);
            }
        }
        Value::Array(values) => values.iter_mut().for_each(round),
        Value::Object(fields) => fields.values_mut().for_each(round),
        _ => {}
    }
}
