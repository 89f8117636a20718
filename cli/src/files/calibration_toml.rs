//! Reads a calibration file: a TOML that a person can read and edit, checked as a whole.

use super::calibration_file::{
    AdjusterFile, BlockFile, CalibrationFile, LevelFile, LevelRowFile, MarkFile, MeasuredFile, MeasuredRowFile,
};
use super::catalogue_toml::toml_problem;
use super::parts_toml::parts_model;
use super::text_file::sha256;
use crate::failure::{Failure, InputProblem, SourceText};
use agewright_model::{
    Axis, Calibration, Catalogue, Clue, LevelAdjuster, LevelRow, LevelTable, MarkUse, MeasuredBlock, MeasuredRow,
    MeasuredTable, Prior, PriorRow, Spread,
};
use indexmap::IndexMap;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Version of the file's layout.
pub const SCHEMA: u32 = 1;

/// A calibration that was read, with what an answer says about it.
#[derive(Debug, Clone)]
pub struct LoadedCalibration {
    /// The calibration.
    pub calibration: Calibration,
    /// SHA-256 of its file.
    pub sha256: String,
    /// Shares that an edit had moved and that were brought to a sum of 1.
    pub notes: Vec<String>,
}

/// Reads a calibration from a text, for callers outside the command line.
///
/// # Errors
/// The message that the command line would print.
pub fn read_calibration_text(text: &str) -> Result<Calibration, String> {
    let source = Rc::new(SourceText { name: "calibration".to_owned(), text: text.to_owned() });
    load_calibration(&source).map(|loaded| loaded.calibration).map_err(|failure| failure.render())
}

/// Reads and checks a calibration.
pub fn load_calibration(source: &Rc<SourceText>) -> Result<LoadedCalibration, Failure> {
    let file: CalibrationFile = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
    if file.schema != SCHEMA {
        let message =
            format!("schema {} of calibrations is not known; this program reads schema {SCHEMA}", file.schema);
        return Err(InputProblem::new(source, None, message).into());
    }
    let wrong =
        |message: String| Failure::from(InputProblem::new(source, place_of_table(&source.text, &message), message));
    let mut calibration = from_file(file).map_err(wrong)?;
    let notes = calibration.check().map_err(|error| wrong(error.to_string()))?;
    Ok(LoadedCalibration { calibration, sha256: sha256(&source.text), notes })
}

/// Where the table that a message names begins: `clue = "..."` or `name = "..."`.
fn place_of_table(text: &str, message: &str) -> Option<std::ops::Range<usize>> {
    let quoted = message.split('"').nth(1).into_iter();
    let plain = message.split([',', ':']).next().into_iter();
    for word in quoted.chain(plain) {
        for key in ["clue", "name", "part"] {
            let line = format!("{key} = \"{}\"", word.trim());
            if let Some(at) = text.find(&line) {
                return Some(at..at + line.len());
            }
        }
    }
    None
}

fn from_file(file: CalibrationFile) -> Result<Calibration, String> {
    let catalogue = file.catalogue;
    let axis = catalogue.axis;
    let level_tables =
        file.level_tables.into_iter().map(|table| level_table(&catalogue, table)).collect::<Result<_, _>>()?;
    let mut measured: BTreeMap<String, MeasuredTable> = BTreeMap::new();
    for table in file.measured {
        let table = measured_table(&catalogue, table)?;
        if let Some(twice) = measured.insert(table.clue.clone(), table) {
            return Err(format!("measured table \"{}\" stands twice", twice.clue));
        }
    }
    let mut blocks = Vec::new();
    for block in file.blocks {
        let mut clues = Vec::new();
        for clue in &block.clues {
            clues.push(
                measured
                    .remove(clue)
                    .ok_or_else(|| format!("block of the {}: \"{clue}\" has no table", block.part.word()))?,
            );
        }
        let BlockFile { part, degrees_of_freedom, weight, correlation, .. } = block;
        let own = file.adjusters.iter().filter(|adjuster| adjuster.part == part);
        let adjusters = own.map(|adjuster| level_adjuster(&catalogue, &clues, adjuster)).collect::<Result<_, _>>()?;
        blocks.push(MeasuredBlock { part, degrees_of_freedom, weight, clues, adjusters, correlation });
    }
    if let Some(lone) = file.adjusters.iter().find(|a| blocks.iter().all(|block: &MeasuredBlock| block.part != a.part))
    {
        return Err(format!("adjuster \"{}\": the {} has no block to adjust", lone.clue, lone.part.word()));
    }
    if let Some(clue) = measured.keys().next() {
        return Err(format!("measured table \"{clue}\" stands in no block"));
    }
    let mut priors = vec![Prior::flat(axis)];
    for prior in file.priors {
        if priors.iter().any(|other| other.name == prior.name) {
            return Err(format!("prior \"{}\" stands twice", prior.name));
        }
        let rows = prior.rows.iter().map(|row| PriorRow { from: row.from, to: row.to, mass: row.mass }).collect();
        let spread = Spread::from(prior.spread);
        priors.push(Prior::from_rows(axis, &prior.name, spread, rows).map_err(|error| error.to_string())?);
    }
    let parts = file.parts.as_ref().map(|parts| parts_model(&catalogue, parts, &file.signs)).transpose()?;
    if parts.is_none() && !file.signs.is_empty() {
        return Err("signs of a replacement stand without [parts]".to_owned());
    }
    let mut calibration = Calibration {
        name: file.name,
        catalogue,
        origin: file.origin,
        level_tables,
        blocks,
        priors,
        default_prior: file.default_prior,
        draws: Vec::new(),
        parts,
        marks: file.marks.into_iter().map(mark_use).collect(),
    };
    calibration.draws = file.draws.iter().map(|draw| draw.applied_to(&calibration)).collect::<Result<_, _>>()?;
    Ok(calibration)
}

