//! An opinion as it is kept: what was read and asked, by which calibration, and what was answered, on which day.

use crate::problem::{InputProblem, Refused, SourceText};
use crate::sha256::sha256;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What the file is, so that no other JSON is taken for one.
const KIND: &str = "opinion";
/// Number of the layout.
const SCHEMA: u32 = 1;
/// Where the seal stands before it is known.
const OPEN_SEAL: &str = "\"seal\": \"\"";

/// The file of an opinion.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OpinionFile {
    kind: String,
    schema: u32,
    /// SHA-256 of the file but for this: what is kept is not to be changed. It is over the text, not over numbers that
    /// are read and written again.
    seal: String,
    opinion: Opinion,
}

/// An opinion that is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opinion {
    /// The club's id.
    pub id: String,
    /// The day, `2026-11-29`.
    pub on: String,
    /// The program and its version.
    pub program: String,
    /// Name of the record's file, which lay beside this one; empty where there was none.
    pub record_file: String,
    /// What was asked.
    pub asked: AskedThen,
    /// What was answered, one for each part that was read, the first part first.
    pub answers: Vec<AnswerThen>,
    /// The record itself (TOML).
    pub record: String,
    /// Name of the calibration.
    pub calibration_name: String,
    /// SHA-256 of the calibration's file at the time.
    pub calibration_sha256: String,
    /// The calibration itself (TOML), marks that were added to it within.
    pub calibration: String,
}

/// What was asked beyond the record and the calibration.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AskedThen {
    /// Name of the prior.
    pub prior: String,
    /// Clues that were left out, by their ids.
    pub without: Vec<String>,
    /// Years by which a club from elsewhere may lead or lag.
    pub elsewhere: Option<f64>,
    /// A year before which the chance was asked for.
    pub before: Option<i32>,
}

/// What was answered for a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AnswerThen {
    /// The part.
    pub part: String,
    /// The date line.
    pub date_line: String,
    /// Average year.
    pub mean: f64,
    /// Middle year.
    pub median: i32,
    /// Chance that it was made before the year that was asked for.
    pub probability_before: Option<f64>,
    /// Whether that is no more than the least that it can be; told by no opinion of an older program.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_at_least: bool,
    /// By year from the first of the axis.
    pub probability: Vec<f64>,
}

impl Opinion {
    /// The text under its seal: SHA-256 of the text with nothing where the seal stands.
    fn seal_of(text: &str) -> String {
        sha256(&text.replace('\r', ""))
    }

    /// Reads an opinion.
    ///
    /// # Errors
    /// [`Refused`] for a file that is none, or of a later layout.
    pub fn read(source: &Arc<SourceText>) -> Result<Self, Refused> {
        let wrong = |message: String| InputProblem::new(source, None, message);
        let file: OpinionFile = serde_json::from_str(&source.text).map_err(|error| {
            wrong(format!("this is no saved opinion: {error}")).help(Some("opinion save makes one".to_owned()))
        })?;
        if file.kind != KIND || file.schema > SCHEMA {
            return Err(wrong(format!("this is no saved opinion of layout {SCHEMA}")).into());
        }
        let open = source.text.replacen(&format!("\"seal\": \"{}\"", file.seal), OPEN_SEAL, 1);
        if Self::seal_of(&open) != file.seal {
            let problem = wrong("this opinion was changed since it was saved".to_owned());
            return Err(problem.help(Some("take it from a copy, or save a new one".to_owned())).into());
        }
        let opinion = file.opinion;
        let is_number = |v: &f64| v.is_finite();
        let all = |answer: &AnswerThen| is_number(&answer.mean) && answer.probability.iter().all(is_number);
        if opinion.answers.is_empty() || !opinion.answers.iter().all(all) {
            return Err(wrong("this opinion holds no answer".to_owned()).into());
        }
        Ok(opinion)
    }

    /// The opinion as it is kept.
    ///
    /// # Errors
    /// An error of JSON, which there should be none of.
    pub fn text(&self) -> Result<String, serde_json::Error> {
        let (kind, seal) = (KIND.to_owned(), String::new());
        let file = OpinionFile { kind, schema: SCHEMA, seal, opinion: self.clone() };
        let open = serde_json::to_string_pretty(&file)? + "\n";
        Ok(open.replacen(OPEN_SEAL, &format!("\"seal\": \"{}\"", Self::seal_of(&open)), 1))
    }
}
