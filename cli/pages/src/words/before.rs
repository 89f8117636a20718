//! The chance that a part was made before a year, in words.

use crate::words::undated::known_instead;
use crate::words::verbal::{in_a_hundred, in_words};
use crate::words::years::year;
use agewright_model::Dating;

/// `Made before 1900: 62 in 100 (probably)`, and what is not told where the year lies behind the calibration's last.
#[must_use]
pub fn before_words(dating: &Dating, before: i32) -> String {
    let chance = dating.posterior.probability_before(before);
    let (before_year, share) = (year(before), in_a_hundred(chance));
    let by_prior = match dating.has_evidence() {
        true => String::new(),
        false => format!(", by {}: no clue of date was read", known_instead(dating)),
    };
    let told = format!("Made before {before_year}: {share} ({}){by_prior}", in_words(chance));
    let axis = dating.posterior.axis();
    if before <= axis.to() {
        return told;
    }
    let last = year(axis.last());
    if dating.posterior.latest() > axis.last() {
        // The years behind the axis are one cell: how many of them are before that year is not known.
        let after = in_a_hundred(dating.posterior.after());
        let at_least = if share.starts_with("more than") { "" } else { " at the least" };
        return format!(
            "Made before {before_year}: {share}{at_least}; {after} is for after {last}, where years are not told apart"
        );
    }
    format!("{told}; the calibration's years end in {last}, and of later ones it tells nothing")
}
