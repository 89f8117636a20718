//! The nearest allowed word, for a hint.

/// Words further than this share of their length away are no hint.
const FURTHEST: f64 = 0.4;
/// A word behind one of these says the opposite of itself.
const NEGATIONS: [&str; 4] = ["no", "not", "non", "never"];

/// The allowed word most like the one given, if any is near and not its opposite.
/// ```
/// use agewright_files::nearest_word::nearest;
///
/// assert_eq!(nearest("smoth", ["smooth", "stamped_dots"]), Some("smooth"));
/// assert_eq!(nearest("xyz", ["smooth", "stamped_dots"]), None);
/// assert_eq!(nearest("no marks", ["one_mark", "two_marks"]), None);
/// assert_eq!(nearest("uneven", ["even", "fair"]), None);
/// assert_eq!(nearest("uint", ["unit", "label"]), Some("unit"));
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    allowed
        .into_iter()
        .map(|choice| (strsim::normalized_damerau_levenshtein(&word, &choice.to_lowercase()), choice))
        .filter(|(likeness, choice)| *likeness >= 1.0 - FURTHEST && !is_opposite(&word, choice))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, choice)| choice)
}

/// Whether one of two words says that what the other says is not so: `no marks`, `uneven`.
fn is_opposite(word: &str, choice: &str) -> bool {
    let negates = |word: &str| NEGATIONS.contains(&word.split([' ', '_', '-']).next().unwrap_or(""));
    let is_un = |word: &str, other: &str| word.strip_prefix("un") == Some(other);
    negates(word) != negates(choice) || is_un(word, choice) || is_un(choice, word)
}

/// `did you mean "x"? allowed: a, b, c`.
#[must_use]
pub fn hint(word: &str, allowed: &[String]) -> Option<String> {
    if allowed.is_empty() {
        return None;
    }
    let list = format!("allowed: {}", allowed.join(", "));
    Some(match nearest(word, allowed.iter().map(String::as_str)) {
        Some(near) => format!("did you mean \"{near}\"? {list}"),
        None => list,
    })
}
