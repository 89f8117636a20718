//! What a clue needs of another to make sense: there is no regularity of the scoring on a smooth face.

use serde::{Deserialize, Serialize};

/// Another clue, and the levels of it with which there is nothing to read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Needs {
    /// The other clue's id.
    pub clue: String,
    /// Its levels, by their ids, with which there is nothing to read.
    pub not: Vec<String>,
}
