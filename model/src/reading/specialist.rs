//! When a specialist should see a club, as its catalogue has it.

use serde::{Deserialize, Serialize};

/// Reasons of the trade to show a club to a specialist before much hangs on its date; by default none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SpecialistReasons {
    /// A part that is probably older than this year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub older_than: Option<i32>,
    /// A 4-in-5 band of more years than this whose clues conflict.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wider_than: Option<i32>,
    /// Words that name a material whose trade is restricted in many places, real or imitated.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub materials: Vec<String>,
}

impl SpecialistReasons {
    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
