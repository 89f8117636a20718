//! The audit as JSON: a contract with a schema number.

use crate::json::shared::SCHEMA;
use agewright_calibration::{Audit, AuditVariants, Means};
use serde::Serialize;
use std::collections::BTreeMap;

/// Means of the model, the prior alone and the plain product; every club; the most surprising ones.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct AuditAnswer {
    schema: u32,
    n: usize,
    model: MeansAnswer,
    prior: MeansAnswer,
    product: MeansAnswer,
    /// The two witnesses, each by itself, where there is a shelf.
    #[serde(skip_serializing_if = "Option::is_none")]
    tables: Option<MeansAnswer>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shelf: Option<MeansAnswer>,
    clubs: Vec<ClubAnswer>,
    surprising: Vec<SurpriseAnswer>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    without: Vec<WithoutAnswer>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    learning_curve: Vec<CurveAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct MeansAnswer {
    log_score: f64,
    crps: f64,
    mae: f64,
    coverage: BTreeMap<&'static str, f64>,
    /// Clubs whose date is narrow enough to test the bands.
    testing: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    coverage_of_testing: Option<BTreeMap<&'static str, f64>>,
}

impl From<&Means> for MeansAnswer {
    fn from(means: &Means) -> Self {
        let by_level = |held: [f64; 3]| ["50", "80", "95"].into_iter().zip(held).collect();
        Self {
            log_score: means.log_score,
            crps: means.crps,
            mae: means.mae,
            coverage: by_level(means.coverage),
            testing: means.testing,
            coverage_of_testing: means.coverage_of_testing.map(by_level),
        }
    }
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClubAnswer {
    id: String,
    made_from: i32,
    made_to: i32,
    median: i32,
    from95: i32,
    to95: i32,
    log_score: f64,
    crps: f64,
    pit: f64,
    tests_bands: bool,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct SurpriseAnswer {
    id: String,
    log_score: f64,
    clue: Option<String>,
    log_score_without: Option<f64>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct WithoutAnswer {
    clue: String,
    #[serde(flatten)]
    model: MeansAnswer,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct CurveAnswer {
    clubs: usize,
    /// Lowest and highest CRPS among the draws of so many clubs.
    #[serde(skip_serializing_if = "Option::is_none")]
    crps_range: Option<(f64, f64)>,
    #[serde(flatten)]
    model: MeansAnswer,
}

impl AuditAnswer {
    /// Everything that an audit found.
    #[must_use]
    pub fn new(audit: &Audit, variants: &AuditVariants) -> Self {
        let [model, prior, product] = audit.means();
        let witnesses = audit.means_of_witnesses();
        let clubs = audit.clubs.iter().map(|club| ClubAnswer {
            id: club.id.clone(),
            made_from: club.made_from,
            made_to: club.made_to,
            median: club.median,
            from95: club.band_95.0,
            to95: club.band_95.1,
            log_score: club.model.log_score,
            crps: club.model.crps,
            pit: club.pit,
            tests_bands: club.model.tests_bands,
        });
        let surprising = audit.surprises.iter().map(|surprise| SurpriseAnswer {
            id: audit.clubs[surprise.club].id.clone(),
            log_score: surprise.log_score,
            clue: surprise.clue.as_ref().map(|(clue, _)| clue.clone()),
            log_score_without: surprise.clue.as_ref().map(|(_, score)| *score),
        });
        let without =
            variants.each_clue.iter().map(|(clue, means)| WithoutAnswer { clue: clue.clone(), model: means.into() });
        let curve = variants.learning_curve.iter().map(|point| CurveAnswer {
            clubs: point.clubs,
            crps_range: point.crps_range,
            model: (&point.means).into(),
        });
        Self {
            schema: SCHEMA,
            n: audit.clubs.len(),
            model: (&model).into(),
            prior: (&prior).into(),
            product: (&product).into(),
            tables: witnesses.as_ref().map(|[tables, _]| tables.into()),
            shelf: witnesses.as_ref().map(|[_, shelf]| shelf.into()),
            clubs: clubs.collect(),
            surprising: surprising.collect(),
            without: without.collect(),
            learning_curve: curve.collect(),
        }
    }
}
