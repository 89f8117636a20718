//! The command line: arguments in, exit code out; everything else is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<std::ffi::OsString> = std::env::args_os().collect();
    // Standard error is not locked: the thread that shows progress writes to it too, and would wait for ever.
    agewright::run(arguments, &mut std::io::stdin().lock(), &mut std::io::stdout().lock(), &mut std::io::stderr())
        .into()
}
