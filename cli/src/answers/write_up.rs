//! What a write-up wrote, and the facts that go with it, as JSON.

use super::dating::Answer;
use super::sensitivity::SensitivityAnswer;
use super::shared::SCHEMA;
use crate::failure::Failure;
use serde::Serialize;
use serde_json::Value;
use std::path::Path;

#[derive(Debug, Serialize)]
pub struct WriteUpAnswer {
    schema: u32,
    id: String,
    folder: String,
    files: Vec<String>,
}

impl WriteUpAnswer {
    pub fn new(id: &str, folder: &Path, files: &[&str]) -> Self {
        Self {
            schema: SCHEMA,
            id: id.to_owned(),
            folder: folder.display().to_string(),
            files: files.iter().map(|&name| name.to_owned()).collect(),
        }
    }
}

#[derive(Serialize)]
struct Facts<'a> {
    schema: u32,
    answer: &'a Answer,
    /// One for each part.
    sensitivity: &'a [SensitivityAnswer],
}

/// The figures behind a page, rounded to six decimals so that they are the same on every machine; over several lines.
pub fn rounded_json(answer: &Answer, sensitivity: &[SensitivityAnswer]) -> Result<String, Failure> {
    let failed = |error: serde_json::Error| Failure::Failed(error.to_string());
    let mut value = serde_json::to_value(Facts { schema: SCHEMA, answer, sensitivity }).map_err(failed)?;
    round(&mut value);
    Ok(serde_json::to_string_pretty(&value).map_err(failed)? + "\n")
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
