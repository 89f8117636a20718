//! The measured clues of a part together in a calibration file: their correlation, and what shifts their means.

use crate::calibration::measured_form::{MeasuredFile, measured_table};
use crate::calibration::placed::{FileProblem, Read, find, numbers_by_level, placed, rows_fit};
use crate::calibration::tidy::{by_level, tidy, tidy_all};
use agewright_model::reading::document_path::{DocumentPath, Step};
use agewright_model::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredTable};
use agewright_model::{Catalogue, Part, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BlockFile {
    pub part: Part,
    pub degrees_of_freedom: f64,
    pub weight: f64,
    pub clues: Vec<String>,
    pub correlation: Vec<Vec<f64>>,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AdjusterFile {
    pub part: Part,
    pub clue: String,
    /// For each measured clue: shift of its mean for each level, on the measured clue's scale.
    pub shifts: Vec<ShiftFile>,
    /// Share of each level expected in each row of years.
    pub rows: Vec<ExpectedFile>,
}

fn yes() -> bool {
    true
}

fn is_yes(value: &bool) -> bool {
    *value
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShiftFile {
    pub on: String,
    /// Whether the expected shares are taken off; not where a rule's mean is that of a club without the effect.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub centred: bool,
    pub by: IndexMap<String, f64>,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ExpectedFile {
    pub from: i32,
    pub to: i32,
    pub shares: IndexMap<String, f64>,
}

/// The lists of a file that blocks are made of.
pub struct BlockFiles<'a> {
    pub blocks: &'a [BlockFile],
    pub measured: &'a [MeasuredFile],
    pub adjusters: &'a [AdjusterFile],
}

/// All blocks as the file has them.
pub fn block_files(tables: &TableSet) -> Vec<BlockFile> {
    tables.blocks.iter().map(block_file).collect()
}

fn block_file(block: &MeasuredBlock) -> BlockFile {
    BlockFile {
        part: block.part,
        degrees_of_freedom: block.degrees_of_freedom,
        weight: tidy(block.weight),
        clues: block.clues.iter().map(|table| table.clue.clone()).collect(),
        correlation: block.correlation.iter().map(|row| row.iter().map(|r| tidy(*r)).collect()).collect(),
    }
}

/// All adjusters as the file has them.
pub fn adjuster_files(catalogue: &Catalogue, tables: &TableSet) -> Vec<AdjusterFile> {
    let adjusters = tables.blocks.iter().flat_map(|block| block.adjusters.iter().map(move |own| (block, own)));
    adjusters.filter_map(|(block, adjuster)| adjuster_file(catalogue, block, adjuster)).collect()
}

fn adjuster_file(catalogue: &Catalogue, block: &MeasuredBlock, adjuster: &LevelAdjuster) -> Option<AdjusterFile> {
    let clue = catalogue.clue(&adjuster.clue)?;
    let numbers = |values: &[f64]| by_level(clue, values.iter().copied());
    let shifts = block.clues.iter().zip(&adjuster.shifts).zip(&adjuster.centred);
    let rows = adjuster.expected.iter().enumerate().map(|(row, shares)| {
        let (from, to) = catalogue.axis().row_years(row);
        ExpectedFile { from, to, shares: numbers(shares) }
    });
    Some(AdjusterFile {
        part: block.part,
        clue: adjuster.clue.clone(),
        shifts: shifts
            .map(|((table, by), &centred)| ShiftFile { on: table.clue.clone(), centred, by: numbers(by) })
            .collect(),
        rows: rows.collect(),
    })
}

/// The blocks that the file says.
pub fn blocks(catalogue: &Catalogue, file: &BlockFiles<'_>) -> Read<Vec<MeasuredBlock>> {
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
        shifts.push(numbers_by_level(clue, &adjuster.shifts[own].by, &path)?);
        centred.push(adjuster.shifts[own].centred);
    }
    let expected = adjuster
        .rows
        .iter()
        .enumerate()
        .map(|(ix, row)| numbers_by_level(clue, &row.shares, &path.clone().then("rows").at(ix).then("shares")));
    Ok(LevelAdjuster { clue: adjuster.clue.clone(), expected: expected.collect::<Read<_>>()?, shifts, centred })
}

/// Clues of measured tables and adjusters as the blocks of a calibration have them.
pub struct BlockNames {
    blocks: Vec<(Part, Vec<String>, Vec<String>)>,
}

impl BlockNames {
    pub fn of(tables: &TableSet) -> Self {
        let names = |block: &MeasuredBlock| {
            let clues = block.clues.iter().map(|table| table.clue.clone()).collect();
            (block.part, clues, block.adjusters.iter().map(|adjuster| adjuster.clue.clone()).collect())
        };
        Self { blocks: tables.blocks.iter().map(names).collect() }
    }
}

/// The order in which a file lists its measured tables and adjusters.
pub struct FileOrder {
    measured: Vec<String>,
    adjusters: Vec<(Part, String)>,
}

impl FileOrder {
    pub fn of(file: &BlockFiles<'_>) -> Self {
        Self {
            measured: file.measured.iter().map(|table| table.clue.clone()).collect(),
            adjusters: file.adjusters.iter().map(|adjuster| (adjuster.part, adjuster.clue.clone())).collect(),
        }
    }

    /// A calibration's path as the file has it: the tables of a block stand in lists of their own there.
    pub fn path(&self, path: &DocumentPath, names: &BlockNames) -> DocumentPath {
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

/// By part the correlations, in a draw.
pub type Correlations = IndexMap<String, Vec<Vec<f64>>>;

/// What a draw has of blocks.
pub fn drawn_correlations(draw: &TableSet) -> Correlations {
    let rows = |block: &MeasuredBlock| block.correlation.iter().map(|row| tidy_all(row)).collect();
    draw.blocks.iter().map(|block| (block.part.word().to_owned(), rows(block))).collect()
}

/// Puts a draw's correlations into the tables; what the draw lacks is `Err` with the part's name.
pub fn put_correlations(drawn: &Correlations, tables: &mut TableSet) -> Result<(), String> {
    for block in &mut tables.blocks {
        let own = drawn.get(block.part.word()).cloned();
        block.correlation = own.ok_or_else(|| block.part.word().to_owned())?;
    }
    Ok(())
}
