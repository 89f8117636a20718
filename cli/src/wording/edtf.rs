//! EDTF strings (ISO 8601-2:2019; Library of Congress EDTF specification, level 2 sets).

use agewright_model::Dating;

/// The 80 % band as an EDTF set, `[1885..1902]` (one of these years); open where it reaches an end of the axis;
/// several runs where there are several answers; a single year stands by itself. Empty without evidence.
#[must_use]
pub fn edtf(dating: &Dating) -> String {
    if !dating.has_evidence() {
        return String::new();
    }
    let axis = dating.posterior.axis();
    let band = dating.band(0.8);
    let modes = band.modes();
    let runs: Vec<(i32, i32)> = if modes.is_empty() {
        vec![(band.from(), band.to())]
    } else {
        modes.iter().map(|mode| (mode.from, mode.to)).collect()
    };
    let parts: Vec<String> = runs
        .iter()
        .map(|&(from, to)| match (from <= axis.from(), to >= axis.last()) {
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

/// Four digits at least, with a minus before; year 0 is 1 BC, as on the axis.
fn edtf_year(year: i32) -> String {
    if year < 0 { format!("-{:04}", year.unsigned_abs()) } else { format!("{year:04}") }
}
