//! The warnings of a club in a few words, for a list of many clubs.

use crate::words::grounds::clue_in_short;
use agewright_model::{Catalogue, Warning};

/// The warnings in a few words each, those of one kind together; what is of the calibration and not of the club is left
/// out.
///
/// ```
/// use agewright_model::Warning;
/// use agewright_pages::words::warnings_in_short::warnings_in_short;
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let trap = |clue: &str| Warning::Trap { clue: clue.to_owned(), message: String::new() };
/// let warnings = [trap("face_scoring"), Warning::NoCollection, Warning::SeeASpecialist(Vec::new()), trap("loft")];
/// let told = warnings_in_short(calibration.catalogue(), &warnings);
/// assert_eq!(told, ["see a specialist", "may mislead: face scoring, loft"]);
/// ```
#[must_use]
pub fn warnings_in_short(catalogue: &Catalogue, warnings: &[Warning]) -> Vec<String> {
    let mut told: Vec<String> = warnings.iter().filter_map(of_the_club).map(str::to_owned).collect();
    for (words, of) in
        [("look again at", out_of_step as ClueOf), ("see what this is of:", number), ("may mislead:", trap)]
    {
        let mut names: Vec<String> = Vec::new();
        for name in warnings.iter().filter_map(of).map(|clue| clue_in_short(catalogue, clue)) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        if !names.is_empty() {
            told.push(format!("{words} {}", names.join(", ")));
        }
    }
    told.extend(warnings.iter().filter_map(|warning| match warning {
        Warning::CannotBoth { clue, other } => {
            let [clue, other] = [clue, other].map(|(clue, _)| clue_in_short(catalogue, clue));
            Some(format!("{other} and {clue} cannot both be right"))
        }
        _ => None,
    }));
    told
}

fn of_the_club(warning: &Warning) -> Option<&'static str> {
    match warning {
        Warning::TwoAnswers { answers, .. } if answers.len() == 2 => Some("two answers"),
        Warning::TwoAnswers { .. } => Some("several answers"),
        Warning::BeyondTheCollection(_) => Some("hardly a dated club of its years"),
        Warning::Conflict(_) => Some("size and make disagree"),
        Warning::WitnessesApart(_) => Some("tables and dated clubs disagree"),
        Warning::OneForAll(_) => Some("one dated club votes for nearly all"),
        Warning::NoClubNear(_) => Some("no dated club is near it"),
        Warning::SeeASpecialist(_) => Some("see a specialist"),
        Warning::OutOfStep(_) | Warning::CannotBoth { .. } | Warning::Number(_) | Warning::Trap { .. } => None,
        Warning::NoTable(_) | Warning::NoCollection | Warning::Notice(_) => None,
    }
}

/// The clue of a warning of one kind.
type ClueOf = fn(&Warning) -> Option<&str>;

fn out_of_step(warning: &Warning) -> Option<&str> {
    match warning {
        Warning::OutOfStep(odd) => Some(&odd.clue),
        _ => None,
    }
}

fn number(warning: &Warning) -> Option<&str> {
    match warning {
        Warning::Number(number) => Some(&number.clue),
        _ => None,
    }
}

fn trap(warning: &Warning) -> Option<&str> {
    match warning {
        Warning::Trap { clue, .. } => Some(clue),
        _ => None,
    }
}
