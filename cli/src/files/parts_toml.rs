//! How parts belong together, as rules and calibrations write it.

use agewright_model::{Catalogue, PartsModel, Replacement, SignTable};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

/// `[parts]`: chances of a replacement by the year of what the part is fixed to.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartsFile {
    shaft_replaced: Vec<ChanceFile>,
    grip_replaced: Vec<ChanceFile>,
    #[serde(default, skip_serializing)]
    #[allow(dead_code, reason = "for the reader of the file; the model takes all alike")]
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
    #[allow(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

/// The model that a file's tables say; misread and part of a sign are its clue's.
pub fn parts_model(catalogue: &Catalogue, parts: &PartsFile, signs: &[SignFile]) -> Result<PartsModel, String> {
    let replacement =
        |points: &[ChanceFile]| Replacement { points: points.iter().map(|point| (point.year, point.chance)).collect() };
    let sign = |sign: &SignFile| {
        let clue = catalogue.clues.iter().find(|clue| clue.id == sign.clue && !clue.levels.is_empty());
        let clue = clue.ok_or_else(|| format!("sign \"{}\": the catalogue has no such clue with levels", sign.clue))?;
        let shares = |given: &IndexMap<String, f64>| {
            if let Some(word) = given.keys().find(|word| clue.levels.iter().all(|level| &level.id != *word)) {
                return Err(format!("sign \"{}\": \"{word}\" is no level of the clue", sign.clue));
            }
            Ok(clue.levels.iter().map(|level| given.get(&level.id).copied().unwrap_or(0.0)).collect::<Vec<f64>>())
        };
        let (original, replaced) = (shares(&sign.original)?, shares(&sign.replaced)?);
        Ok(SignTable { clue: clue.id.clone(), part: clue.part, misread: clue.misread, original, replaced })
    };
    let model = PartsModel {
        shaft_replaced: replacement(&parts.shaft_replaced),
        grip_replaced: replacement(&parts.grip_replaced),
        signs: signs.iter().map(sign).collect::<Result<_, String>>()?,
    };
    model.check().map_err(|error| error.to_string())?;
    Ok(model)
}

/// A model as a file's tables.
pub fn parts_file(catalogue: &Catalogue, model: &PartsModel) -> (PartsFile, Vec<SignFile>) {
    let chances = |replaced: &Replacement| {
        replaced.points.iter().map(|&(year, chance)| ChanceFile { year, chance }).collect::<Vec<_>>()
    };
    let sign = |sign: &SignTable| {
        let clue = catalogue.clues.iter().find(|clue| clue.id == sign.clue)?;
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
