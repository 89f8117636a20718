//! Progress on standard error: for work of more than a second, and only where that is a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;
use std::time::{Duration, Instant};

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// Steps done of so many.
pub struct Progress {
    bar: ProgressBar,
    started: Instant,
}

/// A bar of so many steps.
pub fn progress(what: &'static str, steps: usize) -> Progress {
    let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
    if let Ok(style) = ProgressStyle::with_template("{prefix} {wide_bar} {pos} of {len}") {
        bar.set_style(style);
    }
    Progress { bar: bar.with_prefix(what), started: Instant::now() }
}

impl Progress {
    /// Counts steps done.
    pub fn inc(&self, steps: u64) {
        if self.bar.is_hidden() && self.started.elapsed() > PATIENCE && std::io::stderr().is_terminal() {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.inc(steps);
    }

    /// Takes the bar away.
    pub fn finish(&self) {
        self.bar.finish_and_clear();
    }
}

/// A sign of life with the time so far, for work that has no steps to count. Its thread writes to standard error, which
/// nobody may hold locked.
pub fn working(what: &'static str) -> ProgressBar {
    let target =
        if std::io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let sign = ProgressBar::with_draw_target(None, target);
    if let Ok(style) = ProgressStyle::with_template("{prefix} {spinner} {elapsed}") {
        sign.set_style(style);
    }
    sign.enable_steady_tick(PATIENCE);
    sign.with_prefix(what)
}
