//! A table of answers as a spreadsheet.

use crate::problem::WritingError;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, XlsxError};

/// Widths of columns, in letters: of numbers, of words, and of whole sentences.
const NARROW: f64 = 11.0;
const WIDE: f64 = 26.0;
const SENTENCES: f64 = 60.0;
/// A cell of more letters holds sentences.
const LONG: usize = 80;

/// A column's heading, and whether its cells are numbers.
pub type TableColumn<'a> = (&'a str, bool);

/// The table as a spreadsheet of one sheet: headings that stay in view, numbers as numbers, words as words.
///
/// # Errors
/// [`WritingError`] where the spreadsheet cannot be made.
pub fn table_workbook(columns: &[TableColumn<'_>], rows: &[Vec<String>]) -> Result<Vec<u8>, WritingError> {
    workbook(columns, rows).map_err(|error| WritingError { what: "the spreadsheet", why: error.to_string() })
}

fn workbook(columns: &[TableColumn<'_>], rows: &[Vec<String>]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The same answers make the same bytes: no clock.
    book.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?));
    let sheet = book.add_worksheet().set_name("Clubs")?;
    let heading = Format::new().set_bold();
    let cell = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    for (place, (name, is_number)) in (0..).zip(columns) {
        let texts = || rows.iter().filter_map(|row| row.get(usize::from(place)));
        let is_long = texts().any(|text| text.chars().count() > LONG);
        sheet.set_column_width(
            place,
            if *is_number {
                NARROW
            } else if is_long {
                SENTENCES
            } else {
                WIDE
            },
        )?;
        sheet.write_string_with_format(0, place, *name, &heading)?;
        for (line, text) in (1..).zip(texts()).filter(|(_, text)| !text.is_empty()) {
            match text.parse::<f64>().ok().filter(|number| *is_number && number.is_finite()) {
                Some(number) => sheet.write_number_with_format(line, place, number, &cell)?,
                None => sheet.write_string_with_format(line, place, text, &cell)?,
            };
        }
    }
    sheet.set_freeze_panes(1, 1)?;
    book.save_to_buffer()
}
