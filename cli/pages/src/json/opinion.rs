//! What moved an opinion, as JSON.

use crate::json::shared::SCHEMA;
use crate::words::opinion_change::OpinionChange;
use agewright_files::opinion::{AnswerThen, Opinion};
use agewright_model::questions::opinion_change::Ingredient;
use serde::Serialize;
use std::collections::BTreeMap;

/// Two opinions, and what moved.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OpinionChangeAnswer {
    schema: u32,
    id: String,
    part: &'static str,
    old: OpinionInShort,
    new: OpinionInShort,
    /// Change of the average year: the sum of all shares and of `program_years`.
    change_years: f64,
    shares: Vec<ShareAnswer>,
    /// What the program moved: the kept answers, less what the same questions give today.
    program_years: f64,
    readings: Vec<ReadingAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OpinionInShort {
    on: String,
    program: String,
    calibration: String,
    calibration_sha256: String,
    prior: String,
    date_line: String,
    mean: f64,
    median: i32,
    #[serde(skip_serializing_if = "Option::is_none")]
    before: Option<i32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    probability_before: Option<f64>,
    /// Date lines of the other parts, by their names.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    other_parts: BTreeMap<String, String>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ShareAnswer {
    /// `readings`, `calibration`, `prior`, `question`; several where they cannot be told apart.
    ingredients: Vec<&'static str>,
    years: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ReadingAnswer {
    clue: String,
    old: Option<String>,
    new: Option<String>,
}

impl OpinionInShort {
    fn of(opinion: &Opinion, answer: &AnswerThen) -> Self {
        Self {
            on: opinion.on.clone(),
            program: opinion.program.clone(),
            calibration: opinion.calibration_name.clone(),
            calibration_sha256: opinion.calibration_sha256.clone(),
            prior: opinion.asked.prior.clone(),
            date_line: answer.date_line.clone(),
            mean: answer.mean,
            median: answer.median,
            before: opinion.asked.before,
            probability_before: answer.probability_before,
            other_parts: opinion
                .answers
                .iter()
                .filter(|other| other.part != answer.part)
                .map(|other| (other.part.clone(), other.date_line.clone()))
                .collect(),
        }
    }
}

impl OpinionChangeAnswer {
    /// Everything that moved.
    #[must_use]
    pub fn new(change: &OpinionChange) -> Self {
        let name = |ingredient: &Ingredient| match ingredient {
            Ingredient::Readings => "readings",
            Ingredient::Calibration => "calibration",
            Ingredient::Prior => "prior",
            Ingredient::Question => "question",
        };
        Self {
            schema: SCHEMA,
            id: change.new.id.clone(),
            part: change.part.word(),
            old: OpinionInShort::of(&change.old, &change.old_answer),
            new: OpinionInShort::of(&change.new, &change.new_answer),
            change_years: change.years(),
            shares: change
                .shares
                .iter()
                .map(|share| ShareAnswer {
                    ingredients: share.ingredients.iter().map(name).collect(),
                    years: share.years,
                })
                .collect(),
            program_years: change.program,
            readings: change
                .readings
                .iter()
                .map(|one| ReadingAnswer { clue: one.clue.clone(), old: one.old.clone(), new: one.new.clone() })
                .collect(),
        }
    }
}
