//! Everything a reader must be told with an answer, in one order for every page.

use crate::answer::band::Interval;
use crate::answer::conflict::Conflict;
use crate::answer::dating::Dating;
use crate::answer::out_of_step::OutOfStep;
use crate::answer::two_witnesses::WitnessesApart;
use crate::evidence::asked::Asked;
use crate::evidence::usable::WhyUnused;
use crate::questions::beyond_the_collection::{BeyondTheCollection, beyond_the_collection};
use crate::questions::like::{LikeClub, Likeness};
use crate::questions::specialist_reason::{SpecialistReason, specialist_reasons};
use crate::reading::cell::{Reading, Seen};
use crate::reading::clue::Clue;
use crate::reading::register::{Register, RegisteredIn};

/// One thing to be told.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// The 80 % band holds two answers or more, and the mean year lies between them.
    TwoAnswers {
        /// The answers.
        answers: Vec<Interval>,
        /// Pieces of the band too small to be one.
        smaller: Vec<Interval>,
        /// Mean year.
        mean: f64,
    },
    /// Measures and the other clues speak for different times.
    Conflict(Conflict),
    /// Tables and dated clubs speak for different times.
    WitnessesApart(WitnessesApart),
    /// One dated club has nearly the whole vote.
    OneForAll(LikeClub),
    /// No dated club of the shelf is near.
    NoClubNear(Likeness),
    /// Years without dated clubs.
    BeyondTheCollection(BeyondTheCollection),
    /// A clue that the rest does not bear out.
    OutOfStep(OutOfStep),
    /// A reading of what another reading says is not there; each counts as if the other had not been read.
    CannotBoth {
        /// The clue's id, and its reading as written.
        clue: (String, String),
        /// The same of the other, which rules it out.
        other: (String, String),
    },
    /// What a number of a register proves.
    Number(ReadNumber),
    /// A trap of the trade that the readings spring.
    Trap {
        /// The clue's id.
        clue: String,
        /// What the catalogue tells of it.
        message: String,
    },
    /// A specialist should see the club.
    SeeASpecialist(Vec<SpecialistReason>),
    /// A reading that the calibration has no table for, by its clue's id.
    NoTable(String),
    /// No dated collection stands behind the calibration.
    NoCollection,
    /// What the calibration says of itself.
    Notice(String),
}

/// A number of a register as read on a club.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadNumber {
    /// The clue's id.
    pub clue: String,
    /// As it was written.
    pub text: String,
    /// The register.
    pub register: Register,
    /// Years it may have been registered in.
    pub years: Vec<RegisteredIn>,
    /// The same number in the other registers that have one such.
    pub otherwise: Vec<(Register, Vec<RegisteredIn>)>,
}

/// All warnings of an answer, in the order that they are told in.
/// ```
/// use agewright_model::{Asked, Dating, Part, Warning, warnings};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let told_of = |face: &str| {
///     let club = calibration.catalogue().club("iron", &[("face_scoring", face)]).unwrap();
///     let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
///     warnings(&asked, &Dating::of(&asked))
/// };
/// // A smooth face is a trap, stamped lines are none; no dated collection stands behind the starter rules either way.
/// let is_trap = |warning: &Warning| matches!(warning, Warning::Trap { clue, .. } if clue == "face_scoring");
/// assert!(told_of("smooth").iter().any(is_trap) && !told_of("stamped_lines").iter().any(is_trap));
/// assert!(told_of("stamped_lines").contains(&Warning::NoCollection));
/// ```
#[must_use]
pub fn warnings(asked: &Asked<'_>, dating: &Dating) -> Vec<Warning> {
    let calibration = asked.calibration();
    let mut told = Vec::new();
    if dating.has_two_answers() {
        let (band, mean) = (dating.band(0.8), dating.posterior.mean());
        let answers = band.modes();
        let smaller = band.intervals.into_iter().filter(|piece| !answers.contains(piece)).collect();
        told.push(Warning::TwoAnswers { answers, smaller, mean });
    }
    told.extend(beyond_the_collection(asked, dating).map(Warning::BeyondTheCollection));
    told.extend(dating.conflict.map(Warning::Conflict));
    told.extend(dating.witnesses.map(Warning::WitnessesApart));
    if let Some(like) = Likeness::of(asked) {
        told.extend(like.one_for_all().cloned().map(Warning::OneForAll));
        told.extend(like.is_far().then_some(Warning::NoClubNear(like)));
    }
    told.extend(dating.out_of_step.iter().cloned().map(Warning::OutOfStep));
    told.extend(cannot_both(asked));
    told.extend(numbers(asked).into_iter().map(Warning::Number));
    let catalogue = calibration.catalogue();
    let is_own = |clue: &str| catalogue.clue(clue).is_some_and(|clue| clue.part == asked.part());
    let sprung = catalogue.sprung(asked.club()).filter(|trap| is_own(&trap.clue));
    told.extend(sprung.map(|trap| Warning::Trap {
        clue: trap.told_of(catalogue.clues(), asked.club()).to_owned(),
        message: trap.message.clone(),
    }));
    let reasons = specialist_reasons(asked, dating);
    if !reasons.is_empty() {
        told.push(Warning::SeeASpecialist(reasons));
    }
    let untabled = dating.unused.iter().filter(|unused| unused.why == WhyUnused::NoTable);
    told.extend(untabled.map(|unused| Warning::NoTable(unused.clue.clone())));
    if calibration.is_of_rules_alone() {
        told.push(Warning::NoCollection);
    }
    let notice = &calibration.origin().notice;
    if !notice.is_empty() {
        told.push(Warning::Notice(notice.clone()));
    }
    told
}

/// Readings of the part that cannot be right together with another.
fn cannot_both(asked: &Asked<'_>) -> Vec<Warning> {
    let both = asked.calibration().catalogue().cannot_both(asked.club());
    let told = |(clue, reading): (&Clue, &Reading)| (clue.id.clone(), reading.text.clone());
    let counts = both.filter(|both| both.iter().all(|(clue, _)| !asked.leaves_out(&clue.id)));
    let of_part = counts.filter(|[(clue, _), _]| clue.part == asked.part());
    of_part.map(|[own, other]| Warning::CannotBoth { clue: told(own), other: told(other) }).collect()
}

/// Numbers of registers read on the part.
fn numbers(asked: &Asked<'_>) -> Vec<ReadNumber> {
    let read = asked.calibration().catalogue().read_on(asked.club());
    let of_part = read.filter(|(clue, _)| clue.part == asked.part());
    let number = |(clue, reading): (&Clue, &Reading)| {
        let (register, Seen::Number(years)) = (clue.register?, &reading.seen) else { return None };
        let body = reading.text.strip_suffix("(?)").map_or(reading.text.as_str(), str::trim_end);
        let others = Register::ALL.into_iter().filter(|other| *other != register);
        Some(ReadNumber {
            clue: clue.id.clone(),
            text: reading.text.clone(),
            register,
            years: years.clone(),
            otherwise: others.filter_map(|other| Some((other, other.years(body).ok()?))).collect(),
        })
    };
    of_part.filter_map(|(clue, cell)| Some((clue, cell.reading()?))).filter_map(number).collect()
}
