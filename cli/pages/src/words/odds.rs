//! Decibans in plain words.

/// Odds of a weight of evidence in decibans, whichever side it speaks for: 10 is `10 to one`, 3 `2 to one`.
#[must_use]
pub fn odds_in_words(decibans: f64) -> String {
    let ratio = 10.0_f64.powf(decibans.abs() / 10.0);
    let rounded = |unit: f64| (ratio / unit).round() * unit;
    match ratio {
        ..1.1 => "about even".to_owned(),
        ..1.35 => "5 to 4".to_owned(),
        ..1.75 => "3 to 2".to_owned(),
        ..2.25 => "2 to one".to_owned(),
        ..2.75 => "5 to 2".to_owned(),
        ..9.95 => format!("{ratio:.0} to one"),
        ..100.0 => format!("{:.0} to one", rounded(1.0)),
        ..1_000.0 => format!("{:.0} to one", rounded(10.0)),
        ..10_000.0 => grouped(rounded(100.0)),
        ..100_000.0 => grouped(rounded(1_000.0)),
        ..1_000_000.0 => grouped(rounded(10_000.0)),
        _ => "over a million to one".to_owned(),
    }
}

/// A whole number, its thousands set off by commas: `35,000`.
#[must_use]
pub fn grouped_by_thousands(number: f64) -> String {
    let digits = format!("{number:.0}");
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

fn grouped(ratio: f64) -> String {
    format!("{} to one", grouped_by_thousands(ratio))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ten_decibans_are_ten_to_one_on_either_side() {
        assert_eq!(
            [10.0, -10.0, 20.0, 3.0, 0.0].map(odds_in_words),
            ["10 to one", "10 to one", "100 to one", "2 to one", "about even"]
        );
        assert_eq!(odds_in_words(45.4), "35,000 to one");
        assert_eq!(odds_in_words(38.0), "6,300 to one");
        assert_eq!(odds_in_words(70.0), "over a million to one");
    }
}
