//! What a club is called besides its id, and what is noted of all clubs of a list.

use agewright_model::Club;

/// What a club is: its title, or else the first words of its note; empty where it has neither.
#[must_use]
pub fn title_or_note(club: &Club) -> String {
    club.text.get("title").cloned().unwrap_or_else(|| first_words(&club.note).to_owned())
}

/// What is noted of all of several clubs, in the same first words of their notes: `Noted of all: invented for a demo.`
#[must_use]
pub fn noted_of_all<'a>(mut clubs: impl Iterator<Item = &'a Club>) -> Option<String> {
    let words = first_words(&clubs.next()?.note);
    (!words.is_empty() && clubs.all(|club| first_words(&club.note) == words)).then(|| format!("Noted of all: {words}."))
}

/// The words of a note up to a semicolon or the end of its first sentence.
fn first_words(note: &str) -> &str {
    let ends = [note.find([';', ':']), note.find(". "), note.find('\n')].into_iter().flatten().min();
    note[..ends.unwrap_or(note.len())].trim().trim_end_matches('.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_all_have_is_told_and_nothing_else() {
        let club = |note: &str| Club { note: note.to_owned(), ..Club::default() };
        let told = |notes: &[&str]| noted_of_all(notes.iter().map(|note| club(note)).collect::<Vec<_>>().iter());
        assert_eq!(told(&["Invented; Quay", "Invented; Yard", "Invented."]).unwrap(), "Noted of all: Invented.");
        assert_eq!(told(&["Invented; Quay", "Found in a loft"]), None);
        assert_eq!((told(&["", ""]), told(&[])), (None, None));
    }
}
