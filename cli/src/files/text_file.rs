//! Reads a text file, or standard input, as UTF-8.

use super::recording_sheet::HOW_SHEET;
use super::workbook::{is_workbook, sheet_text};
use crate::Streams;
use crate::failure::{Failure, SourceText};
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;
use std::io::Read as _;
use std::path::Path;
use std::rc::Rc;

/// SHA-256 of a text in hexadecimal.
pub fn sha256(text: &str) -> String {
    Sha256::digest(text).iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// Text of a file, `-` for standard input; of a spreadsheet, its first sheet as CSV. A byte-order mark is dropped, anything but UTF-8 refused with its place.
pub fn read_text(path: &Path, streams: &mut Streams<'_>) -> Result<Rc<SourceText>, Failure> {
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
        if sheet.passed_over.iter().any(|other| other != HOW_SHEET) {
            let sheets = sheet.passed_over.join(", ");
            writeln!(streams.stderr, "note: {name}: read the first sheet, {}; passed over: {sheets}", sheet.sheet)?;
        }
        return Ok(Rc::new(SourceText { name: format!("{name} (sheet {})", sheet.sheet), text: sheet.text }));
    }
    match String::from_utf8(bytes) {
        Ok(text) => {
            let text = text.strip_prefix('\u{feff}').map_or_else(|| text.clone(), str::to_owned);
            Ok(Rc::new(SourceText { name, text }))
        }
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let before = String::from_utf8_lossy(&error.as_bytes()[..at]).into_owned();
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
            let byte = error.as_bytes()[at];
            Err(Failure::Rejected(format!(
                "{name}:{line}:{column}: byte 0x{byte:02x} is not UTF-8\n= help: save the file again as \"CSV UTF-8\" (or UTF-8 text)"
            )))
        }
    }
}
