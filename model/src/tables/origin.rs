//! Where a calibration came from, and how good its answers were.

use serde::{Deserialize, Serialize};

/// Where a calibration came from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Origin {
    /// Program and version that fitted it.
    pub program: String,
    /// Dated clubs fitted on.
    pub clubs: usize,
    /// How many of them belong to sets of two or more, and to how many such sets: those were left out together wherever
    /// clubs were left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_sets: Option<InSets>,
    /// Expected number of dated clubs in each row of years; empty in calibrations saved before it was told.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clubs_by_row: Vec<f64>,
    /// Earliest and latest year among them, inclusive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dated: Option<[i32; 2]>,
    /// File name of the catalogue.
    pub catalogue_file: String,
    /// SHA-256 of the catalogue file.
    pub catalogue_sha256: String,
    /// File name of the collection.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub collection_file: String,
    /// SHA-256 of the collection file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub collection_sha256: String,
    /// File name of the rules of thumb.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rules_file: String,
    /// SHA-256 of the rules file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rules_sha256: String,
    /// What the reader of every answer should know, e.g. that the data are invented.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notice: String,
    /// How good its answers were on its own clubs, each dated by a fit without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub audit: Option<AuditFigures>,
}

/// Clubs that belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct InSets {
    /// Clubs in sets of two or more.
    pub clubs: usize,
    /// Number of those sets.
    pub sets: usize,
}

/// The figures of an audit that a calibration carries with it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AuditFigures {
    /// Number of folds.
    pub folds: usize,
    /// Clubs dated.
    pub clubs: usize,
    /// Mean log score in nats.
    pub log_score: f64,
    /// Mean CRPS in years.
    pub crps: f64,
    /// Mean CRPS of the prior alone, in years.
    pub crps_of_prior: f64,
    /// Share of the dates inside the 50, 80 and 95 % bands.
    pub coverage: [f64; 3],
    /// Clubs whose date is narrow enough to test the bands; `None` in calibrations that were saved before it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub testing: Option<usize>,
    /// Share of those dates alone inside the bands, where there are enough to tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coverage_of_testing: Option<[f64; 3]>,
}
