//! The command line of agewright as a library: files, charts, terminal.
//!
//! All thinking is in `agewright-model` and `agewright-calibration`; here values become files and pages, and back.

mod answers;
mod arguments;
mod built_in;
mod charts;
mod clue_orders;
mod commands;
mod exit_code;
mod failure;
mod files;
mod nearest_word;
mod terminal;
mod wording;
mod write_up;

pub use arguments::Arguments;
pub use exit_code::ExitStatus;
pub use files::{read_calibration_text, read_catalogue_text, read_collection_text, read_rules_text};
pub use wording::{chance_in_words, date_line, edtf, edtf_level_1, span};

use clap::Parser as _;
use std::ffi::OsString;
use std::io::{Read, Write};

/// Streams that a command reads and writes.
pub(crate) struct Streams<'a> {
    pub stdin: &'a mut dyn Read,
    pub stdout: &'a mut dyn Write,
    pub stderr: &'a mut dyn Write,
}

/// Runs a command line; results go to `stdout`, everything else to `stderr`.
pub fn run(
    arguments: Vec<OsString>,
    stdin: &mut dyn Read,
    stdout: &mut dyn Write,
    stderr: &mut dyn Write,
) -> ExitStatus {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let text = error.render().to_string();
            // A closed pipe is the reader's choice, not an error.
            return if error.use_stderr() {
                let _ = stderr.write_all(text.as_bytes());
                ExitStatus::WrongUsage
            } else {
                let _ = stdout.write_all(text.as_bytes());
                ExitStatus::Done
            };
        }
    };
    let outcome = commands::run(&arguments, &mut Streams { stdin, stdout: &mut *stdout, stderr: &mut *stderr });
    match outcome {
        Ok(()) => ExitStatus::Done,
        Err(failure) => {
            if !failure.is_closed_pipe() {
                let _ = writeln!(stderr, "{}", failure.render());
            }
            failure.exit_status()
        }
    }
}
