//! Bands in words.

use crate::words::chance::level_in_words;
use crate::words::years::spans;
use agewright_model::Dating;

/// Every band of an answer, the narrowest first: `1 in 2: 1904-20; 4 in 5: 1898-1927; 19 in 20: 1885-1935`.
#[must_use]
pub fn bands_in_words(dating: &Dating) -> String {
    let axis = dating.posterior.axis();
    let told =
        dating.bands.iter().map(|band| format!("{}: {}", level_in_words(band.level), spans(axis, &band.intervals)));
    told.collect::<Vec<_>>().join("; ")
}
