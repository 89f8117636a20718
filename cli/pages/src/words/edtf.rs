//! EDTF strings (ISO 8601-2:2019; Library of Congress EDTF specification, level 2 sets).

use crate::words::date_line::ONE_YEAR_WIDTH;
use agewright_model::Dating;
use agewright_model::answer::band::Interval;

/// The 80 % band as an EDTF set, `[1885..1902]` (one of these years); open where it reaches an end of the axis;
/// several runs where the band is split; a single year stands by itself. Empty without
/// evidence, and where the band reaches both ends.
#[must_use]
pub fn edtf(dating: &Dating) -> String {
    if !dating.has_evidence() {
        return String::new();
    }
    let (axis, latest) = (dating.posterior.axis(), dating.posterior.latest());
    let band = dating.band(0.8);
    if band.from() <= axis.from() && band.to() >= latest && band.intervals.len() == 1 {
        return String::new();
    }
    let parts: Vec<String> = band
        .intervals
        .iter()
        .map(|&Interval { from, to, .. }| match (from <= axis.from(), to >= latest) {
            (true, true) => format!("{}..{}", edtf_year(from), edtf_year(to)),
            (true, false) => format!("..{}", edtf_year(to)),
            (false, true) => format!("{}..", edtf_year(from)),
            (false, false) if from == to => edtf_year(from),
            (false, false) => format!("{}..{}", edtf_year(from), edtf_year(to)),
        })
        .collect();
    match parts.as_slice() {
        [one] if !one.contains("..") => one.clone(),
        parts => format!("[{}]", parts.join(",")),
    }
}

/// The 80 % band at EDTF level 1, for programs that read no sets: `1892~` up to ten years round a middle year, `189X`
/// for just a decade, otherwise an interval of approximate ends, `1885~/1902~`, open where it reaches an end of the
/// axis. `None` where the band is split, which level 1 cannot tell, without evidence, and where it reaches both
/// ends.
///
/// An interval strictly says that something lasted from one end to the other; the level 2 set does not.
#[must_use]
pub fn edtf_level_1(dating: &Dating) -> Option<String> {
    let (axis, band) = (dating.posterior.axis(), dating.band(0.8));
    if !dating.has_evidence() || band.intervals.len() > 1 {
        return None;
    }
    let (from, to) = (band.from(), band.to());
    let about = |year: i32| format!("{}~", edtf_year(year));
    Some(match (from <= axis.from(), to >= dating.posterior.latest()) {
        (true, true) => return None,
        (true, false) => format!("../{}", about(to)),
        // The end of the axis is not about some year.
        (false, true) if from > axis.last() => format!("{}/..", edtf_year(from)),
        (false, true) => format!("{}/..", about(from)),
        (false, false) if from % 10 == 0 && to == from + 9 && from > 0 => format!("{:03}X", from / 10),
        (false, false) if to - from < ONE_YEAR_WIDTH => about(dating.posterior.median()),
        (false, false) => format!("{}/{}", about(from), about(to)),
    })
}

/// Outer years of a band, for fields that want numbers: nothing on a side where the band reaches the end of the axis,
/// and nothing at all without evidence.
#[must_use]
pub fn earliest_and_latest(dating: &Dating, level: f64) -> (Option<i32>, Option<i32>) {
    if !dating.has_evidence() {
        return (None, None);
    }
    let (axis, band) = (dating.posterior.axis(), dating.band(level));
    let (from, to) = (band.from(), band.to());
    (Some(from).filter(|from| *from > axis.from()), Some(to).filter(|to| *to < dating.posterior.latest()))
}

/// Four digits at least, with a minus before; year 0 is 1 BC, as on the axis.
fn edtf_year(year: i32) -> String {
    if year < 0 { format!("-{:04}", year.unsigned_abs()) } else { format!("{year:04}") }
}
