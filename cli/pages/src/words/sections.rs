//! The entries of an account in sections: the clues of the part itself, then those of what is fixed to it.

use crate::words::answered::Answered;
use crate::words::parts::section_of;
use agewright_model::answer::ledger::LedgerEntry;
use agewright_model::{Dating, Part};

/// The entries of one part, the largest move first, and the heading above them; the part that is dated has none.
#[derive(Debug)]
pub struct Section<'a> {
    /// The part.
    pub part: Part,
    /// Its heading.
    pub heading: Option<&'static str>,
    /// Its entries; never none.
    pub entries: Vec<&'a LedgerEntry>,
}

/// The sections of an account that have entries, head before shaft before grip.
#[must_use]
pub fn sections<'a>(answered: &'a Answered<'_>) -> Vec<Section<'a>> {
    let (catalogue, dated) = (answered.asked.calibration().catalogue(), answered.dating.part);
    let section = |part: Part| {
        let mut entries = answered.ledger().by_size();
        entries.retain(|entry| catalogue.clue(&entry.clue).is_some_and(|clue| clue.part == part));
        Section { part, heading: (part != dated).then(|| section_of(part)), entries }
    };
    Part::ALL.into_iter().map(section).filter(|section| !section.entries.is_empty()).collect()
}

/// What the account opens with: of a part fixed to the head, the head has spoken already.
#[must_use]
pub fn before_any_clue(dating: &Dating) -> &'static str {
    match dating.part {
        Part::Head => "Before any clue",
        Part::Shaft | Part::Grip => "Before its own clues",
    }
}
