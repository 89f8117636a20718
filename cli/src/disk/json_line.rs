//! One JSON object a line.

use crate::failure::Failure;
use crate::streams::Streams;
use serde::Serialize;

/// Prints one answer on a line of its own.
pub fn print_json(answer: &impl Serialize, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let line = serde_json::to_string(answer)?;
    Ok(writeln!(streams.stdout, "{line}")?)
}
