//! On what clubs a clue says nothing of the date: a child's club is short at any date.

use serde::{Deserialize, Serialize};

/// Another clue, and the levels of it that make a club one of those.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SilentOn {
    /// The other clue's id.
    pub clue: String,
    /// Its levels, by their ids.
    pub is: Vec<String>,
}
