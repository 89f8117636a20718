//! The commands, one a file: arguments to what is asked, and answers to pages.

mod audit;
mod bench;
mod catalogue;
mod chart;
mod clues;
mod collection;
mod compare;
mod date;
mod fit;
mod manual;
mod next;
mod opinion;
mod record;
mod schema;
mod sensitivity;
mod why_not;
mod write_up;

use crate::arguments::{Arguments, Command};
use crate::failure::Failure;
use crate::streams::Streams;

/// Runs the command that was asked for.
pub fn run(arguments: &Arguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    match &arguments.command {
        Command::Date(arguments) => date::run(arguments, streams),
        Command::Audit(arguments) => audit::run(arguments, streams),
        Command::Fit(arguments) => fit::run(arguments, streams),
        Command::Sensitivity(arguments) => sensitivity::run(arguments, streams),
        Command::WhyNot(arguments) => why_not::run(arguments, streams),
        Command::Next(arguments) => next::run(arguments, streams),
        Command::Compare(arguments) => compare::run(arguments, streams),
        Command::Collection(arguments) => collection::run(arguments, streams),
        Command::WriteUp(arguments) => write_up::run(arguments, streams),
        Command::Opinion(arguments) => opinion::run(arguments, streams),
        Command::Bench(arguments) => bench::run(arguments, streams),
        Command::Record(arguments) => record::run(arguments, streams),
        Command::Chart(arguments) => chart::run(arguments, streams),
        Command::Catalogue(arguments) => catalogue::run(arguments, streams),
        Command::Schema(arguments) => schema::run(arguments, streams),
        Command::Clues(arguments) => clues::run(arguments, streams),
        Command::Completions(arguments) => manual::completions(arguments, streams),
        Command::Man => manual::man(streams),
    }
}
