//! The nearest allowed word, for a hint.

/// Words further than this share of their length away are no hint.
const FURTHEST: f64 = 0.55;

/// The allowed word most like the one given, if any is near.
/// ```
/// use agewright_files::nearest_word::nearest;
///
/// assert_eq!(nearest("smoth", ["smooth", "stamped_dots"]), Some("smooth"));
/// assert_eq!(nearest("xyz", ["smooth", "stamped_dots"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    allowed
        .into_iter()
        .map(|choice| (strsim::normalized_damerau_levenshtein(&word, &choice.to_lowercase()), choice))
        .filter(|(likeness, _)| *likeness >= 1.0 - FURTHEST)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, choice)| choice)
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
