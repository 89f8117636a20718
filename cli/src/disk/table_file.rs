//! A table of answers as a file: CSV, or a spreadsheet.

use crate::disk::whole_file::{check_may_write, check_no_input, write_whole};
use crate::failure::Failure;
use agewright_files::table_workbook::{TableColumn, table_workbook};
use agewright_pages::json::row::{HEADINGS, guarded, is_of_numbers};
use std::path::Path;

/// A table file to be written.
pub struct TableFile<'a> {
    path: &'a Path,
    is_workbook: bool,
    force: bool,
}

impl<'a> TableFile<'a> {
    /// Refuses early a table whose name is of no form or is that of an input, or that cannot be written.
    pub fn new(path: &'a Path, inputs: &[&Path], force: bool) -> Result<Self, Failure> {
        let is_workbook = match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
            Some("csv") => false,
            Some("xlsx") => true,
            _ => {
                let message = format!("{}: the name of a table must end in .csv or .xlsx", path.display());
                return Err(Failure::Usage(message));
            }
        };
        check_no_input(path, inputs)?;
        check_may_write(path, force)?;
        Ok(Self { path, is_workbook, force })
    }

    /// Writes rows of answers below their headings.
    pub fn write(&self, rows: Vec<Vec<String>>) -> Result<(), Failure> {
        let bytes = if self.is_workbook {
            let columns: Vec<TableColumn<'_>> =
                HEADINGS.iter().map(|heading| (*heading, is_of_numbers(heading))).collect();
            table_workbook(&columns, &rows)?
        } else {
            let mut bytes = Vec::new();
            write_csv(&mut bytes, rows.into_iter().map(Ok))?;
            bytes
        };
        write_whole(self.path, &bytes, self.force)
    }
}

/// Writes rows of answers as CSV below their headings, each as it comes.
pub fn write_csv(
    out: &mut dyn std::io::Write,
    rows: impl Iterator<Item = Result<Vec<String>, Failure>>,
) -> Result<(), Failure> {
    let failed = |error: csv::Error| match error.into_kind() {
        csv::ErrorKind::Io(error) => Failure::Stream(error),
        other => Failure::Failed(format!("{other:?}")),
    };
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(HEADINGS).map_err(failed)?;
    for row in rows {
        writer.write_record(guarded(row?)).map_err(failed)?;
    }
    writer.flush()?;
    Ok(())
}
