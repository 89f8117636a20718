//! Reads a calibration file: a TOML that a person can read and edit, checked as a whole.

use crate::calibration::layout::{
    AdjusterFile, BlockFile, CalibrationFile, LevelFile, LevelRowFile, MarkFile, MeasuredFile, MeasuredRowFile,
    PriorFile,
};
use crate::calibration::parts::{PartsProblem, parts_model};
use crate::problem::{InputProblem, Refused, SourceText};
use crate::sha256::sha256;
use crate::toml_places::{problem_at, toml_problem};
use agewright_model::reading::document_path::{DocumentPath, Step};
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::mark_use::MarkUse;
use agewright_model::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::tables::prior::{PriorError, PriorRow};
use agewright_model::{Calibration, CalibrationContents, CalibrationError, Catalogue, Clue, Part, Prior, TableSet};
use indexmap::IndexMap;
use std::sync::Arc;
use thiserror::Error;

/// Version of the file's layout.
pub const SCHEMA: u32 = 1;

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

/// What is wrong with a calibration file, beyond what every calibration must keep to.
#[derive(Debug, Clone, PartialEq, Error)]
enum FileProblem {
    #[error("schema {0} of calibrations is not known; this program reads schema {SCHEMA}")]
    Schema(u32),
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
struct Placed {
    path: DocumentPath,
    message: String,
}

type Read<T> = Result<T, Placed>;

fn placed(path: DocumentPath, problem: impl Into<FileProblem>) -> Placed {
    Placed { path, message: problem.into().to_string() }
}

impl LoadedCalibration {
    /// Reads and checks a calibration.
    ///
    /// # Errors
    /// [`Refused`] with the first thing that is wrong, and where.
    pub fn read(source: &Arc<SourceText>) -> Result<Self, Refused> {
        let file: CalibrationFile = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
        if file.schema != SCHEMA {
            return Err(InputProblem::new(source, None, FileProblem::Schema(file.schema).to_string()).into());
        }
        let order = FileOrder::of(&file);
        let tables = file.level_tables.iter().map(|table| table.misread);
        let is_of_older_layout = tables.chain(file.measured.iter().map(|table| table.misread)).any(|e| e.is_some());
        let wrong = |placed: Placed| problem_at(source, &placed.path, placed.message);
        let contents = contents(file).map_err(wrong)?;
        let in_file = |error: &CalibrationError, names: &Names| order.path(&error.path, names);
        let names = Names::of(&contents.tables);
        let calibration = Calibration::new(contents)
            .map_err(|error| problem_at(source, &in_file(&error, &names), error.to_string()))?;
        Ok(Self { calibration, sha256: sha256(&source.text), is_of_older_layout })
    }
}

/// Clues of measured tables and adjusters as the blocks of a calibration have them.
struct Names {
    blocks: Vec<(Part, Vec<String>, Vec<String>)>,
}

impl Names {
    fn of(tables: &TableSet) -> Self {
        let names = |block: &MeasuredBlock| {
            let clues = block.clues.iter().map(|table| table.clue.clone()).collect();
            (block.part, clues, block.adjusters.iter().map(|adjuster| adjuster.clue.clone()).collect())
        };
        Self { blocks: tables.blocks.iter().map(names).collect() }
    }
}

/// The order in which a file lists its measured tables and adjusters.
struct FileOrder {
    measured: Vec<String>,
    adjusters: Vec<(Part, String)>,
}

impl FileOrder {
    fn of(file: &CalibrationFile) -> Self {
        Self {
            measured: file.measured.iter().map(|table| table.clue.clone()).collect(),
            adjusters: file.adjusters.iter().map(|adjuster| (adjuster.part, adjuster.clue.clone())).collect(),
        }
    }

