//! The calibration file: a TOML that a person can read and edit.

use super::calibration_document::layout;
use super::catalogue_toml::toml_problem;
use super::draw_toml::DrawFile;
use super::text_file::sha256;
use crate::failure::{Failure, InputProblem, SourceText};
use agewright_model::{
    Axis, Calibration, Catalogue, Clue, LevelAdjuster, LevelRow, LevelTable, MeasuredBlock, MeasuredRow, MeasuredTable,
    Origin, Part, Prior, PriorRow, Scale, Spread,
};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Version of the file's layout.
const SCHEMA: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CalibrationFile {
    schema: u32,
    name: String,
    default_prior: String,
    origin: Origin,
    #[serde(rename = "prior", default)]
    priors: Vec<PriorFile>,
    #[serde(rename = "levels", default)]
    level_tables: Vec<LevelFile>,
    #[serde(rename = "block", default)]
    blocks: Vec<BlockFile>,
    #[serde(rename = "measured", default)]
    measured: Vec<MeasuredFile>,
    #[serde(rename = "adjuster", default)]
    adjusters: Vec<AdjusterFile>,
    catalogue: Catalogue,
    #[serde(rename = "draw", default, skip_serializing_if = "Vec::is_empty")]
    draws: Vec<DrawFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PriorFile {
    name: String,
    spread: SpreadFile,
    rows: Vec<PriorRowFile>,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "lowercase")]
