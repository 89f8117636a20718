//! What a Ctrl-C finds at the bench: the record as far as it was saved, and how to go on.

use crate::arguments::RecordingArguments;
use crate::disk::record_file::RecordFile;
use agewright_pages::terminal::page::Page;
use std::io::Write as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Exit code of a program that a Ctrl-C ends (128 and the signal's number, as shells have it).
const STOPPED: i32 = 130;

/// Tells, on Ctrl-C, what was saved.
pub struct Interrupted {
    is_saved: Arc<AtomicBool>,
}

impl Interrupted {
    /// Watches for Ctrl-C from now on. Every answer is written whole as it is given, so nothing can be half done.
    pub fn watch(arguments: &RecordingArguments, page: Page) -> Self {
        let is_saved = Arc::new(AtomicBool::new(false));
        let (saved, record) = (Arc::clone(&is_saved), arguments.out.display().to_string());
        // The clues are those of the calibration that was named.
        let is_usual = arguments.calibration.is_none() && arguments.marks.is_empty();
        let as_before = if is_usual { "" } else { ", with --calibration and --marks as before" };
        // Where no handler can be set (a second one in a process), a Ctrl-C ends the program as it always did.
        let _ = ctrlc::set_handler(move || {
            let told = if saved.load(Ordering::SeqCst) {
                format!(
                    "Stopped. All answers so far are saved in {record}. To go on: agewright record --out {record} \
                     --resume{as_before}"
                )
            } else {
                "Stopped. Nothing was answered, and nothing was written.".to_owned()
            };
            let _ = writeln!(std::io::stderr(), "\n\n{}", page.wrapped(&told, ""));
            std::process::exit(STOPPED);
        });
        Self { is_saved }
    }

    /// Keeps up with what is in the file.
    pub fn may_tell_of(&self, file: &RecordFile) {
        self.is_saved.store(file.is_saved(), Ordering::SeqCst);
    }
}
