//! What several answers have in common.

use agewright_files::LoadedCalibration;
use agewright_model::answer::ledger::LedgerMethod;
use agewright_model::{KnownDate, ShortAnswer};
use serde::Serialize;

/// Number of the contract; it rises when a field changes its meaning or goes. 2: an audit's `clubs` were `objects`, and
/// an entry of the ledger has no `support`.
pub const SCHEMA: u32 = 2;

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CalibrationName {
    pub name: String,
    pub sha256: String,
}

impl CalibrationName {
    pub fn of(loaded: &LoadedCalibration) -> Self {
        Self { name: loaded.calibration.name().to_owned(), sha256: loaded.sha256.clone() }
    }
}

/// Median and 80 % band.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Span {
    pub median: i32,
    pub from: i32,
    pub to: i32,
    /// First and last years of the runs that the band is made of, where they are several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<[i32; 2]>,
}

impl From<&ShortAnswer> for Span {
    fn from(answer: &ShortAnswer) -> Self {
        let pieces = answer.pieces.iter().map(|piece| [piece.from, piece.to]).collect();
        Self { median: answer.median, from: answer.from, to: answer.to, pieces }
    }
}

/// How Shapley shares were computed.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Method {
    method: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    orders: Option<usize>,
}

pub fn method(method: LedgerMethod) -> Method {
    match method {
        LedgerMethod::Exact => Method { method: "exact", orders: None },
        LedgerMethod::Orders(n) => Method { method: "orders", orders: Some(n) },
    }
}

/// The date that is given with a club, which is no evidence.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(crate) struct Given {
    from: i32,
    to: i32,
    /// 1 documented, 2 register or tenure, 3 published, 4 opinion of the trade, 5 own opinion.
    grade: u8,
    /// Whether somebody gave the grade; else it is the one that such a date is taken to be of.
    grade_is_given: bool,
}

impl Given {
    /// Of a date.
    pub fn of(date: &KnownDate) -> Self {
        Self {
            from: date.from(),
            to: date.to(),
            grade: date.grade().number(),
            grade_is_given: !date.has_assumed_grade(),
        }
    }
}
