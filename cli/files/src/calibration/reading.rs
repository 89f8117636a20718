//! Reads a calibration file: a TOML that a person can read and edit, checked as a whole.

use crate::calibration::block_form::{BlockNames, FileOrder};
use crate::calibration::calibration_file::{CalibrationFile, SCHEMA};
use crate::calibration::placed::{FileProblem, Placed};
use crate::problem::{InputProblem, Refused, SourceText};
use crate::sha256::sha256;
use crate::toml_places::{problem_at, toml_problem};
use agewright_model::{Calibration, CalibrationError};
use std::sync::Arc;

/// A calibration that was read, with what an answer says of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedCalibration {
    /// The calibration.
    pub calibration: Calibration,
    /// SHA-256 of its file.
    pub sha256: String,
    /// Saved before catalogues told of traps, of what calls for a specialist and of the prior for collections: of these
    /// its answers say nothing until it is fitted again.
    pub is_of_older_layout: bool,
}

impl LoadedCalibration {
    /// Reads and checks a calibration.
    ///
    /// # Errors
    /// [`Refused`] with the first thing that is wrong, and where.
    pub fn read(source: &Arc<SourceText>) -> Result<Self, Refused> {
        let file: CalibrationFile = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
        if file.schema != SCHEMA {
            let problem = FileProblem::Schema(file.schema, SCHEMA);
            return Err(InputProblem::new(source, None, problem.to_string()).into());
        }
        let order = FileOrder::of(&file.block_files());
        let is_of_older_layout = file.is_of_older_layout();
        let wrong = |placed: Placed| problem_at(source, &placed.path, placed.message);
        let contents = file.contents().map_err(wrong)?;
        let names = BlockNames::of(&contents.tables);
        let in_file = |error: &CalibrationError| order.path(&error.path, &names);
        let calibration =
            Calibration::new(contents).map_err(|error| problem_at(source, &in_file(&error), error.to_string()))?;
        Ok(Self { calibration, sha256: sha256(&source.text), is_of_older_layout })
    }
}
