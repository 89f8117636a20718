//! Why a specialist should see a club before much hangs on its date, by the reasons that its catalogue has.

use crate::answer::dating::Dating;
use crate::evidence::asked::Asked;
use crate::reading::cell::Cell;
use crate::reading::part::Part;

/// One reason.
#[derive(Debug, Clone, PartialEq)]
pub enum SpecialistReason {
    /// A mark is doubtful or cut again.
    DoubtfulMark,
    /// A word names a material whose trade is restricted in many places.
    Material(String),
    /// A part is probably older than a year.
    OlderThan(Part, i32),
    /// A head may well be of after the years of the calibration, as replicas and commemoratives are.
    PerhapsACopy {
        /// The chance of that.
        chance: f64,
        /// Last year of the calibration.
        last: i32,
    },
    /// The 80 % band holds two answers.
    TwoAnswers,
    /// So many of its readings that count are out of step with the rest.
    ManyOutOfStep {
        /// Readings out of step.
        odd: usize,
        /// Readings that count.
        of: usize,
    },
    /// The 80 % band is so many years wide, and its clues conflict.
    WideAndInConflict(i32),
}

/// From this chance on that a head is of after the years it is told to be perhaps a copy.
const LIKELY_A_COPY: f64 = 0.1;

/// So many readings out of step, and one in so many, are no slips of the eye any more.
const MANY_ODD: usize = 3;
const ODD_IN: usize = 4;

/// The reasons that hold, those that lie in the club itself first.
pub(super) fn specialist_reasons(asked: &Asked<'_>, dating: &Dating) -> Vec<SpecialistReason> {
    let of_trade = asked.calibration().catalogue().specialist();
    let mut reasons = if asked.part() == Part::Head { reasons_in_the_club(asked) } else { Vec::new() };
    let older = |year: &i32| asked.axis().contains(*year) && dating.posterior.probability_before(*year) > 0.5;
    if let Some(year) = of_trade.older_than.filter(older).filter(|_| dating.has_evidence()) {
        reasons.push(SpecialistReason::OlderThan(asked.part(), year));
    }
    let chance = dating.posterior.after();
    if asked.part() == Part::Head && chance >= LIKELY_A_COPY {
        reasons.push(SpecialistReason::PerhapsACopy { chance, last: asked.axis().last() });
    }
    // That a shaft or a grip may be a renewal of after the axis is no riddle.
    let of_axis = dating.band(0.8).modes().iter().filter(|mode| mode.from <= asked.axis().last()).count();
    if dating.has_two_answers() && (asked.part() == Part::Head || of_axis > 1) {
        reasons.push(SpecialistReason::TwoAnswers);
    }
    let of = dating.clues.iter().filter(|clue| !clue.adjusts).count();
    let odd = dating.out_of_step.len();
    if odd >= MANY_ODD && ODD_IN * odd >= of {
        reasons.push(SpecialistReason::ManyOutOfStep { odd, of });
    }
    let (years, conflict) = (dating.band(0.8).n_years(), dating.conflict.is_some() || !dating.out_of_step.is_empty());
    if of_trade.wider_than.is_some_and(|most| years > most) && conflict {
        reasons.push(SpecialistReason::WideAndInConflict(years));
    }
    reasons
}

fn reasons_in_the_club(asked: &Asked<'_>) -> Vec<SpecialistReason> {
    let (catalogue, club) = (asked.calibration().catalogue(), asked.club());
    let mut reasons = Vec::new();
    let doubtful = |cell: &Cell| *cell == Cell::Altered || cell.reading().is_some_and(|reading| reading.doubtful);
    if catalogue.read_on(club).any(|(clue, cell)| clue.is_like_a_mark() && doubtful(cell)) {
        reasons.push(SpecialistReason::DoubtfulMark);
    }
    let texts = club.text.values().chain([&club.note]);
    let words = texts.map(|text| text.to_lowercase()).collect::<Vec<_>>().join(" ");
    let named = catalogue.specialist().materials.iter().find(|material| words.contains(material.as_str()));
    reasons.extend(named.map(|material| SpecialistReason::Material(material.clone())));
    reasons
}
