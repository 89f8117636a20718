//! How parts belong together, as rules and calibrations write it.

use agewright_model::Catalogue;
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::replacement::{PartsError, PartsModel, Replacement, SignTable};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// `[parts]`: chances of a replacement by the year of what the part is fixed to.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartsFile {
    shaft_replaced: Vec<ChanceFile>,
    grip_replaced: Vec<ChanceFile>,
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ChanceFile {
    year: i32,
    chance: f64,
}

/// `[[sign]]`: how a sign looks on original parts and on replacements.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignFile {
    clue: String,
    original: IndexMap<String, f64>,
    replaced: IndexMap<String, f64>,
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

/// What is wrong with parts and signs, and where.
pub struct PartsRefused {
    pub path: DocumentPath,
    pub problem: PartsProblem,
}

#[derive(Debug, Error)]
pub enum PartsProblem {
    #[error("sign \"{0}\": the catalogue has no such clue with levels")]
    Clue(String),
    #[error("sign \"{clue}\": \"{level}\" is no level of the clue")]
    Level { clue: String, level: String },
    #[error(transparent)]
    Parts(#[from] PartsError),
}

/// The model that a file's tables say.
pub fn parts_model(catalogue: &Catalogue, parts: &PartsFile, signs: &[SignFile]) -> Result<PartsModel, PartsRefused> {
    let replacement = |points: &[ChanceFile]| Replacement {
        points: points.iter().map(|point| (f64::from(point.year), point.chance)).collect(),
    };
    let sign = |(place, sign): (usize, &SignFile)| {
        let refused = |problem| PartsRefused { path: DocumentPath::key("sign").at(place), problem };
        let clue = catalogue.clue(&sign.clue).filter(|clue| !clue.levels.is_empty());
        let clue = clue.ok_or_else(|| refused(PartsProblem::Clue(sign.clue.clone())))?;
        let shares = |given: &IndexMap<String, f64>| {
            if let Some(word) = given.keys().find(|word| clue.level_ix(word).is_none()) {
                return Err(refused(PartsProblem::Level { clue: sign.clue.clone(), level: word.clone() }));
            }
            Ok(clue.levels.iter().map(|level| given.get(&level.id).copied().unwrap_or(0.0)).collect::<Vec<f64>>())
        };
        let (original, replaced) = (shares(&sign.original)?, shares(&sign.replaced)?);
        Ok(SignTable { clue: clue.id.clone(), original, replaced })
    };
    let model = PartsModel {
        shaft_replaced: replacement(&parts.shaft_replaced),
        grip_replaced: replacement(&parts.grip_replaced),
        signs: signs.iter().enumerate().map(sign).collect::<Result<_, PartsRefused>>()?,
        sign_weight: 1.0,
    };
    model.check().map_err(|(path, error)| PartsRefused { path, problem: error.into() })?;
    Ok(model)
}

/// A model as a file's tables.
pub fn parts_file(catalogue: &Catalogue, model: &PartsModel) -> (PartsFile, Vec<SignFile>) {
    let chances = |replaced: &Replacement| {
        #[expect(clippy::cast_possible_truncation, reason = "whole years")]
        let chance = |&(year, chance): &(f64, f64)| ChanceFile { year: year.round() as i32, chance };
        replaced.points.iter().map(chance).collect::<Vec<_>>()
    };
    let sign = |sign: &SignTable| {
        let clue = catalogue.clue(&sign.clue)?;
        let shares =
            |shares: &[f64]| clue.levels.iter().map(|level| level.id.clone()).zip(shares.iter().copied()).collect();
        let (original, replaced) = (shares(&sign.original), shares(&sign.replaced));
        Some(SignFile { clue: sign.clue.clone(), original, replaced, standing: String::new() })
    };
    let file = PartsFile {
        shaft_replaced: chances(&model.shaft_replaced),
        grip_replaced: chances(&model.grip_replaced),
        standing: String::new(),
    };
    (file, model.signs.iter().filter_map(sign).collect())
}
