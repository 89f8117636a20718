//! How far a clue moved the estimate, in figures and in words.

/// Years or bits with their sign, to a decimal; nothing is `0.0`, never `-0.0`.
#[must_use]
pub fn signed(value: f64) -> String {
    let text = format!("{value:+.1}");
    if text == "-0.0" || text == "+0.0" { "0.0".to_owned() } else { text }
}

/// `5.0 years later`, `not at all`.
#[must_use]
pub fn moved(years: f64) -> String {
    let text = format!("{:.1}", years.abs());
    match text.as_str() {
        "0.0" => "not at all".to_owned(),
        "1.0" => format!("1.0 year {}", side(years)),
        _ => format!("{text} years {}", side(years)),
    }
}

/// The side that a move goes to.
#[must_use]
pub fn side(years: f64) -> &'static str {
    if years < 0.0 { "earlier" } else { "later" }
}
