//! Reads and writes a catalogue.

use crate::drawings::{check_named, check_own};
use crate::problem::{InputProblem, Problems, Refused, SourceText};
use crate::toml_places::{problem_at, toml_problem};
use agewright_model::reading::document_path::{DocumentPath, Step};
use agewright_model::reading::drawing::Drawing;
use agewright_model::reading::specialist::SpecialistReasons;
use agewright_model::reading::trap::Trap;
use agewright_model::{Axis, Catalogue, CatalogueError, Clue};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A catalogue as its file has it, and as it stands within a calibration.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CatalogueFile {
    name: String,
    years: YearRange,
    #[serde(default = "a_decade")]
    step: i32,
    #[serde(rename = "clue", default)]
    clues: Vec<Clue>,
    #[serde(rename = "trap", default, skip_serializing_if = "Vec::is_empty")]
    traps: Vec<Trap>,
    #[serde(default, skip_serializing_if = "SpecialistReasons::is_empty")]
    specialist: SpecialistReasons,
    #[serde(rename = "drawing", default, skip_serializing_if = "Vec::is_empty")]
    drawings: Vec<Drawing>,
}

/// First year and first year after.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct YearRange {
    from: i32,
    to: i32,
}

fn a_decade() -> i32 {
    10
}

impl CatalogueFile {
    /// A catalogue as a file has it.
    #[must_use]
    pub fn of(catalogue: &Catalogue) -> Self {
        let axis = catalogue.axis();
        Self {
            name: catalogue.name().to_owned(),
            years: YearRange { from: axis.from(), to: axis.to() },
            step: axis.step(),
            clues: catalogue.clues().to_vec(),
            traps: catalogue.traps().to_vec(),
            specialist: catalogue.specialist().clone(),
            drawings: catalogue.drawings().to_vec(),
        }
    }

    /// The catalogue that the file says.
    ///
    /// # Errors
    /// [`CatalogueError`] with the path of what is wrong.
    pub fn catalogue(self) -> Result<Catalogue, CatalogueError> {
        let axis = Axis::new(self.years.from, self.years.to, self.step).map_err(CatalogueError::of_axis)?;
        check_own(&self.drawings)?;
        let catalogue = Catalogue::new(&self.name, axis, self.clues)?.with_traps(self.traps)?;
        Ok(catalogue.with_specialist(self.specialist).with_drawings(self.drawings))
    }
}

/// Reads a catalogue from its text; errors carry their place. The years of use of its marks stand in files of their
/// own, which its clues name.
///
/// # Errors
/// [`Refused`] for a text that is no catalogue, with what is wrong with each of its clues.
///
/// ```
/// use agewright_files::{SourceText, read_catalogue};
///
/// let text = "name = \"small\"\nyears = { from = 1800, to = 1900 }\n\
///             [[clue]]\nid = \"pin\"\nkind = \"levels\"\nlevels = [\"side_side\"]\npart = \"head\"\nmisread = 0.05\n";
/// let refused = read_catalogue(&SourceText::new("cat.toml", text)).unwrap_err();
/// assert_eq!(refused.to_string(), "cat.toml:6: clue \"pin\": it needs two levels or more, and has 1");
/// ```
pub fn read_catalogue(source: &Arc<SourceText>) -> Result<Catalogue, Refused> {
    let file: CatalogueFile = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
    let clues = clue_problems(source, &file);
    if !clues.is_empty() {
        return Err(Refused::Problems(clues));
    }
    let catalogue = file.catalogue().map_err(|error| catalogue_problem(source, &error))?;
    check_named(&catalogue).map_err(|error| catalogue_problem(source, &error))?;
    Ok(catalogue)
}

/// What is wrong with each clue by itself, all together.
fn clue_problems(source: &Arc<SourceText>, file: &CatalogueFile) -> Problems {
    let Ok(axis) = Axis::new(file.years.from, file.years.to, file.step) else { return Problems::default() };
    let wrong = |(place, clue): (usize, &Clue)| {
        let mut error = Catalogue::new(&file.name, axis, vec![clue.clone()]).err()?;
        // What is wrong with the catalogue itself is told once, by the whole.
        error.path.steps().first().filter(|step| **step == Step::Key("clue".to_owned()))?;
        error.path = in_its_place(&error.path, place);
        Some(catalogue_problem(source, &error))
    };
    file.clues.iter().enumerate().filter_map(wrong).collect()
}

/// A path into the only clue, as one into the clue of this place.
fn in_its_place(path: &DocumentPath, place: usize) -> DocumentPath {
    let own = DocumentPath::key("clue").at(place);
    path.steps().iter().skip(2).fold(own, |path, step| match step {
        Step::Key(key) => path.then(key),
        Step::Index(at) => path.at(*at),
    })
}

fn catalogue_problem(source: &Arc<SourceText>, error: &CatalogueError) -> InputProblem {
    problem_at(source, &error.path, error.to_string())
}
