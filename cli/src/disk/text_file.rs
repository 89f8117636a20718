//! Reads a text file, or standard input, as UTF-8.

use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::SourceText;
use agewright_files::workbook::{is_workbook, sheet_text};
use std::io::Read as _;
use std::path::Path;
use std::sync::Arc;

/// Text of a file, `-` for standard input; of a spreadsheet, its first sheet as CSV. A byte-order mark is dropped,
/// anything but UTF-8 refused with its place.
pub fn read_text(path: &Path, streams: &mut Streams<'_>) -> Result<Arc<SourceText>, Failure> {
    let is_stdin = path.as_os_str() == "-";
    let name = if is_stdin { "(standard input)".to_owned() } else { path.display().to_string() };
    let mut bytes = Vec::new();
    let read = if is_stdin {
        streams.stdin.read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|mut file| file.read_to_end(&mut bytes))
    };
    if let Err(error) = read {
        return Err(Failure::Failed(format!("{name} cannot be read: {error}")));
    }
    if is_workbook(&bytes) {
        let sheet = sheet_text(&name, bytes)?;
        if !sheet.passed_over.is_empty() {
            let sheets = sheet.passed_over.join(", ");
            writeln!(streams.stderr, "note: {name}: read the first sheet, {}; passed over: {sheets}", sheet.sheet)?;
        }
        return Ok(sheet.source);
    }
    let text = String::from_utf8(bytes).map_err(|error| not_utf8(&name, &error))?;
    Ok(SourceText::new(&name, &text))
}

/// Bytes that are no text, with their place.
fn not_utf8(name: &str, error: &std::string::FromUtf8Error) -> Failure {
    let at = error.utf8_error().valid_up_to();
    let before = String::from_utf8_lossy(&error.as_bytes()[..at]).into_owned();
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    let byte = error.as_bytes()[at];
    Failure::Rejected(format!(
        "{name}:{line}:{column}: byte 0x{byte:02x} is not UTF-8\nWhat to do: save the file again as \"CSV UTF-8\" (or \
         UTF-8 text)"
    ))
}
