//! Warnings and notes as sentences: what is wrong, what it may mean, what to do.

use crate::wording::two_answers;
use agewright_model::{Calibration, Catalogue, Dating, OutOfStep, UnusedClue, WhyUnused};

/// Said with every answer that rests on rules of thumb.
pub const NO_COLLECTION: &str = "It is made of rules of thumb: no dated collection backs it. To give it one, fit with \
                                 --collection and clubs of known date.";

/// Name of a clue for people.
pub fn clue_name(calibration: &Calibration, id: &str) -> String {
    name_in(&calibration.catalogue, id)
}

/// Name of a catalogue's clue for people.
pub fn name_in(catalogue: &Catalogue, id: &str) -> String {
    let clue = catalogue.clues.iter().find(|clue| clue.id == id);
    clue.map_or_else(|| id.to_owned(), agewright_model::Clue::name)
}

/// How a clue's reading is taken.
pub fn clue_how(calibration: &Calibration, id: &str) -> String {
    let clue = calibration.catalogue.clues.iter().find(|clue| clue.id == id);
    clue.map_or_else(String::new, |clue| clue.how.clone())
}

/// A reading that the rest does not bear out.
pub fn out_of_step_message(calibration: &Calibration, clue: &OutOfStep) -> String {
    format!(
        "{} ({}) is out of step with the rest: at the time that the rest gives, such a reading is {} times rarer than at \
         its own, and there are {:.0} chances in 100 that it is misread or later work. Look again; known later work is \
         entered as \"altered\".",
        clue_name(calibration, &clue.clue),
        clue.reading.replace('_', " ").replace('|', " or "),
        if clue.rarer > 99.0 { "a hundred or more".to_owned() } else { format!("{:.0}", clue.rarer) },
        100.0 * clue.misread
    )
}

/// Two answers, told apart.
pub fn two_answers_message(dating: &Dating) -> Option<String> {
    let sentence = two_answers(&dating.band(0.8)).filter(|_| dating.has_evidence())?;
    Some(format!(
        "There are two answers, {sentence}. The average year, {:.1}, lies between them and is not a date; read the two apart.",
        dating.posterior.mean()
    ))
}

/// Readings that gave no evidence, those of one reason together: the reason's kind, its clues and a sentence.
pub fn unused_messages(calibration: &Calibration, unused: &[UnusedClue]) -> Vec<(WhyUnused, String)> {
    let mut told: Vec<(WhyUnused, Vec<String>)> = Vec::new();
    for one in unused {
        let name = clue_name(calibration, &one.clue);
        match told.iter_mut().find(|(why, _)| *why == one.why) {
            Some((_, names)) => names.push(name),
            None => told.push((one.why, vec![name])),
        }
    }
    told.into_iter().map(|(why, names)| (why, format!("{}: {}", why_unused(why), names.join("; ")))).collect()
}

fn why_unused(why: WhyUnused) -> &'static str {
    match why {
        WhyUnused::Unreadable => "Unreadable, worn or covered (says nothing)",
        WhyUnused::Altered => "Altered, known later work (says nothing of the date)",
        WhyUnused::LeftOut => "Left out on request",
        WhyUnused::Adjusts => "Describes the kind of club, no evidence of date by itself",
        WhyUnused::NoTable => "Not used, too few dated clubs were read for it",
    }
}
