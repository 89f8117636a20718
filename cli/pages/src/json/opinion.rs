//! What moved an opinion, as JSON.

use crate::json::shared::SCHEMA;
use crate::words::opinion_change::{OpinionChange, PartChange};
use agewright_files::opinion::{AnswerThen, Opinion};
use agewright_model::questions::opinion_change::{ChangeShare, Ingredient};
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
    /// The same of the parts that both opinions are of, but for the first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    other_parts: Vec<PartAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct PartAnswer {
    part: &'static str,
    old_mean: f64,
    new_mean: f64,
    change_years: f64,
    shares: Vec<ShareAnswer>,
    program_years: f64,
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
    /// Whether that is no more than the least that it can be.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    at_least: bool,
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
            at_least: answer.is_at_least,
            other_parts: opinion
                .answers
                .iter()
                .filter(|other| other.part != answer.part)
                .map(|other| (other.part.clone(), other.date_line.clone()))
                .collect(),
        }
    }
}

impl ShareAnswer {
    fn all(part: &PartChange) -> Vec<Self> {
        let name = |ingredient: &Ingredient| match ingredient {
            Ingredient::Readings => "readings",
            Ingredient::Calibration => "calibration",
            Ingredient::Prior => "prior",
            Ingredient::Question => "question",
        };
        let of = |share: &ChangeShare| Self {
            ingredients: share.ingredients.iter().map(name).collect(),
            years: share.years,
        };
        part.shares.iter().map(of).collect()
    }
}

impl PartAnswer {
    fn of(part: &PartChange) -> Self {
        Self {
            part: part.part.word(),
            old_mean: part.old.mean,
            new_mean: part.new.mean,
            change_years: part.years(),
            shares: ShareAnswer::all(part),
            program_years: part.program,
        }
    }
}

impl OpinionChangeAnswer {
    /// Everything that moved.
    #[must_use]
    pub fn new(change: &OpinionChange) -> Self {
        let main = &change.main;
        Self {
            schema: SCHEMA,
            id: change.new.id.clone(),
            part: main.part.word(),
            old: OpinionInShort::of(&change.old, &main.old),
            new: OpinionInShort::of(&change.new, &main.new),
            change_years: main.years(),
            shares: ShareAnswer::all(main),
            program_years: main.program,
            readings: change
                .readings
                .iter()
                .map(|one| ReadingAnswer { clue: one.clue.clone(), old: one.old.clone(), new: one.new.clone() })
                .collect(),
            other_parts: change.others.iter().map(PartAnswer::of).collect(),
        }
    }
}
