//! Writes a calibration file.

use crate::calibration::calibration_file::CalibrationFile;
use crate::calibration::document::layout;
use crate::problem::WritingError;
use agewright_model::Calibration;

/// The text of a calibration file, which [`LoadedCalibration::read`] reads again.
///
/// [`LoadedCalibration::read`]: crate::LoadedCalibration::read
///
/// # Errors
/// [`WritingError`] where it cannot be written as TOML; there should be no such calibration.
///
/// ```
/// use agewright_files::{LoadedCalibration, SourceText, built_in, calibration_text};
///
/// let calibration = built_in().unwrap().calibration;
/// let text = calibration_text(&calibration).unwrap();
/// let again = LoadedCalibration::read(&SourceText::new("again.toml", &text)).unwrap();
/// assert_eq!(again.calibration, calibration);
/// ```
pub fn calibration_text(calibration: &Calibration) -> Result<String, WritingError> {
    let document = toml_edit::ser::to_document(&CalibrationFile::of(calibration))
        .map_err(|error| WritingError { what: "the calibration", why: error.to_string() })?;
    Ok(layout(document))
}
