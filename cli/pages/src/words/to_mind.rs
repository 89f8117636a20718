//! What has to be minded of a club, in a few words each, for a list of many.

use crate::words::answered::Answered;
use crate::words::parts::replacement_sentence;
use crate::words::warnings_in_short::warnings_in_short;
use agewright_model::Part;
use agewright_model::questions::overview::is_not_borne_out;

/// The warnings of the first part, what of the others is probably later, a date that its clues do not bear out, and
/// that nothing was read.
#[must_use]
pub fn to_mind(parts: &[Answered<'_>]) -> Vec<String> {
    let Some(first) = parts.first() else { return Vec::new() };
    let mut told = of_part(first);
    // How often shafts were renewed is no news of a club whose shaft nobody looked at.
    let others = parts
        .iter()
        .skip(1)
        .filter(|part| part.asked.calibration().catalogue().was_looked_at(part.asked.club(), part.asked.part()));
    let others = others.filter_map(|part| replacement_sentence(&part.dating));
    told.extend(others.map(|sentence| in_short(&sentence)));
    told
}

/// The same of one part.
#[must_use]
pub fn of_part(part: &Answered<'_>) -> Vec<String> {
    let mut told = Vec::new();
    if !part.dating.has_evidence() {
        told.push("no clue of date".to_owned());
    }
    if part.given.as_ref().is_some_and(|given| part.dating.part == Part::Head && is_not_borne_out(given, &part.dating))
    {
        told.push("its clues do not bear out the date given".to_owned());
    }
    told.extend(replacement_sentence(&part.dating).map(|sentence| in_short(&sentence)));
    told.extend(warnings_in_short(part.asked.calibration().catalogue(), &part.warnings));
    told
}

/// A sentence as an item of a list: `shaft very probably replaced (92 in 100)`.
fn in_short(sentence: &str) -> String {
    let bare = sentence.trim_end_matches('.');
    if let Some((part, what)) = bare.strip_prefix("Of the ").and_then(|rest| rest.split_once(' ')) {
        return format!("{part}: {}", what.replacen(" is ", " ", 1));
    }
    bare.strip_prefix("The ").unwrap_or(bare).replacen(" was ", " ", 1).replacen(" is ", " ", 1)
}
