//! What several answers have in common.

use crate::files::LoadedCalibration;
use agewright_model::{LedgerMethod, Posterior, WithoutClue};
use serde::Serialize;

/// Number of the contract; it rises when a field changes its meaning or goes.
pub const SCHEMA: u32 = 1;

#[derive(Debug, Serialize)]
pub struct CalibrationName {
    pub name: String,
    pub sha256: String,
}

impl CalibrationName {
    pub fn of(loaded: &LoadedCalibration) -> Self {
        Self { name: loaded.calibration.name.clone(), sha256: loaded.sha256.clone() }
    }
}

/// Median and 80 % band.
#[derive(Debug, Serialize)]
pub struct Span {
    pub median: i32,
    pub from: i32,
    pub to: i32,
}

impl From<&WithoutClue> for Span {
    fn from(answer: &WithoutClue) -> Self {
        Self { median: answer.median, from: answer.from, to: answer.to }
    }
}

impl From<&Posterior> for Span {
    fn from(posterior: &Posterior) -> Self {
        let band = posterior.band(0.8);
        Self { median: posterior.median(), from: band.from(), to: band.to() }
    }
}

/// How Shapley shares were computed.
#[derive(Debug, Serialize)]
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
