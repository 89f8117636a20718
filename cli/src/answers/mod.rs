//! Answers as JSON and CSV: a contract with a schema number, its fields documented in cli/JSON.md. Numbers are given in
//! full, for others to compute with.

mod audit;
mod clues;
mod collection;
mod dating;
mod linked_art;
mod next;
mod row;
mod sensitivity;
mod shared;
mod side_by_side;
mod why_not;
mod write_up;

pub use audit::AuditAnswer;
pub use clues::CluesAnswer;
pub use collection::CollectionAnswer;
pub use dating::Answer;
pub use linked_art::LinkedArt;
pub use next::NextAnswer;
pub use row::{HEADINGS, row};
pub use sensitivity::SensitivityAnswer;
pub use side_by_side::SideBySideAnswer;
pub use why_not::WhyNotAnswer;
pub use write_up::{WriteUpAnswer, rounded_json};

use crate::Streams;
use crate::failure::Failure;
use serde::Serialize;

/// Prints one answer on a line of its own.
pub fn print_json(answer: &impl Serialize, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let line = serde_json::to_string(answer).map_err(|error| Failure::Failed(error.to_string()))?;
    Ok(writeln!(streams.stdout, "{line}")?)
}
