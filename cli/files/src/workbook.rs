//! Reads a spreadsheet (.xlsx, .ods) as the text of a table.

use crate::problem::{InputProblem, Refused, SourceText};
use crate::recording_sheet::HOW_SHEET;
use calamine::{Data, Ods, Range, Reader, Xlsx};
use std::io::Cursor;
use std::sync::Arc;

/// Both kinds are zip files.
const ZIP: [u8; 4] = *b"PK\x03\x04";

/// Beyond these a cell is a slip, and the rectangle up to it would not fit in memory.
const MOST_ROWS: u32 = 100_000;
const MOST_COLUMNS: u32 = 1_000;

/// A sheet as a table.
#[derive(Debug, Clone)]
pub struct SheetText {
    /// Name of the sheet.
    pub sheet: String,
    /// Its text as CSV, under the names of file and sheet.
    pub source: Arc<SourceText>,
    /// Names of sheets that were passed over, those that only say how to read left out.
    pub passed_over: Vec<String>,
}

/// Whether a file's first bytes are those of a spreadsheet.
#[must_use]
pub fn is_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(&ZIP)
}

/// The first sheet, row by row, so that a row of the text has the number it has in the spreadsheet; `name` is the
/// file's, for errors.
///
/// # Errors
/// [`Refused`] for what is no spreadsheet, or one too large.
pub fn sheet_text(name: &str, bytes: Vec<u8>) -> Result<SheetText, Refused> {
    let rejected = |why: &str| Refused::from(InputProblem::new(&SourceText::new(name, ""), None, why));
    let unreadable = || rejected("neither an .xlsx nor an .ods spreadsheet that can be read");
    let cursor = Cursor::new(bytes);
    let (mut names, range) = if let Ok(mut book) = Xlsx::new(cursor.clone()) {
        let names = book.sheet_names();
        let range = names.first().map(|sheet| sparse_sheet(&mut book, sheet)).transpose();
        (names, range.map_err(|why| rejected(&why))?)
    } else if let Ok(mut book) = Ods::new(cursor) {
        first_sheet(&mut book)
    } else {
        return Err(unreadable());
    };
    let Some(range) = range else {
        return Err(if names.is_empty() { rejected("the spreadsheet has no sheet") } else { unreadable() });
    };
    let text = table_text(&range).map_err(|error| rejected(&error.to_string()))?;
    let sheet = names.remove(0);
    let source = SourceText::new(&format!("{name} (sheet {sheet})"), &text);
    names.retain(|other| other != HOW_SHEET);
    Ok(SheetText { sheet, source, passed_over: names })
}

/// The cells of an .xlsx sheet one by one: a stray cell far off must not ask for the memory of all between.
fn sparse_sheet(book: &mut Xlsx<Cursor<Vec<u8>>>, sheet: &str) -> Result<Range<Data>, String> {
    let mut reader = book.worksheet_cells_reader(sheet).map_err(|error| error.to_string())?;
    let mut cells = Vec::new();
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
        cells.push(calamine::Cell::new((row, column), value));
    }
    cells.sort_by_key(calamine::Cell::get_position);
    Ok(Range::from_sparse(cells))
}

fn first_sheet<R: Reader<Cursor<Vec<u8>>>>(book: &mut R) -> (Vec<String>, Option<Range<Data>>) {
    let names = book.sheet_names();
    let range = names.first().and_then(|name| book.worksheet_range(name).ok());
    (names, range)
}

/// The cells as CSV, from the first row and column of the sheet on.
fn table_text(range: &Range<Data>) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let (Some((first_row, first_column)), Some(_)) = (range.start(), range.end()) else { return Ok(String::new()) };
    for _ in 0..first_row {
        writer.write_record([""])?;
    }
    for row in range.rows() {
        let blank = std::iter::repeat_n(String::new(), usize::try_from(first_column).unwrap_or(0));
        writer.write_record(blank.chain(row.iter().map(cell_text)))?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A cell as it would be typed. A date stays a date, which no measure may be; lines within a cell become spaces.
fn cell_text(cell: &Data) -> String {
    match cell {
        Data::Empty => String::new(),
        Data::Float(number) => number_text(*number),
        Data::DateTime(date) if date.is_datetime() => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            format!("{year}-{month:02}-{day:02}")
        }
        Data::DateTime(date) => format!("a time ({})", date.as_f64()),
        other => other.to_string().replace(['\r', '\n'], " "),
    }
}

/// A number without the noise behind its twelfth digit that spreadsheets leave: 3.5999999999999996 is 3.6.
fn number_text(number: f64) -> String {
    let rounded: f64 = format!("{number:.11e}").parse().unwrap_or(number);
    rounded.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_out_as_typed() {
        let typed = [3.6, 1897.0, 0.1 + 0.2, 3.599_999_999_999_999_6, -0.5, 88.9].map(number_text);
        assert_eq!(typed, ["3.6", "1897", "0.3", "3.6", "-0.5", "88.9"]);
    }
}
