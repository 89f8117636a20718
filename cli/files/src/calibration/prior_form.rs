//! A prior in a calibration file.

use crate::calibration::placed::{FileProblem, Read, placed};
use crate::calibration::tidy::{tidy, tidy_each};
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::{Axis, Catalogue, Prior, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

fn is_no(value: &bool) -> bool {
    !value
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PriorRowFile {
    pub from: i32,
    pub to: i32,
    pub mass: f64,
}

/// All priors but the flat one, which every calibration has, as the file has them.
pub fn prior_files(tables: &TableSet) -> Vec<PriorFile> {
    tables.priors.iter().filter(|prior| prior.name != Prior::FLAT).map(prior_file).collect()
}

fn prior_file(prior: &Prior) -> PriorFile {
    let row = |r: &PriorRow| PriorRowFile { from: r.from, to: r.to, mass: tidy(r.mass) };
    PriorFile {
        name: prior.name.clone(),
        spread: prior.spread.into(),
        about: prior.about.clone(),
        for_collections: prior.for_collections,
        rows: prior.rows.iter().map(row).collect(),
    }
}

/// The priors that the file says, and the flat one.
pub fn priors(catalogue: &Catalogue, files: &[PriorFile]) -> Read<Vec<Prior>> {
    let axis = catalogue.axis();
    let mut priors = vec![Prior::flat(axis)];
    for (place, file) in files.iter().enumerate() {
        let path = || DocumentPath::key("prior").at(place);
        if priors.iter().any(|other| other.name == file.name) {
            return Err(placed(path(), FileProblem::TwicePrior(file.name.clone())));
        }
        let rows = file.rows.iter().map(|row| PriorRow { from: row.from, to: row.to, mass: row.mass }).collect();
        let prior = Prior::from_rows(axis, &file.name, file.spread.into(), rows);
        let prior = prior.map_err(|error| placed(path().then("rows"), error))?;
        priors.push(prior.described(&file.about, file.for_collections));
    }
    Ok(priors)
}

/// By prior its masses, in a draw.
pub type Masses = IndexMap<String, Vec<f64>>;

/// What a draw has of priors: those that are fitted.
pub fn drawn_masses(draw: &TableSet) -> Masses {
    let fitted = draw.priors.iter().filter(|prior| prior.spread == Spread::Linear);
    fitted.map(|prior| (prior.name.clone(), tidy_each(prior.rows.iter().map(|row| row.mass)))).collect()
}

/// Puts a draw's masses into the priors; one that makes no prior is `Err` with its name.
pub fn put_masses(axis: Axis, drawn: &Masses, tables: &mut TableSet) -> Result<(), String> {
    for prior in &mut tables.priors {
        if let Some(masses) = drawn.get(&prior.name).filter(|masses| masses.len() == prior.rows.len()) {
            let rows = prior.rows.iter().zip(masses).map(|(row, &mass)| PriorRow { mass, ..*row }).collect();
            let new = Prior::from_rows(axis, &prior.name, prior.spread, rows).map_err(|_| prior.name.clone())?;
            *prior = new.described(&prior.about, prior.for_collections);
        }
    }
    Ok(())
}