    /// A calibration's path as the file has it: the tables of a block stand in lists of their own there.
    fn path(&self, path: &DocumentPath, names: &Names) -> DocumentPath {
        let [Step::Key(_), Step::Index(block), Step::Key(list), Step::Index(place), rest @ ..] = path.steps() else {
            return path.clone();
        };
        let Some((part, clues, adjusters)) = names.blocks.get(*block) else { return path.clone() };
        let start = match list.as_str() {
            "clues" => {
                let own = self.measured.iter().position(|clue| Some(clue) == clues.get(*place));
                own.map(|ix| DocumentPath::key("measured").at(ix))
            }
            "adjusters" => {
                let own = |entry: &(Part, String)| entry.0 == *part && Some(&entry.1) == adjusters.get(*place);
                self.adjusters.iter().position(own).map(|ix| DocumentPath::key("adjuster").at(ix))
            }
            _ => None,
        };
        let Some(start) = start else { return path.clone() };
        rest.iter().fold(start, |path, step| match step {
            Step::Key(key) => path.then(key),
            Step::Index(at) => path.at(*at),
        })
    }
}

fn contents(file: CalibrationFile) -> Read<CalibrationContents> {
    let catalogue = file.catalogue.clone().catalogue().map_err(|error| Placed {
        message: error.to_string(),
        path: error.path.within(DocumentPath::key("catalogue")),
    })?;
    let catalogue = with_misread_of_tables(catalogue, &file)?;
    let levels = file.level_tables.iter().enumerate().map(|(place, table)| {
        let path = DocumentPath::key("levels").at(place);
        level_table(&catalogue, table, &path)
    });
    let levels = levels.collect::<Read<Vec<LevelTable>>>()?;
    let blocks = blocks(&catalogue, &file)?;
    let tables = TableSet { levels, blocks, priors: priors(&catalogue, &file.priors)? };
    let refused = |path: DocumentPath, problem: &PartsProblem| Placed { path, message: problem.to_string() };
    let parts = file.parts.as_ref().map(|parts| parts_model(&catalogue, parts, &file.signs)).transpose();
    let parts = parts.map_err(|error| refused(error.path, &error.problem))?;
    if parts.is_none() && !file.signs.is_empty() {
        return Err(placed(DocumentPath::key("sign").at(0), FileProblem::LoneSigns));
    }
    let draw = |(place, draw): (usize, &crate::calibration::draws::DrawFile)| {
        let path = DocumentPath::key("draw").at(place);
        draw.applied_to(catalogue.axis(), &tables).map_err(|what| placed(path, FileProblem::Draw(what)))
    };
    Ok(CalibrationContents {
        draws: file.draws.iter().enumerate().map(draw).collect::<Read<_>>()?,
        name: file.name,
        origin: file.origin,
        default_prior: file.default_prior,
        marks: file.marks.into_iter().map(mark_use).collect(),
        parts,
        catalogue,
        tables,
    })
}

/// Files of earlier versions give each table a chance of misreading of its own, which then counts.
fn with_misread_of_tables(catalogue: Catalogue, file: &CalibrationFile) -> Read<Catalogue> {
    let levels = file.level_tables.iter().enumerate().map(|(ix, table)| ("levels", ix, &table.clue, table.misread));
    let measured = file.measured.iter().enumerate().map(|(ix, table)| ("measured", ix, &table.clue, table.misread));
    let mut given: IndexMap<&str, f64> = IndexMap::new();
    for (list, ix, clue, misread) in levels.chain(measured) {
        let Some(misread) = misread else { continue };
        if !(0.0..1.0).contains(&misread) {
            let path = DocumentPath::key(list).at(ix).then("misread");
            return Err(placed(path, FileProblem::Misread { clue: clue.clone(), misread }));
        }
        given.insert(clue, misread);
    }
    let changed = catalogue.with_misread(|clue| given.get(clue.id.as_str()).copied().unwrap_or(clue.misread));
    changed
        .map_err(|error| Placed { message: error.to_string(), path: error.path.within(DocumentPath::key("catalogue")) })
}

fn blocks(catalogue: &Catalogue, file: &CalibrationFile) -> Read<Vec<MeasuredBlock>> {
    let mut measured: IndexMap<&str, (usize, MeasuredTable)> = IndexMap::new();
    for (place, table) in file.measured.iter().enumerate() {
        let path = DocumentPath::key("measured").at(place);
        let read = measured_table(catalogue, table, &path)?;
        if measured.insert(&table.clue, (place, read)).is_some() {
            return Err(placed(path, FileProblem::TwiceMeasured(table.clue.clone())));
        }
    }
    let mut blocks = Vec::new();
    for (place, BlockFile { part, degrees_of_freedom, weight, clues, correlation }) in file.blocks.iter().enumerate() {
        let mut tables = Vec::new();
        for clue in clues {
            let missing = || FileProblem::NoTable { part: part.word(), clue: clue.clone() };
            let own = measured.shift_remove(clue.as_str());
            tables.push(own.ok_or_else(|| placed(DocumentPath::key("block").at(place), missing()))?.1);
        }
        let own = file.adjusters.iter().enumerate().filter(|(_, adjuster)| adjuster.part == *part);
        let adjusters = own
            .map(|(ix, adjuster)| level_adjuster(catalogue, &tables, adjuster, &DocumentPath::key("adjuster").at(ix)));
        let adjusters = adjusters.collect::<Read<_>>()?;
        let (degrees_of_freedom, weight, correlation) = (*degrees_of_freedom, *weight, correlation.clone());
        blocks.push(MeasuredBlock { part: *part, degrees_of_freedom, weight, clues: tables, adjusters, correlation });
    }
    let is_lone = |adjuster: &AdjusterFile| blocks.iter().all(|block| block.part != adjuster.part);
    if let Some(place) = file.adjusters.iter().position(is_lone) {
        let AdjusterFile { part, clue, .. } = &file.adjusters[place];
        let problem = FileProblem::NoBlock { part: part.word(), clue: clue.clone() };
        return Err(placed(DocumentPath::key("adjuster").at(place), problem));
    }
    if let Some((clue, (place, _))) = measured.first() {
        let problem = FileProblem::LoneTable((*clue).to_owned());
        return Err(placed(DocumentPath::key("measured").at(*place), problem));
    }
    Ok(blocks)
}

fn priors(catalogue: &Catalogue, files: &[PriorFile]) -> Read<Vec<Prior>> {
    let axis = catalogue.axis();
    let mut priors = vec![Prior::flat(axis)];
    for (place, file) in files.iter().enumerate() {
        let path = || DocumentPath::key("prior").at(place);
        if priors.iter().any(|other| other.name == file.name) {
            return Err(placed(path(), FileProblem::TwicePrior(file.name.clone())));
        }
        let rows = file.rows.iter().map(|row| PriorRow { from: row.from, to: row.to, mass: row.mass }).collect();
        let prior = Prior::from_rows(axis, &file.name, file.spread.into(), rows);
        let prior = prior.map_err(|error| placed(path().then("rows"), error))?;
        priors.push(prior.described(&file.about, file.for_collections));
    }
    Ok(priors)
}

fn mark_use(mark: MarkFile) -> MarkUse {
    let MarkFile { clue, mark, used_from, used_to, fade, leak, source, standing } = mark;
    MarkUse { clue, mark, used_from, used_to, fade, leak, source, standing }
}

/// Whether rows stand for the rows of the catalogue's years, in their order.
fn rows_fit(
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

fn find<'a>(catalogue: &'a Catalogue, id: &str, path: &DocumentPath) -> Read<&'a Clue> {
    catalogue.clue(id).ok_or_else(|| placed(path.clone(), FileProblem::NoClue(id.to_owned())))
}