enum SpreadFile {
    Even,
    Linear,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PriorRowFile {
    from: i32,
    to: i32,
    mass: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LevelFile {
    clue: String,
    clubs: usize,
    bandwidth: f64,
    misread: f64,
    weight: f64,
    overall: IndexMap<String, f64>,
    rows: Vec<LevelRowFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LevelRowFile {
    from: i32,
    to: i32,
    clubs: f64,
    shares: IndexMap<String, f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BlockFile {
    part: Part,
    degrees_of_freedom: f64,
    weight: f64,
    clues: Vec<String>,
    correlation: Vec<Vec<f64>>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MeasuredFile {
    clue: String,
    clubs: usize,
    bandwidth: f64,
    misread: f64,
    /// Mean in the clue's unit (on a log scale the geometric mean) and standard deviation on the clue's scale.
    overall_mean: f64,
    overall_sd: f64,
    rows: Vec<MeasuredRowFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MeasuredRowFile {
    from: i32,
    to: i32,
    clubs: f64,
    mean: f64,
    sd: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AdjusterFile {
    part: Part,
    clue: String,
    /// For each measured clue: shift of its mean for each level, on the measured clue's scale.
    shifts: Vec<ShiftFile>,
    /// Share of each level expected in each row of years.
    rows: Vec<ExpectedFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ShiftFile {
    on: String,
    by: IndexMap<String, f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ExpectedFile {
    from: i32,
    to: i32,
    shares: IndexMap<String, f64>,
}

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
        let spread = match prior.spread {
            SpreadFile::Even => Spread::Even,
            SpreadFile::Linear => Spread::Linear,
        };
        priors.push(Prior::from_rows(axis, &prior.name, spread, rows).map_err(|error| error.to_string())?);
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
    };
    calibration.draws = file.draws.iter().map(|draw| draw.applied_to(&calibration)).collect::<Result<_, _>>()?;
    Ok(calibration)
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
    let shift = |table: &MeasuredTable| {
        let own = adjuster.shifts.iter().find(|shift| shift.on == table.clue);
        let own = own.ok_or_else(|| format!("adjuster \"{}\" has no shifts on {}", clue.id, table.clue))?;
        by_level(clue, &own.by)
    };
    Ok(LevelAdjuster {
        clue: adjuster.clue.clone(),
        expected: adjuster.rows.iter().map(|row| by_level(clue, &row.shares)).collect::<Result<_, _>>()?,
        shifts: clues.iter().map(shift).collect::<Result<_, _>>()?,
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

/// A number to six significant digits.
pub fn tidy(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// Shares to six significant digits, by level id in catalogue order; the largest takes the rounding, so that the sum is 1.
fn tidy_shares(clue: &Clue, shares: &[f64]) -> IndexMap<String, f64> {
    let mut tidied: Vec<f64> = shares.iter().map(|share| tidy(*share)).collect();
    let largest = (0..tidied.len()).max_by(|a, b| tidied[*a].total_cmp(&tidied[*b])).unwrap_or(0);
    let others: f64 = tidied.iter().enumerate().filter(|(k, _)| *k != largest).map(|(_, share)| share).sum();
    tidied[largest] = ((1.0 - others) * 1e9).round() / 1e9;
    clue.levels.iter().map(|level| level.id.clone()).zip(tidied).collect()
}

fn to_file(calibration: &Calibration) -> CalibrationFile {
    let axis = calibration.catalogue.axis;
    let clue = |id: &str| calibration.catalogue.clues.iter().find(|clue| clue.id == id);
    let priors = calibration.priors.iter().filter(|prior| prior.name != Prior::FLAT).map(|prior| PriorFile {
        name: prior.name.clone(),
        spread: match prior.spread {
            Spread::Even => SpreadFile::Even,
            Spread::Linear => SpreadFile::Linear,
        },
        rows: prior.rows.iter().map(|r| PriorRowFile { from: r.from, to: r.to, mass: tidy(r.mass) }).collect(),
    });
    let level_tables = calibration.level_tables.iter().filter_map(|table| Some((table, clue(&table.clue)?)));
    let level_tables = level_tables.map(|(table, clue)| LevelFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: table.misread,
        weight: tidy(table.weight),
        overall: tidy_shares(clue, &table.overall),
        rows: (0..).zip(&table.rows).map(|(r, row)| level_row(axis, r, row, clue)).collect(),
    });
    let tables = calibration.blocks.iter().flat_map(|block| &block.clues);
    let blocks = calibration.blocks.iter().map(|block| BlockFile {
        part: block.part,
        degrees_of_freedom: block.degrees_of_freedom,
        weight: tidy(block.weight),
        clues: block.clues.iter().map(|table| table.clue.clone()).collect(),
        correlation: block.correlation.iter().map(|row| row.iter().map(|r| tidy(*r)).collect()).collect(),
    });
    CalibrationFile {
        schema: SCHEMA,
        name: calibration.name.clone(),
        default_prior: calibration.default_prior.clone(),
        origin: calibration.origin.clone(),
        priors: priors.collect(),
        level_tables: level_tables.collect(),
        blocks: blocks.collect(),
        measured: tables.map(|table| measured_file(axis, table)).collect(),
        adjusters: calibration.blocks.iter().flat_map(|block| adjuster_files(calibration, block)).collect(),
        catalogue: calibration.catalogue.clone(),
        draws: calibration.draws.iter().map(DrawFile::of).collect(),
    }
}

fn adjuster_files(calibration: &Calibration, block: &MeasuredBlock) -> Vec<AdjusterFile> {
    let axis = calibration.catalogue.axis;
    let numbers = |clue: &Clue, values: &[f64]| -> IndexMap<String, f64> {
        clue.levels.iter().map(|level| level.id.clone()).zip(values.iter().map(|v| tidy(*v))).collect()
    };
    let file = |adjuster: &LevelAdjuster| {
        let clue = calibration.catalogue.clues.iter().find(|clue| clue.id == adjuster.clue)?;
        let shifts = block.clues.iter().zip(&adjuster.shifts);
        let rows = adjuster.expected.iter().enumerate().map(|(row, shares)| {
            let (from, to) = axis.row_years(row);
            ExpectedFile { from, to, shares: numbers(clue, shares) }
        });
        Some(AdjusterFile {
            part: block.part,
            clue: adjuster.clue.clone(),
            shifts: shifts.map(|(table, by)| ShiftFile { on: table.clue.clone(), by: numbers(clue, by) }).collect(),
            rows: rows.collect(),
        })
    };
    block.adjusters.iter().filter_map(file).collect()
}

fn level_row(axis: Axis, row_ix: usize, row: &LevelRow, clue: &Clue) -> LevelRowFile {
    let (from, to) = axis.row_years(row_ix);
    LevelRowFile { from, to, clubs: tidy(row.clubs), shares: tidy_shares(clue, &row.shares) }
}

fn measured_file(axis: Axis, table: &MeasuredTable) -> MeasuredFile {
    let scale: Scale = table.scale;
    let rows = (0..).zip(&table.rows).map(|(row_ix, row)| {
        let (from, to) = axis.row_years(row_ix);
        MeasuredRowFile { from, to, clubs: tidy(row.clubs), mean: tidy(scale.measure(row.mean)), sd: tidy(row.sd) }
    });
    MeasuredFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: table.misread,
        overall_mean: tidy(scale.measure(table.overall_mean)),
        overall_sd: tidy(table.overall_sd),
        rows: rows.collect(),
    }
}

/// The text of a calibration file.
pub fn calibration_text(calibration: &Calibration) -> Result<String, Failure> {
    let document = toml_edit::ser::to_document(&to_file(calibration))
        .map_err(|error| Failure::Failed(format!("the calibration cannot be written as TOML: {error}")))?;
    Ok(layout(document))
}
