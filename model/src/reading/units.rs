//! Units that measures are given in, and what they convert to.

use serde::{Deserialize, Serialize};

/// A unit of length, mass or angle, or a plain number.
/// ```
/// use agewright_model::{Cell, Clue, ClueKind, Part, Seen, Unit};
///
/// let hosel = Clue { unit: Unit::Inch, ..Clue::new("hosel", ClueKind::Measured, Part::Head) };
/// let inches = |text: &str| match Cell::from_text(&hosel, text, false).unwrap().reading().unwrap().seen {
///     Seen::Measure { value, .. } => value,
///     _ => unreachable!("a measured clue"),
/// };
/// assert!((inches("4 1/2 in") - 4.5).abs() < 1e-12 && (inches("101.6 mm") - 4.0).abs() < 1e-12);
/// assert!(Cell::from_text(&hosel, "4 oz", false).is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Unit {
    /// Inch.
    #[serde(rename = "in")]
    Inch,
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// Avoirdupois ounce.
    #[serde(rename = "oz")]
    Ounce,
    /// Gram.
    #[serde(rename = "g")]
    Gram,
    /// Degree of angle.
    #[serde(rename = "deg")]
    Degree,
    /// A plain number.
    #[serde(rename = "")]
    #[default]
    Plain,
}

/// Words a unit may be written as, with the unit and how many of it one is.
/// Exact by definition: 1 in = 25.4 mm, 1 lb = 453.592 37 g = 16 oz (international yard and pound, 1959).
const WORDS: [(&str, Unit, f64); 31] = [
    ("in", Unit::Inch, 1.0),
    ("in.", Unit::Inch, 1.0),
    ("ins", Unit::Inch, 1.0),
    ("ins.", Unit::Inch, 1.0),
    ("inch", Unit::Inch, 1.0),
    ("inches", Unit::Inch, 1.0),
    ("\"", Unit::Inch, 1.0),
    ("\u{2033}", Unit::Inch, 1.0),
    ("\u{201d}", Unit::Inch, 1.0),
    ("''", Unit::Inch, 1.0),
    ("mm", Unit::Millimetre, 1.0),
    ("mm.", Unit::Millimetre, 1.0),
    ("mms", Unit::Millimetre, 1.0),
    ("cm", Unit::Millimetre, 10.0),
    ("cm.", Unit::Millimetre, 10.0),
    ("cms", Unit::Millimetre, 10.0),
    ("oz", Unit::Ounce, 1.0),
    ("oz.", Unit::Ounce, 1.0),
    ("ozs", Unit::Ounce, 1.0),
    ("ounce", Unit::Ounce, 1.0),
    ("ounces", Unit::Ounce, 1.0),
    ("lb", Unit::Ounce, 16.0),
    ("lbs", Unit::Ounce, 16.0),
    ("g", Unit::Gram, 1.0),
    ("gm", Unit::Gram, 1.0),
    ("gms", Unit::Gram, 1.0),
    ("gram", Unit::Gram, 1.0),
    ("grams", Unit::Gram, 1.0),
    ("kg", Unit::Gram, 1000.0),
    ("deg", Unit::Degree, 1.0),
    ("\u{b0}", Unit::Degree, 1.0),
];

impl Unit {
    /// The unit as the formats write it.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Ounce => "oz",
            Self::Gram => "g",
            Self::Degree => "deg",
            Self::Plain => "",
        }
    }

    /// The unit in words: `inches`.
    #[must_use]
    pub fn plural(self) -> &'static str {
        match self {
            Self::Inch => "inches",
            Self::Millimetre => "millimetres",
            Self::Ounce => "ounces",
            Self::Gram => "grams",
            Self::Degree => "degrees",
            Self::Plain => "a plain number",
        }
    }

    /// Factor from a written unit to this one, or `None` where the word is no unit of the same kind.
    #[must_use]
    pub fn factor_from(self, word: &str) -> Option<f64> {
        let word = word.to_lowercase();
        let degrees = ["degree", "degrees"].contains(&word.as_str()).then_some((Unit::Degree, 1.0));
        let (unit, many) =
            WORDS.iter().find(|(w, _, _)| *w == word).map(|(_, unit, many)| (*unit, *many)).or(degrees)?;
        let between = match (unit, self) {
            (a, b) if a == b => 1.0,
            (Self::Inch, Self::Millimetre) => 25.4,
            (Self::Millimetre, Self::Inch) => 1.0 / 25.4,
            (Self::Ounce, Self::Gram) => 28.349_523_125,
            (Self::Gram, Self::Ounce) => 1.0 / 28.349_523_125,
            _ => return None,
        };
        Some(many * between)
    }

    /// Whether a word is a unit at all, of any kind.
    #[must_use]
    pub fn is_word(word: &str) -> bool {
        let word = word.to_lowercase();
        WORDS.iter().any(|(w, _, _)| *w == word) || word.starts_with("degree")
    }

    /// Measures as they may be written, for an error's advice.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Inch => "3.5, 3 1/2 in, 89 mm or 3.5 \u{b1} 0.1",
            Self::Millimetre => "89, 3 1/2 in, 8.9 cm or 89 \u{b1} 2",
            Self::Ounce => "15.5, 1 lb, 440 g or 15.5 \u{b1} 0.5",
            Self::Gram => "440, 15 1/2 oz or 440 \u{b1} 10",
            Self::Degree => "24, 24 deg or 24 \u{b1} 1",
            Self::Plain => "3.5, 3 1/2 or 3.5 \u{b1} 0.1",
        }
    }

    /// Short words that this unit can be read from, for an error's list of allowed ones.
    #[must_use]
    pub fn allowed_words(self) -> &'static [&'static str] {
        match self {
            Self::Inch | Self::Millimetre => &["in", "mm", "cm"],
            Self::Ounce | Self::Gram => &["oz", "lb", "g", "kg"],
            Self::Degree => &["deg"],
            Self::Plain => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_convert_within_their_kind_only() {
        assert!((Unit::Inch.factor_from("mm").unwrap() * 89.0 - 3.503_937).abs() < 1e-6);
        assert!((Unit::Gram.factor_from("lb").unwrap() - 453.592_37).abs() < 1e-9);
        assert!(Unit::Inch.factor_from("oz").is_none());
        assert!(Unit::Plain.factor_from("in").is_none());
        assert!(Unit::is_word("inches") && !Unit::is_word("furlong"));
    }
}
