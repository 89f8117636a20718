//! A blank sheet to record clubs on, one column a clue, as CSV or as a spreadsheet.

use crate::failure::Failure;
use agewright_model::{Catalogue, Clue, ClueKind, Unit};
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, Format, FormatAlign, Note, Workbook, Worksheet, XlsxError,
};

/// First cells of the rows that hold hints; such rows are passed over when a table is read.
pub const HINT_ROWS: [&str; 2] = ["# what to write", "# how to take it"];
/// Sheet of a spreadsheet that says how to take each reading.
pub const HOW_SHEET: &str = "How to read";
const CLUB_SHEET: &str = "Clubs";
/// Rows that are made ready for clubs.
const READY_ROWS: u32 = 500;
/// What a spreadsheet lets stand in the list and in the hint of a cell.
const MOST_LIST: usize = 255;
const MOST_HINT: usize = 255;
const MOST_TITLE: usize = 32;

/// Columns before and after those of the clues.
const BEFORE: [(&str, &str); 5] = [
    ("id", "a name or number of its own for every club"),
    ("made_from", "first year it may have been made in; blank if not known"),
    ("made_to", "last such year; the same year twice for an exact date"),
    ("date_grade", "1 documented, 2 register or tenure, 3 published, 4 opinion of the trade, 5 own opinion"),
    ("text.title", "what it is, for the page"),
];
const AFTER: [(&str, &str); 2] =
    [("text.condition", "condition, for the page"), ("note", "anything else; never evidence")];

/// Heading and hints of every column, in order.
fn columns(catalogue: &Catalogue) -> Vec<(String, String, String)> {
    let own = |&(id, what): &(&str, &str)| (id.to_owned(), what.to_owned(), String::new());
    let clues = catalogue.clues.iter().map(|clue| (clue.id.clone(), what_to_write(clue), clue.how.clone()));
    BEFORE.iter().map(own).chain(clues).chain(AFTER.iter().map(own)).collect()
}

/// What may stand in a cell: a unit with its range, or the levels with their looks.
fn what_to_write(clue: &Clue) -> String {
    if clue.kind == ClueKind::Measured {
        let unit = if clue.unit == Unit::Plain { "a number" } else { clue.unit.plural() };
        return match clue.range {
            Some([low, high]) => format!("{unit}, {low} to {high}"),
            None => unit.to_owned(),
        };
    }
    if let Some(register) = clue.register {
        return format!(
            "a number of the {}; ? for a digit that cannot be read, (?) behind a doubtful one",
            register.name()
        );
    }
    let level = |level: &agewright_model::Level| {
        if level.look.is_empty() { level.id.clone() } else { format!("{} ({})", level.id, level.look) }
    };
    clue.levels.iter().map(level).collect::<Vec<_>>().join("; ")
}

/// The sheet as CSV, with a byte-order mark and CRLF so that a spreadsheet opens it cleanly: headings, then two rows of
/// hints that are passed over when the table is read.
pub fn csv_sheet(catalogue: &Catalogue) -> Result<Vec<u8>, Failure> {
    let failed = |error: csv::Error| Failure::Failed(error.to_string());
    let columns = columns(catalogue);
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer("\u{feff}".as_bytes().to_vec());
    writer.write_record(columns.iter().map(|column| &column.0)).map_err(failed)?;
    let [what, how] = HINT_ROWS;
    let rest = || columns.iter().skip(1);
    writer.write_record(std::iter::once(what).chain(rest().map(|c| c.1.as_str()))).map_err(failed)?;
    writer.write_record(std::iter::once(how).chain(rest().map(|c| c.2.as_str()))).map_err(failed)?;
    writer.into_inner().map_err(|error| Failure::Failed(error.to_string()))
}

/// The sheet as a spreadsheet: cells formatted as text, so that 3-1/2 stays what it is; the levels of a clue as a list to
/// choose from, which does not forbid `a|b` or `a?`; hints beside the cell and on a sheet of their own.
pub fn xlsx_sheet(catalogue: &Catalogue) -> Result<Vec<u8>, Failure> {
    workbook(catalogue).map_err(|error| Failure::Failed(format!("the spreadsheet cannot be made: {error}")))
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
        let clue = catalogue.clues.iter().find(|clue| clue.id == id);
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
        let name = catalogue.clues.iter().find(|clue| clue.id == id).map_or_else(String::new, Clue::name);
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
