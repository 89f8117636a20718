//! JSON Schema (2020-12) of the answers.

use crate::json::clues::CluesAnswer;
use crate::json::collection::CollectionAnswer;
use crate::json::dating::Answer;
use crate::json::next::NextAnswer;
use crate::json::opinion::OpinionChangeAnswer;
use crate::json::sensitivity::SensitivityAnswer;
use crate::json::side_by_side::SideBySideAnswer;
use crate::json::why_not::WhyNotAnswer;
use crate::json::write_up::{Facts, WriteUpAnswer};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

/// The commands whose answers have a schema, and `facts` for the figures of a write-up.
pub const ANSWERS: [&str; 11] = [
    "date",
    "sensitivity",
    "why-not",
    "next",
    "compare",
    "collection",
    "clues",
    "write-up",
    "facts",
    "opinion",
    "audit",
];

/// The schema of a type as it is written.
pub(crate) fn as_written<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<T>()
}

/// The schema of a command's answer (`date` for that of `record`, `facts` for the figures of a write-up); `None` for a
/// command without one.
#[must_use]
pub fn answer_schema(command: &str) -> Option<Schema> {
    Some(match command {
        "date" => as_written::<Answer>(),
        "sensitivity" => as_written::<SensitivityAnswer>(),
        "why-not" => as_written::<WhyNotAnswer>(),
        "next" => as_written::<NextAnswer>(),
        "compare" => as_written::<SideBySideAnswer>(),
        "collection" => as_written::<CollectionAnswer>(),
        "clues" => as_written::<CluesAnswer>(),
        "write-up" => as_written::<WriteUpAnswer>(),
        "facts" => as_written::<Facts<'_>>(),
        "opinion" => as_written::<OpinionChangeAnswer>(),
        #[cfg(feature = "fit")]
        "audit" => as_written::<crate::json::audit::AuditAnswer>(),
        _ => return None,
    })
}
