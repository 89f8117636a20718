//! Reads a measure as people write it: `3.5`, `3 1/2 in`, `3-1/2"`, `3½`, `89 mm`, `3.5 ± 0.1`.

use crate::reading::units::Unit;

/// A measure in the clue's unit, with its own tolerance if one was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Measure {
    pub value: f64,
    pub tolerance: Option<f64>,
}

/// Why a text is no measure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum MeasureProblem {
    NotANumber,
    LooksLikeADate,
    DecimalComma,
    Unit(String),
}

const VULGAR_FRACTIONS: [(char, &str); 18] = [
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
    ('⅐', "1/7"),
    ('⅑', "1/9"),
    ('⅒', "1/10"),
];

const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// Reads a measure into `unit`; `decimal_comma` where the file separates its columns by `;`.
pub(crate) fn read_measure(text: &str, unit: Unit, decimal_comma: bool) -> Result<Measure, MeasureProblem> {
    let plain = middle_of_range(pounds_in_ounces(spell_out(text), decimal_comma), unit, decimal_comma);
    let (value_text, tolerance_text) = match plain.split_once('±') {
        Some((value, tolerance)) => (value.trim(), Some(tolerance.trim())),
        None => (plain.trim(), None),
    };
    let (number, word) = split_unit(value_text);
    // A plain number is no date, whatever its signs and digits, nor is a mixed one; 12/2025 may be.
    let is_number = (number.contains(' ') || !number.contains('/'))
        && (word.is_empty() || Unit::is_word(word))
        && read_number(number, decimal_comma).is_ok();
    if !is_number && looks_like_a_date(value_text) {
        return Err(MeasureProblem::LooksLikeADate);
    }
    if number.is_empty() {
        return Err(MeasureProblem::NotANumber);
    }
    let tolerance_parts = tolerance_text.map(split_unit);
    // "3.5 ± 0.1 mm": one unit behind both speaks for both.
    let tolerance_word = tolerance_parts.map_or("", |(_, word)| word);
    let word = if word.is_empty() { tolerance_word } else { word };
    let factor = unit_factor(unit, word)?;
    let value = read_number(number, decimal_comma)? * factor;
    let tolerance = match tolerance_parts {
        None => None,
        Some((number, own)) => {
            let factor = if own.is_empty() { factor } else { unit_factor(unit, own)? };
            let tolerance = read_number(number, decimal_comma)? * factor;
            if tolerance < 0.0 {
                return Err(MeasureProblem::NotANumber);
            }
            Some(tolerance)
        }
    };
    if value.is_finite() && tolerance.is_none_or(f64::is_finite) {
        Ok(Measure { value, tolerance })
    } else {
        Err(MeasureProblem::NotANumber)
    }
}

/// `4 to 4.5 in` as its middle, to within half of it: `4.25 ± 0.25 in`; anything else as it is.
fn middle_of_range(text: String, unit: Unit, decimal_comma: bool) -> String {
    let Some((low, high)) = text.split_once(" to ") else { return text };
    let ((low, low_word), (high, word)) = (split_unit(low.trim()), split_unit(high.trim()));
    let of_one_unit = low_word.is_empty() || low_word == word;
    let number = |text: &str| read_number(text, decimal_comma).ok();
    match (number(low), number(high)) {
        (Some(low), Some(high)) if of_one_unit && low < high && unit_factor(unit, word).is_ok() => {
            format!("{} ± {} {word}", (low + high) / 2.0, (high - low) / 2.0)
        }
        _ => text,
    }
}

/// `1 lb 2 oz` as `18 oz`; anything else as it is.
fn pounds_in_ounces(text: String, decimal_comma: bool) -> String {
    let lower = text.to_lowercase();
    let of = |text: &str, words: &[&str]| {
        let (number, word) = split_unit(text.trim());
        words.contains(&word.trim_end_matches('.')).then(|| read_number(number, decimal_comma).ok())?
    };
    let both = lower.match_indices("lb").find_map(|(at, _)| {
        let (pounds, rest) = lower.split_at(at);
        let ounces = rest.trim_start_matches("lb").trim_start_matches('s').trim_start_matches(['.', ',']);
        let whole = read_number(pounds.trim(), decimal_comma).ok().filter(|pounds| pounds.fract() == 0.0)?;
        Some(
            whole * 16.0
                + of(ounces, &["oz", "ozs", "ounce", "ounces"]).filter(|ounces| (0.0..16.0).contains(ounces))?,
        )
    });
    both.map_or(text, |ounces| format!("{ounces} oz"))
}

fn unit_factor(unit: Unit, word: &str) -> Result<f64, MeasureProblem> {
    if word.is_empty() {
        return Ok(1.0);
    }
    unit.factor_from(word).ok_or_else(|| MeasureProblem::Unit(word.to_owned()))
}

