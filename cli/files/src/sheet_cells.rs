//! The cells of an .xlsx sheet, with those that look as if they had a value and have none.

use crate::collection::NO_VALUE;
use calamine::{Data, Range, Xlsx};
use std::collections::BTreeMap;
use std::io::Cursor;

/// Beyond these a cell is a slip, and the rectangle up to it would not fit in memory.
pub const MOST_ROWS: u32 = 100_000;
pub const MOST_COLUMNS: u32 = 1_000;

/// The cells one by one: a stray cell far off must not ask for the memory of all between. Where a cell belongs to one
/// that is merged, or holds a formula whose value was not stored, that is said in its place: a blank would be a reading
/// not taken.
pub fn sheet_cells(book: &mut Xlsx<Cursor<Vec<u8>>>, sheet: &str) -> Result<Range<Data>, String> {
    let mut cells: BTreeMap<(u32, u32), Data> = BTreeMap::new();
    let mut reader = book.worksheet_cells_reader(sheet).map_err(|error| error.to_string())?;
    while let Some(cell) = reader.next_cell().map_err(|error| error.to_string())? {
        let ((row, column), value) = (cell.get_position(), Data::from(cell.get_value().clone()));
        if value == Data::Empty {
            continue;
        }
        if row >= MOST_ROWS || column >= MOST_COLUMNS {
            return Err(format!(
                "a cell stands in row {}, column {}: a table has at most {MOST_ROWS} rows and {MOST_COLUMNS} columns",
                row + 1,
                column + 1
            ));
        }
        cells.insert((row, column), value);
    }
    drop(reader);
    let mut formulas = Vec::new();
    let mut reader = book.worksheet_cells_reader(sheet).map_err(|error| error.to_string())?;
    while let Some(formula) = reader.next_formula().map_err(|error| error.to_string())? {
        let at = formula.get_position();
        // One that has its value is not kept: a sheet may be full of them.
        if !cells.contains_key(&at) && !formula.get_value().is_empty() {
            formulas.push(at);
        }
    }
    drop(reader);
    let merged = book.merge_cells_by_sheet_name(sheet).map_err(|error| error.to_string())?;
    let merged = merged.iter().map(|merged| Merged { start: merged.start, end: merged.end }).collect();
    Ok(with_what_is_missing(cells, formulas, merged))
}

/// A cell that spans others: the first and the last place, both counted.
pub struct Merged {
    pub start: (u32, u32),
    pub end: (u32, u32),
}

/// The cells with what is missing said in its place: by these formulas, where they have no value, and in what is
/// merged.
pub fn with_what_is_missing(
    mut cells: BTreeMap<(u32, u32), Data>,
    formulas: impl IntoIterator<Item = (u32, u32)>,
    merged: Vec<Merged>,
) -> Range<Data> {
    let within = |at: &(u32, u32)| at.0 < MOST_ROWS && at.1 < MOST_COLUMNS;
    let said = |why: String| Data::String(format!("{NO_VALUE}{why}"));
    for at in formulas.into_iter().filter(within) {
        let why = format!("cell {} holds a formula whose value was not saved with it", cell_name(at));
        cells.entry(at).or_insert_with(|| said(why));
    }
    let filled = cells.keys().fold((0, 0), |(row, column), at| (at.0.max(row), at.1.max(column)));
    for merged in merged {
        if !cells.contains_key(&merged.start) {
            continue;
        }
        // Within what is filled: beyond it nobody misses a value.
        let last = (merged.end.0.min(filled.0), merged.end.1.min(filled.1));
        let places =
            (merged.start.0..=last.0).flat_map(|row| (merged.start.1..=last.1).map(move |column| (row, column)));
        for at in places.filter(|at| *at != merged.start) {
            let why = format!(
                "cell {} is merged with {} and has no value of its own",
                cell_name(at),
                cell_name(merged.start)
            );
            cells.entry(at).or_insert_with(|| said(why));
        }
    }
    Range::from_sparse(cells.into_iter().map(|(at, value)| calamine::Cell::new(at, value)).collect())
}

/// The name of a cell as a spreadsheet shows it: `C7`.
fn cell_name((row, column): (u32, u32)) -> String {
    let mut letters = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from_digit(10 + rest % 26, 36).unwrap_or('?').to_ascii_uppercase());
        rest /= 26;
    }
    letters.iter().rev().collect::<String>() + &(row + 1).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_named_as_a_spreadsheet_names_them() {
        let names = [(6, 2), (0, 0), (0, 25), (1, 26), (2, 701), (2, 702)].map(cell_name);
        assert_eq!(names, ["C7", "A1", "Z1", "AA2", "ZZ3", "AAA3"]);
    }
}
