//! Texts cut to a number of words, and made sentences.

/// Number of words of a text.
#[must_use]
pub fn n_words(text: &str) -> usize {
    text.split_whitespace().count()
}

/// The text cut to so many words, with dots where something is missing.
pub fn cut(text: &str, words: usize) -> String {
    if n_words(text) <= words {
        return text.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    let short: Vec<&str> = text.split_whitespace().take(words).collect();
    format!("{} ...", short.join(" ").trim_end_matches([',', ';', ':']))
}

/// A text as a sentence, with its full stop.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.ends_with(['.', '!', '?', '…']) { text.to_owned() } else { format!("{text}.") }
}

/// A text with a capital first.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

/// The text cut to so many words, behind a whole sentence where one ends in their second half.
pub fn cut_at_a_sentence(text: &str, words: usize) -> String {
    let taken: Vec<&str> = text.split_whitespace().take(words).collect();
    // "Dr." and "No." end no sentence: a word that does is longer, and what follows begins with a capital.
    let ends = |place: &usize| {
        let next = text.split_whitespace().nth(place + 1).and_then(|word| word.chars().next());
        let word = taken[*place];
        word.ends_with(';') || word.ends_with('.') && word.len() > 3 && next.is_some_and(char::is_uppercase)
    };
    match (taken.len() / 2..taken.len()).rev().find(ends) {
        Some(place) if n_words(text) > words => sentence(taken[..=place].join(" ").trim_end_matches(';')),
        _ if n_words(text) > words => cut(text, words.saturating_sub(1)),
        _ => cut(text, words),
    }
}
