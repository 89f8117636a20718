//! The command line: arguments in, exit code out; everything else is in the library.

use std::io::IsTerminal as _;
use std::process::ExitCode;

/// Columns where no terminal has fewer.
const USUAL_COLUMNS: usize = 80;

/// Columns for text: those that `COLUMNS` asks for, or the terminal has; a file or a pipe has the usual ones.
fn columns() -> usize {
    let asked = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let of_terminal = || std::io::stdout().is_terminal().then(terminal_size::terminal_size).flatten();
    asked.or_else(|| of_terminal().map(|(width, _)| usize::from(width.0))).unwrap_or(USUAL_COLUMNS)
}

fn main() -> ExitCode {
    let arguments: Vec<std::ffi::OsString> = std::env::args_os().collect();
    // Standard error is not locked: the thread that shows progress writes to it too, and would wait for ever.
    let (mut stdin, mut stdout) = (std::io::stdin().lock(), std::io::stdout().lock());
    agewright::run(arguments, columns(), &mut stdin, &mut stdout, &mut std::io::stderr()).into()
}
