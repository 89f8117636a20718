//! The chance that a part was made before a year, in words.

use crate::words::verbal::{in_a_hundred, in_words};
use crate::words::years::year;
use agewright_model::Dating;

/// `Made before 1900: 62 in 100 (probably)`, and what is not told where the year lies behind the calibration's last.
#[must_use]
pub fn before_words(dating: &Dating, before: i32) -> String {
    let chance = dating.posterior.probability_before(before);
    let told = format!("Made before {}: {} ({})", year(before), in_a_hundred(chance), in_words(chance));
    let last = dating.posterior.axis().last();
    if before <= last + 1 {
        return told;
    }
    format!("{told}; the calibration's years end in {}, and of later ones it tells nothing", year(last))
}
