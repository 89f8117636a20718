//! The calibration that is used when none is named.

use crate::failure::{Failure, SourceText};
use crate::files::{LoadedCalibration, load_calibration};
use std::rc::Rc;

/// Text of the built-in calibration: made by `fit` from the starter rules for irons.
pub const BUILT_IN: &str = include_str!("../irons/irons-calibration.toml");

/// Reads the built-in calibration.
pub fn built_in() -> Result<LoadedCalibration, Failure> {
    load_calibration(&Rc::new(SourceText { name: "(built in)".to_owned(), text: BUILT_IN.to_owned() }))
}
