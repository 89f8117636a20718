//! Reads a text file, or standard input; of a spreadsheet, a sheet as a table.

use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::SourceText;
use agewright_files::text_of_bytes::text_of_bytes;
use agewright_files::workbook::{is_workbook, sheet_text};
use std::io::Read as _;
use std::path::Path;
use std::sync::Arc;

/// Text of a file, `-` for standard input; of a spreadsheet, its first sheet as CSV. A byte-order mark is dropped,
/// anything but UTF-8 and marked UTF-16 refused with its cause.
pub fn read_text(path: &Path, streams: &mut Streams<'_>) -> Result<Arc<SourceText>, Failure> {
    read_sheet(path, None, streams)
}

/// The same, of a spreadsheet the sheet named.
pub fn read_sheet(path: &Path, wanted: Option<&str>, streams: &mut Streams<'_>) -> Result<Arc<SourceText>, Failure> {
    let is_stdin = path.as_os_str() == "-";
    let name = if is_stdin { "(standard input)".to_owned() } else { path.display().to_string() };
    let mut bytes = Vec::new();
    let read = if is_stdin {
        streams.stdin.read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|mut file| file.read_to_end(&mut bytes))
    };
    if let Err(error) = read {
        return Err(Failure::Failed(match error.kind() {
            std::io::ErrorKind::NotFound => {
                format!("there is no file {name}\nWhat to do: look at its name, and at the folder that you are in")
            }
            _ => format!("{name} cannot be read: {error}"),
        }));
    }
    if is_workbook(&bytes) {
        let sheet = sheet_text(&name, bytes, wanted)?;
        if wanted.is_none() && !sheet.passed_over.is_empty() {
            let (first, others) = (sheet.sheet, sheet.passed_over.join(", "));
            streams.tell(&format!(
                "note: {name}: read the first sheet, {first}; passed over: {others} (--sheet chooses; in write-up, \
                 --from-sheet)"
            ))?;
        }
        return Ok(sheet.source);
    }
    if let Some(sheet) = wanted.filter(|_| !is_record(path)) {
        return Err(Failure::Usage(format!("--sheet {sheet}: {name} is no spreadsheet and has no sheets")));
    }
    let text = text_of_bytes(bytes).map_err(|cause| Failure::Rejected(format!("{name}{cause}")))?;
    Ok(SourceText::new(&name, &text))
}

/// Whether a file is a record by its name.
pub fn is_record(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml"))
}
