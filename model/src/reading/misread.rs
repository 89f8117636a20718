//! The chance that a reading is wrong or belongs to later work.

use crate::reading::cell::Reading;

/// A doubtful reading is misread with at least this chance (a judgement).
pub const DOUBTFUL_MISREAD: f64 = 0.3;

/// The least chance of misreading in a fitted calibration: no single reading may be beyond doubt.
pub const LEAST_MISREAD: f64 = 0.001;

/// Chance that this reading is misread: the clue's, and at least [`DOUBTFUL_MISREAD`] for a doubtful one.
pub(crate) fn misread_of(clue_misread: f64, reading: &Reading) -> f64 {
    if reading.doubtful { clue_misread.max(DOUBTFUL_MISREAD) } else { clue_misread }
}
