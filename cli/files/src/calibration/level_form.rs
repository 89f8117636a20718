//! The table of a level clue in a calibration file.

use crate::calibration::placed::{Read, find, numbers_by_level, rows_fit};
use crate::calibration::tidy::{tidy, tidy_all, tidy_shares};
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::{Axis, Catalogue, Clue, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LevelFile {
    pub clue: String,
    pub clubs: usize,
    pub bandwidth: f64,
    /// In files of earlier versions; it stands with the clue now.
    #[serde(default, skip_serializing)]
    pub misread: Option<f64>,
    pub weight: f64,
    pub overall: IndexMap<String, f64>,
    pub rows: Vec<LevelRowFile>,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LevelRowFile {
    pub from: i32,
    pub to: i32,
    pub clubs: f64,
    pub shares: IndexMap<String, f64>,
}

/// All tables of level clues as the file has them.
pub fn level_files(catalogue: &Catalogue, tables: &TableSet) -> Vec<LevelFile> {
    let file = |table: &LevelTable| Some(level_file(catalogue.axis(), table, catalogue.clue(&table.clue)?));
    tables.levels.iter().filter_map(file).collect()
}

fn level_file(axis: Axis, table: &LevelTable, clue: &Clue) -> LevelFile {
    LevelFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: None,
        weight: tidy(table.weight),
        overall: tidy_shares(clue, &table.overall),
        rows: (0..).zip(&table.rows).map(|(r, row)| level_row(axis, r, row, clue)).collect(),
    }
}

fn level_row(axis: Axis, row_ix: usize, row: &LevelRow, clue: &Clue) -> LevelRowFile {
    let (from, to) = axis.row_years(row_ix);
    LevelRowFile { from, to, clubs: tidy(row.clubs), shares: tidy_shares(clue, &row.shares) }
}

/// All tables of level clues that the file says.
pub fn level_tables(catalogue: &Catalogue, files: &[LevelFile]) -> Read<Vec<LevelTable>> {
    let table = |(place, file)| level_table(catalogue, file, &DocumentPath::key("levels").at(place));
    files.iter().enumerate().map(table).collect()
}

fn level_table(catalogue: &Catalogue, table: &LevelFile, path: &DocumentPath) -> Read<LevelTable> {
    let clue = find(catalogue, &table.clue, path)?;
    rows_fit(catalogue, &table.clue, path, table.rows.iter().map(|row| (row.from, row.to)))?;
    let row = |(ix, row): (usize, &LevelRowFile)| {
        let path = path.clone().then("rows").at(ix).then("shares");
        Ok(LevelRow { clubs: row.clubs, shares: numbers_by_level(clue, &row.shares, &path)? })
    };
    Ok(LevelTable {
        overall: numbers_by_level(clue, &table.overall, &path.clone().then("overall"))?,
        rows: table.rows.iter().enumerate().map(row).collect::<Read<_>>()?,
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: table.bandwidth,
        weight: table.weight,
    })
}

/// By clue its shares, a list for each row, in a draw.
pub type DrawnShares = IndexMap<String, Vec<Vec<f64>>>;

/// What a draw has of level clues.
pub fn drawn_shares(draw: &TableSet) -> DrawnShares {
    let rows = |table: &LevelTable| table.rows.iter().map(|row| tidy_all(&row.shares)).collect();
    draw.levels.iter().map(|table| (table.clue.clone(), rows(table))).collect()
}

/// Puts a draw's shares into the tables; what the draw lacks is `Err` with the clue's id.
pub fn put_shares(drawn: &DrawnShares, tables: &mut TableSet) -> Result<(), String> {
    for table in &mut tables.levels {
        let rows = drawn.get(&table.clue).filter(|rows| rows.len() == table.rows.len());
        let rows = rows.ok_or_else(|| table.clue.clone())?;
        for (row, shares) in table.rows.iter_mut().zip(rows) {
            row.shares.clone_from(shares);
            // Rounding to six digits is no edit.
            let sum: f64 = row.shares.iter().sum();
            if (sum - 1.0).abs() < 1e-4 {
                row.shares.iter_mut().for_each(|share| *share /= sum);
            }
        }
    }
    Ok(())
}
