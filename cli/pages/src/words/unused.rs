//! Readings that give no evidence, and why.

use agewright_model::Catalogue;
use agewright_model::evidence::usable::{UnusedClue, WhyUnused};

/// Readings that gave no evidence, those of one reason together: the reason's kind, and a sentence with its clues.
#[must_use]
pub fn unused_messages(catalogue: &Catalogue, unused: &[UnusedClue]) -> Vec<(WhyUnused, String)> {
    let mut told: Vec<(WhyUnused, Vec<String>)> = Vec::new();
    for one in unused {
        let name = catalogue.name_of(&one.clue);
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
        WhyUnused::ByDesign => "Not counted, being so by design on such a club at any date",
        WhyUnused::Adjusts => "Describes the kind of club, no evidence of date by itself",
        WhyUnused::NoTable => "Not used, the calibration has no table for it (too few dated clubs, or no rule)",
    }
}
