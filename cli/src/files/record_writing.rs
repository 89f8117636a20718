//! Writes a club as a TOML record.

use agewright_model::{Catalogue, Cell, Club};
use std::fmt::Write as _;

/// The record of a club, which `read_record` reads again; texts that `kept_back` names are left out.
pub fn record_text(club: &Club, catalogue: &Catalogue, kept_back: &dyn Fn(&str) -> bool) -> String {
    let mut text = format!("id = {}\ncatalogue = {}\n", quoted(&club.id), quoted(&catalogue.name));
    if !club.note.is_empty() {
        let _ = writeln!(text, "note = {}", quoted(&club.note));
    }
    text.push_str("\n[readings]\n");
    for (clue, cell) in catalogue.clues.iter().zip(&club.cells) {
        let value = match cell {
            Cell::NotExamined => continue,
            Cell::Unreadable => "unreadable",
            Cell::Altered => "altered",
            Cell::Read(reading) => &reading.text,
        };
        let _ = writeln!(text, "{} = {}", clue.id, quoted(value));
    }
    let texts: Vec<(&String, &String)> = club.text.iter().filter(|(key, _)| !kept_back(key)).collect();
    if !texts.is_empty() {
        text.push_str("\n[text]\n");
    }
    for (key, value) in texts {
        let is_bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'));
        let key = if is_bare { key.clone() } else { quoted(key) };
        let _ = writeln!(text, "{key} = {}", quoted(value));
    }
    text
}

/// A basic string on one line: the escapes of JSON are among those of TOML.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