/// Fractions in one character become three, `+/-` becomes `±`, odd spaces become plain ones.
fn spell_out(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 4);
    for c in text.trim().chars() {
        if let Some((_, fraction)) = VULGAR_FRACTIONS.iter().find(|(f, _)| *f == c) {
            if plain.ends_with(|d: char| d.is_ascii_digit()) {
                plain.push(' ');
            }
            plain.push_str(fraction);
        } else {
            plain.push(match c {
                '\u{a0}' | '\u{2009}' | '\u{202f}' => ' ',
                '\u{2044}' | '\u{2215}' => '/',
                '\u{2010}'..='\u{2013}' | '\u{2212}' => '-',
                other => other,
            });
        }
    }
    plain.replace("+/-", "±").replace("+-", "±")
}

/// Splits a trailing unit word from a number.
fn split_unit(text: &str) -> (&str, &str) {
    let cut =
        text.char_indices().rev().take_while(|(_, c)| !c.is_ascii_digit()).last().map_or(text.len(), |(at, _)| at);
    // A full stop right behind a digit belongs to the number ("3."), the rest is the unit.
    let cut = if text[cut..].starts_with('.') { cut + 1 } else { cut };
    (text[..cut].trim(), text[cut..].trim())
}

fn read_number(text: &str, decimal_comma: bool) -> Result<f64, MeasureProblem> {
    if !decimal_comma && is_ambiguous(text) {
        return Err(MeasureProblem::DecimalComma);
    }
    let text = text.replace(',', ".");
    let (negative, text) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim()),
        None => (false, text.as_str()),
    };
    let value = if let Some((numerator, denominator)) = text.rsplit_once('/') {
        read_fraction(numerator.trim(), denominator.trim())
    } else {
        read_decimal(text)
    }
    .ok_or(MeasureProblem::NotANumber)?;
    Ok(if negative { -value } else { value })
}

/// Whether a comma may be meant for thousands, where the file does not say that it writes decimals so: three digits
/// behind it, or more commas or a point beside it.
fn is_ambiguous(text: &str) -> bool {
    let Some((before, after)) = text.split_once(',') else { return false };
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    // Nobody writes 0,125 for thousands.
    let is_thousands = digits == 3 && before.trim_start_matches('-').trim() != "0";
    is_thousands || after.contains([',', '.']) || before.contains('.')
}

/// `3.5`, `.5`, `1.5e-3`; not `inf`, `nan` or anything with letters of its own.
fn read_decimal(text: &str) -> Option<f64> {
    let plain = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '+' | '-'));
    let begins = text.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    (plain && begins).then(|| text.parse().ok())?
}

/// `1/2`, or `3 1/2` and `3-1/2` by what stands before the numerator.
fn read_fraction(before: &str, denominator: &str) -> Option<f64> {
    let (whole, numerator) = match before.rsplit_once([' ', '-']) {
        Some((whole, numerator)) => (whole.trim_end_matches([' ', '-']), numerator),
        None => ("", before),
    };
    let whole_number =
        |t: &str| (!t.is_empty() && t.chars().all(|c| c.is_ascii_digit())).then(|| t.parse::<u32>().ok())?;
    let has_zero = numerator.starts_with('0') || denominator.starts_with('0');
    let numerator = whole_number(numerator)?;
    let denominator = whole_number(denominator)?;
    if denominator == 0 {
        return None;
    }
    // By themselves 05/12, 12/6 and 5/11 are a day and a month; no rule is divided so.
    let is_date = has_zero || numerator.is_multiple_of(denominator) || [11, 12].contains(&denominator);
    if whole.is_empty() && is_date {
        return None;
    }
    let whole = if whole.is_empty() { 0 } else { whole_number(whole)? };
    // A mixed number's fraction is a proper one: "3 12/5" is a slip.
    if whole > 0 && numerator >= denominator {
        return None;
    }
    Some(f64::from(whole) + f64::from(numerator) / f64::from(denominator))
}

