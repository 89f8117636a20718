//! One fixed verbal scale for probabilities.

/// The word for a probability, the same everywhere: almost certainly from 95 in 100, very probably from 85, probably
/// from 65, more likely than not from 50, possibly from 20, unlikely from 5, very unlikely below (our own judgement).
///
/// ```
/// use agewright_pages::words::verbal::{in_a_hundred, in_words};
///
/// assert_eq!((in_words(0.96), in_a_hundred(0.96)), ("almost certainly", "96 in 100".to_owned()));
/// ```
#[must_use]
pub fn in_words(probability: f64) -> &'static str {
    // As printed: 0.949 is read as 95 in 100, and the word must not contradict the figure.
    match (100.0 * probability).round() {
        95.0.. => "almost certainly",
        85.0.. => "very probably",
        65.0.. => "probably",
        50.0.. => "more likely than not",
        20.0.. => "possibly",
        5.0.. => "unlikely",
        _ => "very unlikely",
    }
}

/// A chance in hundredths as it is printed: what is neither none nor all is not printed as such.
enum Hundredths {
    Under,
    Over,
    About(f64),
}

fn hundredths(probability: f64) -> Hundredths {
    let percent = (100.0 * probability).clamp(0.0, 100.0);
    match percent {
        0.0 | 100.0 => Hundredths::About(percent),
        ..0.5 => Hundredths::Under,
        99.5.. => Hundredths::Over,
        _ => Hundredths::About(percent),
    }
}

/// A chance in a sentence: `62 in 100`.
#[must_use]
pub fn in_a_hundred(probability: f64) -> String {
    match hundredths(probability) {
        Hundredths::Under => "less than 1 in 100".to_owned(),
        Hundredths::Over => "more than 99 in 100".to_owned(),
        Hundredths::About(percent) => format!("{percent:.0} in 100"),
    }
}

/// A chance in a column: `62 %`.
#[must_use]
pub fn percent(probability: f64) -> String {
    match hundredths(probability) {
        Hundredths::Under => "<1 %".to_owned(),
        Hundredths::Over => ">99 %".to_owned(),
        Hundredths::About(percent) => format!("{percent:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_turns_where_it_says() {
        let words = [0.95, 0.94, 0.85, 0.84, 0.65, 0.64, 0.5, 0.49, 0.2, 0.19, 0.05, 0.04].map(in_words);
        let want = [
            "almost certainly",
            "very probably",
            "very probably",
            "probably",
            "probably",
            "more likely than not",
            "more likely than not",
            "possibly",
            "possibly",
            "unlikely",
            "unlikely",
            "very unlikely",
        ];
        assert_eq!(words, want);
    }

    #[test]
    fn only_certainty_is_printed_as_certainty() {
        assert_eq!(
            [0.0, 1e-9, 0.62, 0.9999, 1.0].map(in_a_hundred),
            ["0 in 100", "less than 1 in 100", "62 in 100", "more than 99 in 100", "100 in 100"]
        );
    }
}
