//! The calibration that is used when none is named.

use crate::calibration::reading::LoadedCalibration;
use crate::problem::{Refused, SourceText};

/// Text of the built-in calibration: made by `fit` from the starter rules for irons. No dated collection backs it.
pub const BUILT_IN: &str = include_str!("../../irons/irons-calibration.toml");

/// The catalogue that it is of, to start one's own from.
pub const STARTER_CATALOGUE: &str = include_str!("../../irons/irons.toml");
/// Years of use of marks, that the catalogue names beside it.
pub const STARTER_MARKS: &str = include_str!("../../irons/marks.csv");
/// The starter rules for irons.
pub const STARTER_RULES: &str = include_str!("../../irons/rules.toml");

/// The built-in calibration, read.
///
/// # Errors
/// [`Refused`] only where the text that was built in is broken; a test sees that it is not.
///
/// ```
/// let loaded = agewright_files::built_in().unwrap();
/// assert_eq!(loaded.calibration.name(), "Starter rules for irons");
/// assert!(loaded.calibration.is_of_rules_alone());
/// ```
pub fn built_in() -> Result<LoadedCalibration, Refused> {
    LoadedCalibration::read(&SourceText::new("(built in)", BUILT_IN))
}
