//! The blank sheet to record clubs on as a spreadsheet.

use crate::problem::WritingError;
use crate::recording_sheet::{HOW_SHEET, columns};
use agewright_model::{Catalogue, Clue};
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, Format, FormatAlign, Note, Workbook, Worksheet, XlsxError,
};

const CLUB_SHEET: &str = "Clubs";
/// Rows that are made ready for clubs.
const READY_ROWS: u32 = 500;
/// What a spreadsheet lets stand in the list and in the hint of a cell.
const MOST_LIST: usize = 255;
const MOST_HINT: usize = 255;
const MOST_TITLE: usize = 32;

/// The sheet as a spreadsheet: cells formatted as text, so that 3-1/2 stays what it is; the levels of a clue as a list
/// to choose from, which does not forbid `a|b` or `a?`; hints beside the cell and on a sheet of their own.
///
/// # Errors
/// [`WritingError`] where the spreadsheet cannot be made.
pub fn xlsx_sheet(catalogue: &Catalogue) -> Result<Vec<u8>, WritingError> {
    workbook(catalogue).map_err(|error| WritingError { what: "the spreadsheet", why: error.to_string() })
}

fn workbook(catalogue: &Catalogue) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The same catalogue makes the same bytes: no clock.
    let epoch = rust_xlsxwriter::ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&rust_xlsxwriter::DocProperties::new().set_creation_datetime(&epoch));
    clubs_sheet(book.add_worksheet().set_name(CLUB_SHEET)?, catalogue)?;
    how_sheet(book.add_worksheet().set_name(HOW_SHEET)?, catalogue)?;
    book.save_to_buffer()
}

fn clubs_sheet(sheet: &mut Worksheet, catalogue: &Catalogue) -> Result<(), XlsxError> {
    let heading = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top);
    let text = Format::new().set_num_format("@");
    for (column, (id, what, how)) in (0..).zip(columns(catalogue)) {
        sheet.set_column_format(column, &text)?;
        sheet.set_column_width(column, if id.starts_with("text.") || id == "note" { 28.0 } else { 14.0 })?;
        sheet.write_string_with_format(0, column, &id, &heading)?;
        let hint = if how.is_empty() { what.clone() } else { format!("{what}\n\n{how}") };
        sheet.insert_note(
            0,
            column,
            &Note::new(hint).set_author("agewright").add_author_prefix(false).set_width(320).set_height(220),
        )?;
        for row in 1..=READY_ROWS {
            sheet.write_blank(row, column, &text)?;
        }
        let clue = catalogue.clue(&id);
        let mut rule = DataValidation::new().ignore_blank(true).set_error_style(DataValidationErrorStyle::Information);
        let levels: Vec<&str> = clue.map_or_else(Vec::new, |c| c.levels.iter().map(|l| l.id.as_str()).collect());
        // What does not fit is left to the sheet of hints: a spreadsheet would call the file broken.
        rule = if levels.is_empty() || levels.iter().map(|level| level.len() + 1).sum::<usize>() > MOST_LIST {
            rule.allow_any_value()
        } else {
            rule.allow_list_strings(&levels)?
        };
        let title = clue.map_or_else(|| id.clone(), Clue::name);
        rule = rule
            .set_input_title(cut(&title, MOST_TITLE))?
            .set_input_message(cut(&what, MOST_HINT))?
            .set_error_title("Not one of the levels")?
            .set_error_message("Levels may be joined (a|b) or doubted (a?); unreadable and altered are words too.")?;
        sheet.add_data_validation(1, column, READY_ROWS, column, &rule)?;
    }
    sheet.set_freeze_panes(1, 1)?;
    Ok(())
}

fn how_sheet(sheet: &mut Worksheet, catalogue: &Catalogue) -> Result<(), XlsxError> {
    let bold = Format::new().set_bold();
    let wrapped = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    for (column, (name, width)) in
        (0..).zip([("Column", 24.0), ("Clue", 30.0), ("What to write", 60.0), ("How to take it", 70.0)])
    {
        sheet.write_string_with_format(0, column, name, &bold)?;
        sheet.set_column_width(column, width)?;
    }
    for (row, (id, what, how)) in (1..).zip(columns(catalogue)) {
        let name = catalogue.clue(&id).map_or_else(String::new, Clue::name);
        for (column, text) in (0..).zip([id, name, what, how]) {
            sheet.write_string_with_format(row, column, &text, &wrapped)?;
        }
    }
    sheet.set_freeze_panes(1, 0)?;
    Ok(())
}

fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let short: String = text.chars().take(most - 3).collect();
    format!("{}...", short.trim_end())
}
