//! Reads a spreadsheet (.xlsx, .ods) as the text of a table.

use crate::collection::NO_VALUE;
use crate::ods_cells::ods_cells;
use crate::problem::{InputProblem, Refused, SourceText};
use crate::recording_sheet::HOW_SHEET;
use crate::sheet_cells::sheet_cells;
use calamine::{Data, Ods, Range, Reader, Xlsx};
use std::io::Cursor;
use std::sync::Arc;

/// Both kinds are zip files.
const ZIP: [u8; 4] = *b"PK\x03\x04";

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

/// A sheet, row by row, so that a row of the text has the number it has in the spreadsheet: the one named, or the
/// first; `name` is the file's, for errors.
///
/// # Errors
/// [`Refused`] for what is no spreadsheet, one too large, or a sheet that is not there.
pub fn sheet_text(name: &str, bytes: Vec<u8>, wanted: Option<&str>) -> Result<SheetText, Refused> {
    let rejected = |why: &str| Refused::from(InputProblem::new(&SourceText::of_sheet(name, ""), None, why));
    let unreadable = || rejected("neither an .xlsx nor an .ods spreadsheet that can be read");
    let cursor = Cursor::new(bytes);
    let (mut names, sheet, range) = if let Ok(mut book) = Xlsx::new(cursor.clone()) {
        let names = book.sheet_names();
        let sheet = chosen(name, &names, wanted)?;
        let range = sheet_cells(&mut book, &sheet).map_err(|why| rejected(&why))?;
        (names, sheet, range)
    } else if let Ok(mut book) = Ods::new(cursor.clone()) {
        let names = book.sheet_names();
        let sheet = chosen(name, &names, wanted)?;
        let range = ods_cells(&mut book, cursor.get_ref(), &sheet).map_err(|why| rejected(&why))?;
        (names, sheet, range)
    } else {
        return Err(unreadable());
    };
    let text = table_text(&range).map_err(|error| rejected(&error.to_string()))?;
    names.retain(|other| *other != sheet && other != HOW_SHEET);
    let source = SourceText::of_sheet(&format!("{name} (sheet {sheet})"), &text);
    Ok(SheetText { sheet, source, passed_over: names })
}

/// The sheet of this name, without regard to case, or the first.
fn chosen(workbook: &str, names: &[String], wanted: Option<&str>) -> Result<String, Refused> {
    let sheet = match wanted {
        Some(wanted) => names.iter().find(|name| name.trim().to_lowercase() == wanted.trim().to_lowercase()),
        None => names.first(),
    };
    sheet.cloned().ok_or_else(|| match wanted {
        Some(wanted) => {
            let (workbook, sheet) = (workbook.to_owned(), wanted.to_owned());
            Refused::NoSheet { workbook, sheet, sheets: names.to_vec() }
        }
        None => InputProblem::new(&SourceText::of_sheet(workbook, ""), None, "the spreadsheet has no sheet").into(),
    })
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
        Data::Error(error) => format!("{NO_VALUE}this cell holds the error {error}"),
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