fn mark_use(mark: MarkFile) -> MarkUse {
    let MarkFile { clue, mark, used_from, used_to, fade, leak, source, standing } = mark;
    MarkUse { clue, mark, used_from, used_to, fade, leak, source, standing }
}

fn rows_fit(axis: Axis, clue: &str, rows: impl Iterator<Item = (i32, i32)>) -> Result<(), String> {
    for (row, (from, to)) in rows.enumerate() {
        if row >= axis.n_rows() || axis.row_years(row) != (from, to) {
            return Err(format!(
                "table \"{clue}\": row {} is {from}-{to}, which is no row of the catalogue's years",
                row + 1
            ));
        }
    }
    Ok(())
}

fn find<'a>(catalogue: &'a Catalogue, id: &str) -> Result<&'a Clue, String> {
    catalogue
        .clues
        .iter()
        .find(|clue| clue.id == id)
        .ok_or_else(|| format!("table \"{id}\": the catalogue has no such clue"))
}

/// Numbers by level in the order of the catalogue; every level once.
fn by_level(clue: &Clue, numbers: &IndexMap<String, f64>) -> Result<Vec<f64>, String> {
    if let Some(unknown) = numbers.keys().find(|key| clue.levels.iter().all(|level| &level.id != *key)) {
        return Err(format!("table \"{}\": \"{unknown}\" is no level of the clue", clue.id));
    }
    let number = |id: &String| {
        numbers.get(id).copied().ok_or_else(|| format!("table \"{}\": level \"{id}\" has no number", clue.id))
    };
    clue.levels.iter().map(|level| number(&level.id)).collect()
}

fn level_table(catalogue: &Catalogue, table: LevelFile) -> Result<LevelTable, String> {
    let clue = find(catalogue, &table.clue)?;
    rows_fit(catalogue.axis, &table.clue, table.rows.iter().map(|row| (row.from, row.to)))?;
    let row = |row: &LevelRowFile| Ok(LevelRow { clubs: row.clubs, shares: by_level(clue, &row.shares)? });
    Ok(LevelTable {
        overall: by_level(clue, &table.overall)?,
        rows: table.rows.iter().map(row).collect::<Result<_, String>>()?,
        clue: table.clue,
        clubs: table.clubs,
        bandwidth: table.bandwidth,
        misread: table.misread,
        weight: table.weight,
    })
}

fn level_adjuster(
    catalogue: &Catalogue,
    clues: &[MeasuredTable],
    adjuster: &AdjusterFile,
) -> Result<LevelAdjuster, String> {
    let clue = find(catalogue, &adjuster.clue)?;
    rows_fit(catalogue.axis, &adjuster.clue, adjuster.rows.iter().map(|row| (row.from, row.to)))?;
    let own = |table: &MeasuredTable| {
        let own = adjuster.shifts.iter().find(|shift| shift.on == table.clue);
        own.ok_or_else(|| format!("adjuster \"{}\" has no shifts on {}", clue.id, table.clue))
    };
    Ok(LevelAdjuster {
        clue: adjuster.clue.clone(),
        expected: adjuster.rows.iter().map(|row| by_level(clue, &row.shares)).collect::<Result<_, _>>()?,
        shifts: clues.iter().map(|table| by_level(clue, &own(table)?.by)).collect::<Result<_, _>>()?,
        centred: clues.iter().map(|table| Ok(own(table)?.centred)).collect::<Result<_, String>>()?,
    })
}

fn measured_table(catalogue: &Catalogue, table: MeasuredFile) -> Result<MeasuredTable, String> {
    let clue = find(catalogue, &table.clue)?;
    rows_fit(catalogue.axis, &table.clue, table.rows.iter().map(|row| (row.from, row.to)))?;
    let place = |measure: f64| {
        clue.scale.place(measure).ok_or_else(|| format!("table \"{}\": mean {measure} has no logarithm", clue.id))
    };
    let row = |row: &MeasuredRowFile| Ok(MeasuredRow { clubs: row.clubs, mean: place(row.mean)?, sd: row.sd });
    Ok(MeasuredTable {
        scale: clue.scale,
        adjusts: clue.adjusts,
        tolerance: clue.tolerance.unwrap_or(0.0),
        overall_mean: place(table.overall_mean)?,
        rows: table.rows.iter().map(row).collect::<Result<_, String>>()?,
        clue: table.clue,
        clubs: table.clubs,
        bandwidth: table.bandwidth,
        misread: table.misread,
        overall_sd: table.overall_sd,
    })
}
