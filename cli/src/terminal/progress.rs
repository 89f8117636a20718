//! Progress on standard error, when that is a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;
use std::time::Duration;

/// A bar of so many steps; it draws nothing where standard error is no terminal.
pub fn progress(what: &'static str, steps: usize) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(steps as u64), target());
    if let Ok(style) = ProgressStyle::with_template("{prefix} {wide_bar} {pos} of {len}") {
        bar.set_style(style);
    }
    bar.with_prefix(what)
}

/// A sign of life with the time so far, for work that has no steps to count; likewise on a terminal only.
pub fn working(what: &'static str) -> ProgressBar {
    let sign = ProgressBar::with_draw_target(None, target());
    if let Ok(style) = ProgressStyle::with_template("{prefix} {spinner} {elapsed}") {
        sign.set_style(style);
    }
    sign.enable_steady_tick(Duration::from_millis(200));
    sign.with_prefix(what)
}

fn target() -> ProgressDrawTarget {
    if std::io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() }
}
