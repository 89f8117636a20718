//! The command line of agewright as a library: arguments, what is asked, the disk, the commands.
//!
//! All thinking is in `agewright-model` and `agewright-calibration`, all formats in `agewright-files`, all sentences
//! and pictures in `agewright-pages`; here a command line becomes a question, and an answer goes to a file or a stream.
//!
//! ```
//! let arguments = ["agewright", "clues", "--format", "json"].map(Into::into).to_vec();
//! let (mut out, mut err) = (Vec::new(), Vec::new());
//! let status = agewright::run(arguments, 80, &mut std::io::empty(), &mut out, &mut err);
//! assert_eq!((status.code(), err.len()), (0, 0));
//! assert!(String::from_utf8(out).unwrap().contains("hosel_to_crease"));
//! ```

mod arguments;
mod asked;
mod commands;
mod disk;
mod exit_code;
mod failure;
mod streams;

pub use arguments::Arguments;
pub use exit_code::ExitStatus;

use agewright_pages::terminal::page::Page;
use clap::Parser as _;
use std::ffi::OsString;
use std::io::{Read, Write};
use streams::Streams;

/// Runs a command line; results go to `stdout`, everything else to `stderr`. Text is set in so many columns, never less
/// than 50 nor more than 80.
pub fn run(
    arguments: Vec<OsString>,
    columns: usize,
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
    let page = Page::within(columns);
    let outcome = commands::run(&arguments, &mut Streams { stdin, stdout: &mut *stdout, stderr: &mut *stderr, page });
    match outcome {
        Ok(()) => ExitStatus::Done,
        Err(failure) => {
            if !failure.is_closed_pipe() {
                let _ = writeln!(stderr, "{}", failure.render(page));
            }
            failure.exit_status()
        }
    }
}
