//! The chance that a part was made before a year, in words.

use crate::words::undated::rests_on;
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
        false => format!("; no clue of date was read, and it rests on {}", rests_on(dating)),
    };
    let told = format!("Made before {before_year}: {share} ({}){by_prior}", in_words(chance));
    let axis = dating.posterior.axis();
    if before <= axis.to() {
        return told;
    }
    let last = year(axis.last());
    if is_at_least(dating, before) {
        let (share, after) = (before_in_short(dating, before), in_a_hundred(dating.posterior.after()));
        return format!(
            "Made before {before_year}: {share}; {after} is for after {last}, where years are not told apart{by_prior}"
        );
    }
    format!("{told}; the calibration's years end in {last}, and of later ones it tells nothing")
}

/// Whether more may be before the year: those behind the axis are one cell, and how many of them are is not known.
#[must_use]
pub fn is_at_least(dating: &Dating, before: i32) -> bool {
    let axis = dating.posterior.axis();
    before > axis.to() && dating.posterior.latest() > axis.last()
}

/// The chance as a cell of a table has it: `98 in 100 at the least`.
#[must_use]
pub fn before_in_short(dating: &Dating, before: i32) -> String {
    least_in_short(dating.posterior.probability_before(before), is_at_least(dating, before))
}

/// A chance that may be the least that it can be.
#[must_use]
pub fn least_in_short(chance: f64, is_at_least: bool) -> String {
    let share = in_a_hundred(chance);
    let is_told = share.starts_with("more than") || !is_at_least;
    format!("{share}{}", if is_told { "" } else { " at the least" })
}

/// What has to be minded of such chances of several clubs, where the year lies behind the calibration's last.
#[must_use]
pub fn before_note(datings: &[&Dating], before: i32) -> Option<String> {
    let axis = datings.first()?.posterior.axis();
    let (before_year, last) = (year(before), year(axis.last()));
    let what = match datings.iter().any(|dating| is_at_least(dating, before)) {
        true => format!("what is of after {last} is not counted, since those years are not told apart"),
        false => format!("the calibration's years end in {last}, and of later ones it tells nothing"),
    };
    let mut told = Vec::new();
    if before > axis.to() {
        told.push(format!("Before {before_year}: {what}."));
    }
    if datings.iter().any(|dating| !dating.has_evidence()) {
        told.push(format!("Of what is undated the chance before {before_year} rests on no clue of date."));
    }
    (!told.is_empty()).then(|| told.join(" "))
}
