//! Which readings of a club count, and why others do not.

use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::club::Club;
use crate::reading::clue::{Clue, ClueKind};
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
        match use_of(calibration, clue, cell, without) {
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

/// Whether what was seen is of the clue's kind: a level that it has, a finite measure on its scale, years of a
/// register.
pub(crate) fn fits(clue: &Clue, seen: &Seen) -> bool {
    match (clue.kind, seen) {
        (ClueKind::Levels | ClueKind::Mark, Seen::Levels(levels)) => {
            !levels.is_empty() && levels.iter().all(|level| *level < clue.levels.len())
        }
        (ClueKind::Measured, Seen::Measure { value, tolerance }) => {
            value.is_finite()
                && clue.scale.place(*value).is_some()
                && tolerance.is_none_or(|tolerance| tolerance.is_finite() && tolerance >= 0.0)
        }
        (ClueKind::Register, Seen::Number(years)) => {
            years.iter().all(|year| year.share.is_finite() && year.share >= 0.0)
        }
        _ => false,
    }
}
