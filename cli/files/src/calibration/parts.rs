//! How parts belong together, as rules and calibrations write it.

use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::after_the_years::{AfterTheYears, LaterLook};
use agewright_model::tables::chance_by_year::ChanceByYear;
use agewright_model::tables::replacement::{PartsError, PartsModel, SignTable};
use agewright_model::{Catalogue, Clue};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// `[parts]`: chances of a replacement by the year of what the part is fixed to.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PartsFile {
    shaft_replaced: Vec<ChanceFile>,
    grip_replaced: Vec<ChanceFile>,
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct ChanceFile {
    year: i32,
    chance: f64,
}

/// `[[sign]]`: how a sign looks on original parts and on replacements.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SignFile {
    clue: String,
    original: IndexMap<String, f64>,
    replaced: IndexMap<String, f64>,
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

/// `[after]`: what is made after the years end, how likely that is and how it looks.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AfterFile {
    #[serde(default)]
    head: f64,
    /// Of later shafts and grips those of after the years, by the year of what they are fixed to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    shaft: Vec<ChanceFile>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    grip: Vec<ChanceFile>,
    #[serde(default, rename = "look", skip_serializing_if = "Vec::is_empty")]
    looks: Vec<LookFile>,
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "for the reader of the file; the model takes all alike")]
    standing: String,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct LookFile {
    clue: String,
    shares: IndexMap<String, f64>,
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
    #[error("{what} \"{clue}\": the catalogue has no such clue with levels")]
    Clue { what: &'static str, clue: String },
    #[error("{what} \"{clue}\": \"{level}\" is no level of the clue")]
    Level { what: &'static str, clue: String, level: String },
    #[error("look \"{0}\" after the years stands twice")]
    Twice(String),
    #[error(transparent)]
    Parts(#[from] PartsError),
}

/// The clue of an entry, by its id: one with levels.
fn clue_of<'a>(catalogue: &'a Catalogue, what: &'static str, id: &str) -> Result<&'a Clue, PartsProblem> {
    let clue = catalogue.clue(id).filter(|clue| !clue.levels.is_empty());
    clue.ok_or_else(|| PartsProblem::Clue { what, clue: id.to_owned() })
}

/// Shares of a clue's levels, in their order; those that are not given are 0.
fn shares_of(clue: &Clue, what: &'static str, given: &IndexMap<String, f64>) -> Result<Vec<f64>, PartsProblem> {
    if let Some(level) = given.keys().find(|word| clue.level_ix(word).is_none()) {
        return Err(PartsProblem::Level { what, clue: clue.id.clone(), level: level.clone() });
    }
    Ok(clue.levels.iter().map(|level| given.get(&level.id).copied().unwrap_or(0.0)).collect())
}

fn chances_of(points: &[ChanceFile]) -> ChanceByYear {
    ChanceByYear { points: points.iter().map(|point| (f64::from(point.year), point.chance)).collect() }
}

/// The model that a file's tables say.
pub fn parts_model(
    catalogue: &Catalogue,
    parts: &PartsFile,
    signs: &[SignFile],
    after: Option<&AfterFile>,
) -> Result<PartsModel, PartsRefused> {
    let sign = |(place, sign): (usize, &SignFile)| {
        let table = || {
            let clue = clue_of(catalogue, "sign", &sign.clue)?;
            let (original, replaced) =
                (shares_of(clue, "sign", &sign.original)?, shares_of(clue, "sign", &sign.replaced)?);
            Ok(SignTable { clue: clue.id.clone(), original, replaced })
        };
        table().map_err(|problem| PartsRefused { path: DocumentPath::key("sign").at(place), problem })
    };
    let model = PartsModel {
        shaft_replaced: chances_of(&parts.shaft_replaced),
        grip_replaced: chances_of(&parts.grip_replaced),
        signs: signs.iter().enumerate().map(sign).collect::<Result<_, PartsRefused>>()?,
        sign_weight: 1.0,
        after: after.map_or_else(|| Ok(AfterTheYears::default()), |after| after_the_years(catalogue, after))?,
    };
    model.check().map_err(|(path, error)| PartsRefused { path, problem: error.into() })?;
    Ok(model)
}

fn after_the_years(catalogue: &Catalogue, file: &AfterFile) -> Result<AfterTheYears, PartsRefused> {
    let look = |(place, look): (usize, &LookFile)| {
        let table = || {
            if file.looks[..place].iter().any(|other| other.clue == look.clue) {
                return Err(PartsProblem::Twice(look.clue.clone()));
            }
            let clue = clue_of(catalogue, "look", &look.clue)?;
            Ok(LaterLook { clue: clue.id.clone(), shares: shares_of(clue, "look", &look.shares)? })
        };
        let path = || DocumentPath::key("after").then("look").at(place);
        table().map_err(|problem| PartsRefused { path: path(), problem })
    };
    let some = |points: &[ChanceFile]| (!points.is_empty()).then(|| chances_of(points));
    Ok(AfterTheYears {
        head: file.head,
        shaft: some(&file.shaft),
        grip: some(&file.grip),
        looks: file.looks.iter().enumerate().map(look).collect::<Result<_, PartsRefused>>()?,
    })
}

/// A model as a file's tables.
pub fn parts_file(catalogue: &Catalogue, model: &PartsModel) -> (PartsFile, Vec<SignFile>, Option<AfterFile>) {
    let chances = |replaced: &ChanceByYear| {
        #[expect(clippy::cast_possible_truncation, reason = "whole years")]
        let chance = |&(year, chance): &(f64, f64)| ChanceFile { year: year.round() as i32, chance };
        replaced.points.iter().map(chance).collect::<Vec<_>>()
    };
    let named = |clue: &Clue, shares: &[f64]| {
        clue.levels.iter().map(|level| level.id.clone()).zip(shares.iter().copied()).collect()
    };
    let sign = |sign: &SignTable| {
        let clue = catalogue.clue(&sign.clue)?;
        let (original, replaced) = (named(clue, &sign.original), named(clue, &sign.replaced));
        Some(SignFile { clue: sign.clue.clone(), original, replaced, standing: String::new() })
    };
    let look = |look: &LaterLook| {
        let shares = named(catalogue.clue(&look.clue)?, &look.shares);
        Some(LookFile { clue: look.clue.clone(), shares, standing: String::new() })
    };
    let file = PartsFile {
        shaft_replaced: chances(&model.shaft_replaced),
        grip_replaced: chances(&model.grip_replaced),
        standing: String::new(),
    };
    let some = |chance: &Option<ChanceByYear>| chance.as_ref().map(chances).unwrap_or_default();
    let after = model.after.is_possible().then(|| AfterFile {
        head: model.after.head,
        shaft: some(&model.after.shaft),
        grip: some(&model.after.grip),
        looks: model.after.looks.iter().filter_map(look).collect(),
        standing: String::new(),
    });
    (file, model.signs.iter().filter_map(sign).collect(), after)
}
