//! The table of a measured clue in a calibration file.

use crate::calibration::placed::{FileProblem, Read, find, placed, rows_fit};
use crate::calibration::tidy::{tidy, tidy_each};
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::measured_block::{MeasuredRow, MeasuredTable};
use agewright_model::{Axis, Catalogue, Clue, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MeasuredFile {
    pub clue: String,
    pub clubs: usize,
    pub bandwidth: f64,
    /// In files of earlier versions; it stands with the clue now.
    #[serde(default, skip_serializing)]
    pub misread: Option<f64>,
    /// Mean in the clue's unit (on a log scale the geometric mean) and standard deviation on the clue's scale.
    pub overall_mean: f64,
    pub overall_sd: f64,
    pub rows: Vec<MeasuredRowFile>,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MeasuredRowFile {
    pub from: i32,
    pub to: i32,
    pub clubs: f64,
    pub mean: f64,
    pub sd: f64,
}

/// All tables of measured clues as the file has them.
pub fn measured_files(catalogue: &Catalogue, tables: &TableSet) -> Vec<MeasuredFile> {
    let file = |table: &MeasuredTable| Some(measured_file(catalogue.axis(), table, catalogue.clue(&table.clue)?));
    tables.blocks.iter().flat_map(|block| &block.clues).filter_map(file).collect()
}

fn measured_file(axis: Axis, table: &MeasuredTable, clue: &Clue) -> MeasuredFile {
    let scale = clue.scale;
    let rows = (0..).zip(&table.rows).map(|(row_ix, row)| {
        let (from, to) = axis.row_years(row_ix);
        MeasuredRowFile { from, to, clubs: tidy(row.clubs), mean: tidy(scale.measure(row.mean)), sd: tidy(row.sd) }
    });
    MeasuredFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: None,
        overall_mean: tidy(scale.measure(table.overall_mean)),
        overall_sd: tidy(table.overall_sd),
        rows: rows.collect(),
    }
}

/// The table of a measured clue that the file says.
pub fn measured_table(catalogue: &Catalogue, table: &MeasuredFile, path: &DocumentPath) -> Read<MeasuredTable> {
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

/// By clue a number for each row, in a draw.
pub type ByClue = IndexMap<String, Vec<f64>>;

/// Means on the clue's own scale, spreads and clubs of each row.
pub struct DrawnMeasures {
    pub means: ByClue,
    pub spreads: ByClue,
    pub clubs: ByClue,
}

/// What a draw has of measured clues.
pub fn drawn_measures(draw: &TableSet) -> DrawnMeasures {
    let tables = || draw.blocks.iter().flat_map(|block| &block.clues);
    let of = |number: fn(&MeasuredRow) -> f64| {
        tables().map(|table| (table.clue.clone(), tidy_each(table.rows.iter().map(number)))).collect()
    };
    DrawnMeasures { means: of(|row| row.mean), spreads: of(|row| row.sd), clubs: of(|row| row.clubs) }
}

/// Puts a draw's means, spreads and clubs into the tables; what the draw lacks is `Err` with the clue's id.
pub fn put_measures([means, spreads, clubs]: [&ByClue; 3], tables: &mut TableSet) -> Result<(), String> {
    for table in tables.blocks.iter_mut().flat_map(|block| &mut block.clues) {
        let of = |numbers: &ByClue| {
            let rows = numbers.get(&table.clue).filter(|rows| rows.len() == table.rows.len());
            rows.cloned().ok_or_else(|| table.clue.clone())
        };
        let (means, spreads, clubs) = (of(means)?, of(spreads)?, of(clubs)?);
        for (r, row) in table.rows.iter_mut().enumerate() {
            (row.mean, row.sd, row.clubs) = (means[r], spreads[r], clubs[r]);
        }
    }
    Ok(())
}
