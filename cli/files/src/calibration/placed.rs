//! What is wrong with a calibration file, and where; what all its tables of rows share.

use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::prior::PriorError;
use agewright_model::{Catalogue, Clue};
use indexmap::IndexMap;
use thiserror::Error;

/// What is wrong with a calibration file, beyond what every calibration must keep to.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FileProblem {
    #[error("schema {0} of calibrations is not known; this program reads schema {1}")]
    Schema(u32, u32),
    #[error("measured table \"{0}\" stands twice")]
    TwiceMeasured(String),
    #[error("block of the {part}: \"{clue}\" has no table")]
    NoTable { part: &'static str, clue: String },
    #[error("adjuster \"{clue}\": the {part} has no block to adjust")]
    NoBlock { part: &'static str, clue: String },
    #[error("measured table \"{0}\" stands in no block")]
    LoneTable(String),
    #[error("prior \"{0}\" stands twice")]
    TwicePrior(String),
    #[error("what is made after the years stands without [parts]")]
    LoneAfter,
    #[error("club \"{club}\" of the shelf has {found} readings where {wanted} clues are listed")]
    ShelfReadings { club: String, found: usize, wanted: usize },
    #[error("signs of a replacement stand without [parts]")]
    LoneSigns,
    #[error("table \"{clue}\": row {row} is {from}-{to}, which is no row of the catalogue's years")]
    Row { clue: String, row: usize, from: i32, to: i32 },
    #[error("table \"{0}\": the catalogue has no such clue")]
    NoClue(String),
    #[error("table \"{clue}\": \"{level}\" is no level of the clue")]
    UnknownLevel { clue: String, level: String },
    #[error("table \"{clue}\": level \"{level}\" has no number")]
    NoNumber { clue: String, level: String },
    #[error("adjuster \"{clue}\" has no shifts on {on}")]
    NoShifts { clue: String, on: String },
    #[error("table \"{clue}\": mean {mean} has no logarithm")]
    NoLogarithm { clue: String, mean: f64 },
    #[error("table \"{clue}\": misread = {misread}: it must be at least 0 and below 1")]
    Misread { clue: String, misread: f64 },
    #[error("a draw has no numbers for {0}, or not as many as the table has rows")]
    Draw(String),
    #[error(transparent)]
    Prior(#[from] PriorError),
}

/// A problem and where in the file it stands.
pub struct Placed {
    pub path: DocumentPath,
    pub message: String,
}

pub type Read<T> = Result<T, Placed>;

pub fn placed(path: DocumentPath, problem: impl Into<FileProblem>) -> Placed {
    Placed { path, message: problem.into().to_string() }
}

/// Whether rows stand for the rows of the catalogue's years, in their order.
pub fn rows_fit(
    catalogue: &Catalogue,
    clue: &str,
    path: &DocumentPath,
    rows: impl Iterator<Item = (i32, i32)>,
) -> Read<()> {
    let axis = catalogue.axis();
    for (row, (from, to)) in rows.enumerate() {
        if row >= axis.n_rows() || axis.row_years(row) != (from, to) {
            let problem = FileProblem::Row { clue: clue.to_owned(), row: row + 1, from, to };
            return Err(placed(path.clone().then("rows").at(row), problem));
        }
    }
    Ok(())
}

pub fn find<'a>(catalogue: &'a Catalogue, id: &str, path: &DocumentPath) -> Read<&'a Clue> {
    catalogue.clue(id).ok_or_else(|| placed(path.clone(), FileProblem::NoClue(id.to_owned())))
}

/// Numbers by level in the order of the catalogue; every level once.
pub fn numbers_by_level(clue: &Clue, numbers: &IndexMap<String, f64>, path: &DocumentPath) -> Read<Vec<f64>> {
    if let Some(unknown) = numbers.keys().find(|key| clue.level_ix(key).is_none()) {
        let problem = FileProblem::UnknownLevel { clue: clue.id.clone(), level: unknown.clone() };
        return Err(placed(path.clone().then(unknown), problem));
    }
    let number = |id: &String| {
        let missing = || FileProblem::NoNumber { clue: clue.id.clone(), level: id.clone() };
        numbers.get(id).copied().ok_or_else(|| placed(path.clone(), missing()))
    };
    clue.levels.iter().map(|level| number(&level.id)).collect()
}
