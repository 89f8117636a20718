//! A blank sheet to record clubs on, one column a clue: what its columns say, and the sheet as CSV.

use crate::problem::WritingError;
use agewright_model::{Catalogue, Clue, Level, Unit};

/// First cells of the rows that hold hints; such rows are passed over when a table is read.
pub const HINT_ROWS: [&str; 2] = ["# what to write", "# how to take it"];
/// Sheet of a spreadsheet that says how to take each reading.
pub const HOW_SHEET: &str = "How to read";

/// Columns before and after those of the clues.
const BEFORE: [(&str, &str); 6] = [
    ("id", "a name or number of its own for every club"),
    ("made_from", "first year it may have been made in; blank if not known"),
    ("made_to", "last such year; the same year twice for an exact date"),
    ("date_grade", "1 documented, 2 register or tenure, 3 published, 4 opinion of the trade, 5 own opinion"),
    ("set", "a name shared by clubs of one set, one maker's lot or one find; blank if it stands alone"),
    ("text.title", "what it is, for the page"),
];
const AFTER: [(&str, &str); 2] =
    [("text.condition", "condition, for the page"), ("note", "anything else; never evidence")];

/// Heading and hints of every column, in order.
pub(crate) fn columns(catalogue: &Catalogue) -> Vec<(String, String, String)> {
    let own = |&(id, what): &(&str, &str)| (id.to_owned(), what.to_owned(), String::new());
    let clues = catalogue.clues().iter().map(|clue| (clue.id.clone(), what_to_write(clue), clue.how.clone()));
    BEFORE.iter().map(own).chain(clues).chain(AFTER.iter().map(own)).collect()
}

/// What may stand in a cell: a unit with its range, or the levels with their looks.
fn what_to_write(clue: &Clue) -> String {
    if clue.kind.is_measure() {
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
    let level = |level: &Level| {
        if level.look.is_empty() { level.id.clone() } else { format!("{} ({})", level.id, level.look) }
    };
    clue.levels.iter().map(level).collect::<Vec<_>>().join("; ")
}

/// The sheet as CSV, with a byte-order mark and CRLF so that a spreadsheet opens it cleanly: headings, then two rows of
/// hints that are passed over when the table is read.
///
/// # Errors
/// [`WritingError`] where the text cannot be written as CSV.
pub fn csv_sheet(catalogue: &Catalogue) -> Result<Vec<u8>, WritingError> {
    let failed = |error: csv::Error| WritingError { what: "the sheet", why: error.to_string() };
    let columns = columns(catalogue);
    let mut writer =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer("\u{feff}".as_bytes().to_vec());
    writer.write_record(columns.iter().map(|column| &column.0)).map_err(failed)?;
    let [what, how] = HINT_ROWS;
    let rest = || columns.iter().skip(1);
    writer.write_record(std::iter::once(what).chain(rest().map(|c| c.1.as_str()))).map_err(failed)?;
    writer.write_record(std::iter::once(how).chain(rest().map(|c| c.2.as_str()))).map_err(failed)?;
    writer.into_inner().map_err(|error| failed(error.into_error().into()))
}
