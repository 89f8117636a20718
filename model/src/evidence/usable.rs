//! Which readings of a club count, and why others do not.

use crate::reading::cell::{Cell, Reading};
use crate::reading::club::Club;
use crate::reading::clue::Clue;
use crate::reading::misread::misread_of;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;

/// A reading that counts, with its clue.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Usable<'a> {
    pub clue: &'a Clue,
    pub reading: &'a Reading,
}

impl Usable<'_> {
    /// Chance that it is misread, before anything else is known.
    pub fn misread(&self) -> f64 {
        misread_of(self.clue.misread, self.reading)
    }
}

/// A reading of the part that gives no evidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnusedClue {
    /// The clue's id.
    pub clue: String,
    /// Why.
    pub why: WhyUnused,
}

/// Why a reading gives no evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyUnused {
    /// Worn or covered.
    Unreadable,
    /// Known later work.
    Altered,
    /// Left out on request.
    LeftOut,
    /// As it is by the design of such a club, at any date.
    ByDesign,
    /// A description of the club (type, loft) that is no evidence of date by itself.
    Adjusts,
    /// The calibration has no table for it: too few dated clubs.
    NoTable,
}

/// The readings of a part that count, in the order of their ids, and why others do not. `without` holds the ids of
/// clues to leave out.
pub(crate) fn usable_readings<'a>(
    calibration: &'a Calibration,
    club: &'a Club,
    part: Part,
    without: &[&str],
) -> (Vec<Usable<'a>>, Vec<UnusedClue>) {
    let mut unused = Vec::new();
    let mut usable = Vec::new();
    for (clue, cell) in calibration.catalogue().read_on(club).filter(|(clue, _)| clue.part == part) {
        let use_of = match use_of(calibration, clue, cell, without) {
            Ok(_) if calibration.catalogue().is_silent(clue, club) => Err(Some(WhyUnused::ByDesign)),
            use_of => use_of,
        };
        match use_of {
            Ok(reading) => usable.push(Usable { clue, reading }),
            Err(Some(why)) => unused.push(UnusedClue { clue: clue.id.clone(), why }),
            Err(None) => {}
        }
    }
    usable.sort_by(|a: &Usable<'_>, b| a.clue.id.cmp(&b.clue.id));
    (usable, unused)
}

/// The reading, or why it does not count (`None`: it was not examined, which needs no word).
fn use_of<'a>(
    calibration: &Calibration,
    clue: &Clue,
    cell: &'a Cell,
    without: &[&str],
) -> Result<&'a Reading, Option<WhyUnused>> {
    let reading = match cell {
        Cell::NotExamined => return Err(None),
        Cell::Unreadable => return Err(Some(WhyUnused::Unreadable)),
        Cell::Altered => return Err(Some(WhyUnused::Altered)),
        Cell::Read(reading) => reading,
    };
    if without.contains(&clue.id.as_str()) {
        return Err(Some(WhyUnused::LeftOut));
    }
    if calibration.sign(&clue.id).is_some() || calibration.knows(clue) {
        return Ok(reading);
    }
    Err(Some(if clue.adjusts { WhyUnused::Adjusts } else { WhyUnused::NoTable }))
}
