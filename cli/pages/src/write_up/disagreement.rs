//! What short texts say of clues that do not agree, and of those that were left out.

use crate::write_up::cut_texts::{capital, n_words};
use crate::write_up::facts::PageFacts;
use crate::write_up::named_clues::NamedClue;
use crate::write_up::part_facts::PartFacts;

/// What is said in an entry for either of two dates has so many words at the most.
const MOST_WORDS_OF_A_SPLIT: usize = 60;

const SIZE_AND_MAKE: &str = "size and make point to different times";

/// That the clues of a club disagree, in the sentences of an entry; nothing where they do not.
pub(crate) fn disagreement_in_an_entry(facts: &PageFacts) -> String {
    let Some(head) = facts.parts.first() else { return String::new() };
    if head.two_answers.is_some() {
        let mut told = "The clues point to more than one date. ".to_owned();
        let mut room = MOST_WORDS_OF_A_SPLIT;
        for said in head.grounds.iter().filter(|said| said.starts_with("What speaks most for")) {
            if n_words(said) <= room {
                room -= n_words(said);
                told += &format!("{said} ");
            }
        }
        return told;
    }
    if !head.disputed.is_empty() {
        return head.disputed.iter().map(|both| format!("Of {both} one is mistaken. ")).collect();
    }
    let size = head.in_conflict.then(|| format!("{}. ", capital(SIZE_AND_MAKE)));
    let odd = odd_signs(head).into_iter().next().map(|said| format!("{said} "));
    size.into_iter().chain(odd).collect()
}

/// The same for a label, the longest first: what has room is told.
pub(crate) fn disagreement_on_a_label(facts: &PageFacts) -> Vec<String> {
    match facts.parts.first() {
        _ if facts.is_not_borne_out && facts.known_of.is_some() => {
            vec!["Its clues do not bear the known date out.".to_owned()]
        }
        Some(head) if head.in_conflict => vec![
            format!("Its {SIZE_AND_MAKE}; let a specialist see it."),
            format!("Its {SIZE_AND_MAKE}."),
            "Not all its clues agree.".to_owned(),
        ],
        Some(head) if !head.disputed.is_empty() => {
            vec!["Of its readings one at least is mistaken.".to_owned(), "Not all its clues agree.".to_owned()]
        }
        Some(head) => odd_signs(head),
        None => Vec::new(),
    }
}

/// What is out of step with the rest, the longest sentence first; none where nothing is.
fn odd_signs(head: &PartFacts) -> Vec<String> {
    let out_of_step = |named: &str| format!("Out of step with the rest: {named}.");
    let listed = |word: fn(&NamedClue) -> &str| match head.odd.as_slice() {
        [one] => word(one).to_owned(),
        [one, two] => format!("{} and {}", word(one), word(two)),
        [one, rest @ ..] => format!("{} and {} more", word(one), rest.len()),
        [] => String::new(),
    };
    if head.odd.is_empty() {
        return Vec::new();
    }
    vec![
        out_of_step(&listed(|clue| &clue.with_reading)),
        out_of_step(&listed(|clue| &clue.name)),
        out_of_step(&format!("{} of its clues", head.odd.len())),
    ]
}

/// Which clues the date leaves out because somebody asked for it.
pub(crate) fn left_out_on_request(facts: &PageFacts) -> Option<String> {
    let mut named: Vec<&str> = facts.parts.iter().flat_map(|part| &part.left_out).map(String::as_str).collect();
    named.sort_unstable();
    named.dedup();
    (!named.is_empty()).then(|| format!("Not counted, on request: {}.", named.join(", ")))
}
