//! A whole calibration: tables, dates, exponents, and what changed.

pub mod comparison;
pub mod date_narrowing;
pub mod exponents;
pub mod fit;
pub mod fold_evidence;
pub mod gain;
pub mod resampling;
pub mod rule_conflicts;
pub mod weight_fit;
