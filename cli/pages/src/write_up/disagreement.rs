//! What short texts say of clues that do not agree, and of those that were left out.

use crate::words::counted::counted;
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
    size.into_iter().chain(leaning(head).map(|said| format!("{said} "))).chain(odd).collect()
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
        Some(head) => {
            let odd = odd_signs(head);
            let Some(leaning) = leaning(head) else { return odd };
            let both = odd.first().map(|odd| format!("{leaning} {odd}"));
            both.into_iter().chain([leaning]).chain(odd).collect()
        }
        None => Vec::new(),
    }
}

/// What the years lean on most, where that is itself in doubt.
fn leaning(head: &PartFacts) -> Option<String> {
    let most = head.leans_on.as_ref()?;
    Some(format!("The date hangs most on {}, which the rest does not bear out.", most.with_reading))
}

/// What else is out of step with the rest, the longest sentence first; none where nothing is.
fn odd_signs(head: &PartFacts) -> Vec<String> {
    let out_of_step = |named: &str| format!("Out of step with the rest: {named}.");
    let is_told = |clue: &NamedClue| head.leans_on.as_ref().is_some_and(|most| most.name == clue.name);
    let odd: Vec<&NamedClue> = head.odd.iter().filter(|clue| !is_told(clue)).collect();
    if odd.is_empty() {
        return Vec::new();
    }
    let listed = |word: fn(&NamedClue) -> &str| match odd.as_slice() {
        [one] => word(one).to_owned(),
        [one, two] => format!("{} and {}", word(one), word(two)),
        [one, rest @ ..] => format!("{} and {} more", word(one), rest.len()),
        [] => String::new(),
    };
    vec![
        out_of_step(&listed(|clue| &clue.with_reading)),
        out_of_step(&listed(|clue| &clue.name)),
        out_of_step(&format!("{} of its clues", odd.len())),
    ]
}

/// Which clues the date leaves out because somebody asked for it, the longest sentence first; none where it leaves out
/// none.
pub(crate) fn left_out_on_request(facts: &PageFacts) -> Vec<String> {
    let mut named: Vec<&str> = facts.parts.iter().flat_map(|part| &part.left_out).map(String::as_str).collect();
    named.sort_unstable();
    named.dedup();
    let told = |what: &str| format!("Not counted, on request: {what}.");
    match named.len() {
        0 => Vec::new(),
        n => vec![told(&named.join(", ")), told(&counted(n, "clue", "clues"))],
    }
}
