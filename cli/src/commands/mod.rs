//! The commands, one a file.

mod audit;
pub use audit::Variants;
mod chart;
mod clues;
mod date;
mod fit;
mod question;
mod sensitivity;

use crate::Streams;
use crate::arguments::{Arguments, Command};
use crate::failure::Failure;

/// Runs the command that was asked for.
pub fn run(arguments: &Arguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    match &arguments.command {
        Command::Date(arguments) => date::run(arguments, streams),
        Command::Audit(arguments) => audit::run(arguments, streams),
        Command::Fit(arguments) => fit::run(arguments, streams),
        Command::Sensitivity(arguments) => sensitivity::run(arguments, streams),
        Command::Chart(arguments) => chart::run(arguments, streams),
        Command::Clues(arguments) => clues::run(arguments, streams),
    }
}
