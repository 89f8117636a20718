//! A period of use of a mark in a calibration file.

use agewright_model::tables::mark_use::MarkUse;
use serde::{Deserialize, Serialize};

/// A period of use of a mark.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MarkFile {
    pub clue: String,
    pub mark: String,
    pub used_from: i32,
    pub used_to: i32,
    pub fade: f64,
    pub leak: f64,
    pub source: String,
    pub standing: String,
}

/// A period as the file has it.
pub fn mark_file(mark: &MarkUse) -> MarkFile {
    MarkFile {
        clue: mark.clue.clone(),
        mark: mark.mark.clone(),
        used_from: mark.used_from,
        used_to: mark.used_to,
        fade: mark.fade,
        leak: mark.leak,
        source: mark.source.clone(),
        standing: mark.standing.clone(),
    }
}

/// The period that the file says.
pub fn mark_use(mark: MarkFile) -> MarkUse {
    let MarkFile { clue, mark, used_from, used_to, fade, leak, source, standing } = mark;
    // As it is written on the club is kept with the level of the catalogue.
    MarkUse { clue, mark, written: String::new(), used_from, used_to, fade, leak, source, standing }
}
