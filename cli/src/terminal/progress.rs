//! A progress bar on standard error, when that is a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;

/// A bar of so many steps; it draws nothing where standard error is no terminal.
pub fn progress(what: &'static str, steps: usize) -> ProgressBar {
    let target =
        if std::io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(Some(steps as u64), target);
    if let Ok(style) = ProgressStyle::with_template("{prefix} {wide_bar} {pos} of {len}") {
        bar.set_style(style);
    }
    bar.with_prefix(what)
}