/// Numbers by level in the order of the catalogue; every level once.
fn by_level(clue: &Clue, numbers: &IndexMap<String, f64>, path: &DocumentPath) -> Read<Vec<f64>> {
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

fn level_table(catalogue: &Catalogue, table: &LevelFile, path: &DocumentPath) -> Read<LevelTable> {
    let clue = find(catalogue, &table.clue, path)?;
    rows_fit(catalogue, &table.clue, path, table.rows.iter().map(|row| (row.from, row.to)))?;
    let row = |(ix, row): (usize, &LevelRowFile)| {
        let path = path.clone().then("rows").at(ix).then("shares");
        Ok(LevelRow { clubs: row.clubs, shares: by_level(clue, &row.shares, &path)? })
    };
    Ok(LevelTable {
        overall: by_level(clue, &table.overall, &path.clone().then("overall"))?,
        rows: table.rows.iter().enumerate().map(row).collect::<Read<_>>()?,
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: table.bandwidth,
        weight: table.weight,
    })
}

fn level_adjuster(
    catalogue: &Catalogue,
    clues: &[MeasuredTable],
    adjuster: &AdjusterFile,
    path: &DocumentPath,
) -> Read<LevelAdjuster> {
    let clue = find(catalogue, &adjuster.clue, path)?;
    rows_fit(catalogue, &adjuster.clue, path, adjuster.rows.iter().map(|row| (row.from, row.to)))?;
    let (mut shifts, mut centred) = (Vec::new(), Vec::new());
    for table in clues {
        let missing = || FileProblem::NoShifts { clue: clue.id.clone(), on: table.clue.clone() };
        let own = adjuster.shifts.iter().position(|shift| shift.on == table.clue);
        let own = own.ok_or_else(|| placed(path.clone(), missing()))?;
        let path = path.clone().then("shifts").at(own).then("by");
        shifts.push(by_level(clue, &adjuster.shifts[own].by, &path)?);
        centred.push(adjuster.shifts[own].centred);
    }
    let expected = adjuster
        .rows
        .iter()
        .enumerate()
        .map(|(ix, row)| by_level(clue, &row.shares, &path.clone().then("rows").at(ix).then("shares")));
    Ok(LevelAdjuster { clue: adjuster.clue.clone(), expected: expected.collect::<Read<_>>()?, shifts, centred })
}

fn measured_table(catalogue: &Catalogue, table: &MeasuredFile, path: &DocumentPath) -> Read<MeasuredTable> {
    let clue = find(catalogue, &table.clue, path)?;
    rows_fit(catalogue, &table.clue, path, table.rows.iter().map(|row| (row.from, row.to)))?;
    let place = |mean: f64, path: DocumentPath| {
        let problem = || FileProblem::NoLogarithm { clue: clue.id.clone(), mean };
        clue.scale.place(mean).ok_or_else(|| placed(path, problem()))
    };
    let row = |(ix, row): (usize, &MeasuredRowFile)| {
        let mean = place(row.mean, path.clone().then("rows").at(ix).then("mean"))?;
        Ok(MeasuredRow { clubs: row.clubs, mean, sd: row.sd })
    };
    Ok(MeasuredTable {
        overall_mean: place(table.overall_mean, path.clone().then("overall_mean"))?,
        rows: table.rows.iter().enumerate().map(row).collect::<Read<_>>()?,
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: table.bandwidth,
        overall_sd: table.overall_sd,
    })
}