/// A spreadsheet turns `3-1/2` or `1/2` into a day and a month; such cells are refused rather than guessed at.
fn looks_like_a_date(text: &str) -> bool {
    let lower = text.to_lowercase();
    if lower.contains(':') {
        return true;
    }
    let parts: Vec<&str> = lower.split(['-', '/', '.', ' ']).filter(|p| !p.is_empty()).collect();
    let is_number = |p: &&str| p.chars().all(|c| c.is_ascii_digit());
    if parts.iter().any(|p| MONTHS.iter().any(|m| p.starts_with(m)) && p.chars().all(char::is_alphabetic)) {
        return true;
    }
    let numbers = parts.iter().filter(|p| is_number(p)).count();
    let long_year = parts.iter().any(|p| is_number(p) && p.len() == 4);
    let dashes = lower.matches('-').count();
    let slashes = lower.matches('/').count();
    let dots = lower.matches('.').count();
    let same_marks = dashes == 2 || slashes == 2 || dots == 2;
    // "3-12" is neither a measure nor a fraction: a day and a month.
    let day_month = dashes == 1 && slashes == 0 && numbers == 2 && parts.len() == 2 && !lower.starts_with('-');
    (numbers == 3 && same_marks) || day_month || (long_year && numbers > 1 && (dashes > 0 || slashes > 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> Result<f64, MeasureProblem> {
        read_measure(text, Unit::Inch, false).map(|m| m.value)
    }

    #[test]
    fn every_way_of_writing_three_and_a_half_inches() {
        for text in [
            "3.5",
            "3 1/2 in",
            "3-1/2\"",
            "3½",
            "3 ½ in",
            "3½\"",
            "7/2",
            "3.50 inches",
            "3.5in",
            "88.9 mm",
            "8.89 cm",
            "3–1/2″",
            "3.5 in.",
        ] {
            let value = inches(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            assert!((value - 3.5).abs() < 1e-12, "{text} gave {value}");
        }
        assert!((read_measure("3,5", Unit::Inch, true).unwrap().value - 3.5).abs() < 1e-12);
    }

    #[test]
    fn pounds_and_ounces_are_one_weight() {
        for text in ["1 lb 2 oz", "1lb 2oz", "1 lb. 2 ozs", "1lb, 2 ounces", "18 oz", "1 1/8 lb"] {
            let value = read_measure(text, Unit::Ounce, false).unwrap_or_else(|e| panic!("{text}: {e:?}")).value;
            assert!((value - 18.0).abs() < 1e-12, "{text} gave {value}");
        }
        // 18 oz of 28.349523125 g each (international avoirdupois pound, 1959).
        assert!((read_measure("1 lb 2 oz", Unit::Gram, false).unwrap().value - 510.291_416_25).abs() < 1e-9);
        for text in ["1 lb 16 oz", "1.5 lb 2 oz", "1 lb 2", "lb 2 oz", "1 lb 2 in", "2 oz 1 lb"] {
            assert!(read_measure(text, Unit::Ounce, false).is_err(), "{text}");
        }
        assert!(read_measure("1 lb 2 oz", Unit::Inch, false).is_err());
    }

    #[test]
    fn numbers_of_any_sign_and_size_are_no_dates() {
        for (text, value) in [
            ("-1773.4878", -1773.4878),
            ("2026", 2026.0),
            ("1500.25", 1500.25),
            ("1e-05", 1e-5),
            ("-2.5E+3", -2500.0),
            (".25", 0.25),
            ("1000 1/2", 1000.5),
        ] {
            let got = read_measure(text, Unit::Plain, false).unwrap_or_else(|e| panic!("{text}: {e:?}")).value;
            assert!((got - value).abs() < 1e-9, "{text}: {got}");
        }
    }

    #[test]
    fn a_tolerance_carries_its_unit_or_takes_the_values() {
        let both = |text| read_measure(text, Unit::Inch, false).unwrap();
        for text in [
            "3.5 ± 0.1",
            "3.5 +/- 0.1 in",
            "3.5in±0.1",
            "3.5 in ± 2.54 mm",
            "88.9 ± 2.54 mm",
            "3½ ± 1/10",
            "3.5 ± .1 in",
        ] {
            let m = both(text);
            assert!((m.value - 3.5).abs() < 1e-12 && (m.tolerance.unwrap() - 0.1).abs() < 1e-12, "{text}: {m:?}");
        }
    }

    #[test]
    fn dates_made_by_a_spreadsheet_are_named_as_such() {
        for text in [
            "03-Jan",
            "3-Jan-26",
            "2026-01-03",
            "03/01/2026",
            "1/2/3",
            "Jan-03",
            "3-12",
            "3.1.2026",
            "2026-01-03 00:00:00",
            "3 Mar",
        ] {
            assert_eq!(inches(text), Err(MeasureProblem::LooksLikeADate), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in [
            "",
            "abc",
            "3 12/5",
            "1/0",
            "3..5",
            "nan",
            "inf",
            "e5",
            "1e",
            "3 1/2 1/2",
            "--3",
            "3 4",
            "1/",
            "/2",
            "± 0.1",
            "3 ± -0.1",
        ] {
            assert!(inches(text).is_err(), "{text:?} was read as {:?}", inches(text));
        }
        assert_eq!(inches("3,5"), Ok(3.5));
        for ambiguous in ["3,125", "1,234.5", "1.234,5", "1,2,3"] {
            assert_eq!(inches(ambiguous), Err(MeasureProblem::DecimalComma), "{ambiguous}");
        }
        assert_eq!(inches("3 furlongs"), Err(MeasureProblem::Unit("furlongs".into())));
        assert_eq!(inches("3 oz"), Err(MeasureProblem::Unit("oz".into())));
    }
}
