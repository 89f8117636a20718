//! What stands in a calibration file, as serde reads and writes it.

use crate::calibration::draws::DrawFile;
use crate::calibration::parts::{PartsFile, SignFile};
use crate::catalogue::CatalogueFile;
use agewright_model::tables::prior::Spread;
use agewright_model::{Origin, Part};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CalibrationFile {
    pub schema: u32,
    pub name: String,
    pub default_prior: String,
    pub origin: Origin,
    #[serde(rename = "prior", default)]
    pub priors: Vec<PriorFile>,
    #[serde(rename = "levels", default)]
    pub level_tables: Vec<LevelFile>,
    #[serde(rename = "block", default)]
    pub blocks: Vec<BlockFile>,
    #[serde(rename = "measured", default)]
    pub measured: Vec<MeasuredFile>,
    #[serde(rename = "adjuster", default)]
    pub adjusters: Vec<AdjusterFile>,
    #[serde(rename = "mark", default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkFile>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<PartsFile>,
    #[serde(rename = "sign", default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<SignFile>,
    pub catalogue: CatalogueFile,
    #[serde(rename = "draw", default, skip_serializing_if = "Vec::is_empty")]
    pub draws: Vec<DrawFile>,
}

/// A period of use of a mark.
#[derive(Serialize, Deserialize)]
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

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriorFile {
    pub name: String,
    pub spread: SpreadFile,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub about: String,
    #[serde(default, skip_serializing_if = "is_no")]
    pub for_collections: bool,
    pub rows: Vec<PriorRowFile>,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "lowercase")]
pub enum SpreadFile {
    Even,
    Linear,
    Smooth,
}

impl From<SpreadFile> for Spread {
    fn from(spread: SpreadFile) -> Self {
        match spread {
            SpreadFile::Even => Self::Even,
            SpreadFile::Linear => Self::Linear,
            SpreadFile::Smooth => Self::Smooth,
        }
    }
}

impl From<Spread> for SpreadFile {
    fn from(spread: Spread) -> Self {
        match spread {
            Spread::Even => Self::Even,
            Spread::Linear => Self::Linear,
            Spread::Smooth => Self::Smooth,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PriorRowFile {
    pub from: i32,
    pub to: i32,
    pub mass: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelFile {
    pub clue: String,
    pub clubs: usize,
    pub bandwidth: f64,
    /// In files of earlier versions; it stands with the clue now.
    #[serde(default, skip_serializing)]
    pub misread: Option<f64>,
    pub weight: f64,
    pub overall: IndexMap<String, f64>,
    pub rows: Vec<LevelRowFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelRowFile {
    pub from: i32,
    pub to: i32,
    pub clubs: f64,
    pub shares: IndexMap<String, f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockFile {
    pub part: Part,
    pub degrees_of_freedom: f64,
    pub weight: f64,
    pub clues: Vec<String>,
    pub correlation: Vec<Vec<f64>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasuredFile {
    pub clue: String,
    pub clubs: usize,
    pub bandwidth: f64,
    /// In files of earlier versions; it stands with the clue now.
    #[serde(default, skip_serializing)]
    pub misread: Option<f64>,
    /// Mean in the clue's unit (on a log scale the geometric mean) and standard deviation on the clue's scale.
    pub overall_mean: f64,
    pub overall_sd: f64,
    pub rows: Vec<MeasuredRowFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeasuredRowFile {
    pub from: i32,
    pub to: i32,
    pub clubs: f64,
    pub mean: f64,
    pub sd: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AdjusterFile {
    pub part: Part,
    pub clue: String,
    /// For each measured clue: shift of its mean for each level, on the measured clue's scale.
    pub shifts: Vec<ShiftFile>,
    /// Share of each level expected in each row of years.
    pub rows: Vec<ExpectedFile>,
}

fn yes() -> bool {
    true
}

fn is_no(value: &bool) -> bool {
    !value
}

fn is_yes(value: &bool) -> bool {
    *value
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShiftFile {
    pub on: String,
    /// Whether the expected shares are taken off; not where a rule's mean is that of a club without the effect.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub centred: bool,
    pub by: IndexMap<String, f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExpectedFile {
    pub from: i32,
    pub to: i32,
    pub shares: IndexMap<String, f64>,
}
