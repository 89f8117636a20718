//! The chance that a part was made after the axis ends, in a sentence.

use crate::words::verbal::in_a_hundred;
use crate::words::years::year;
use agewright_model::{Axis, Dating, Part};

/// Chances below this, before and after all clues, are worth no words.
pub(crate) const SMALL_SHARE: f64 = 0.015;

/// Whether years after the axis are worth showing with an answer: in its bands, or with a chance that is told.
#[must_use]
pub fn is_shown(dating: &Dating) -> bool {
    let last = dating.posterior.axis().last();
    dating.posterior.after() >= SMALL_SHARE || dating.bands.iter().any(|band| band.to() > last)
}

/// The chance of years after the axis behind the word "after", where it is worth telling: `1939: 40 in 100`.
#[must_use]
pub fn share_after(axis: Axis, chance: f64) -> Option<String> {
    (chance >= SMALL_SHARE).then(|| format!("{}: {}", year(axis.last()), in_a_hundred(chance)))
}

/// What the account leaves out: the years after the axis, where the calibration says something of them that is worth
/// telling.
#[must_use]
pub fn after_sentence(dating: &Dating) -> Option<String> {
    let (before, now) = (dating.before.after(), dating.posterior.after());
    if before.max(now) < SMALL_SHARE {
        return None;
    }
    let last = year(dating.posterior.axis().last());
    let by = match dating.part {
        Part::Head => "before any clue",
        Part::Shaft => "by the head and the signs of another shaft",
        Part::Grip => "by head, shaft and the signs of another grip",
    };
    let (before, now) = (in_a_hundred(before), in_a_hundred(now));
    Some(format!("After {last}: {before} {by}, {now} with all clues; the ledger is of the years up to {last}."))
}
