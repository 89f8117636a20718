//! Traps of the trade: readings that mislead, each with what to check. They are data of a catalogue.

use crate::reading::cell::{Cell, Seen};
use crate::reading::club::Club;
use crate::reading::clue::Clue;
use crate::reading::document_path::DocumentPath;
use crate::reading::measure_text::read_measure;
use crate::reading::units::Unit;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A trap: it is sprung where all conditions of one of its cases hold.
///
/// ```
/// use agewright_model::reading::trap::{Condition, Trap};
/// use agewright_model::{Axis, Catalogue, Clue, ClueKind, Part, Unit};
///
/// // The threshold has a unit, and is right in a catalogue of any.
/// let clue = Clue { unit: Unit::Millimetre, ..Clue::new("hosel_to_crease", ClueKind::Measured, Part::Head) };
/// let short = Condition { below: Some("3 in".into()), ..Condition::of("hosel_to_crease") };
/// let trap = Trap { clue: "hosel_to_crease".into(), any: vec![vec![short]], message: "So short?".into() };
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let catalogue = Catalogue::new("small", axis, vec![clue]).unwrap().with_traps(vec![trap]).unwrap();
/// assert_eq!(catalogue.sprung(&catalogue.club("a", &[("hosel_to_crease", "70")]).unwrap()).count(), 1);
/// assert_eq!(catalogue.sprung(&catalogue.club("b", &[("hosel_to_crease", "80")]).unwrap()).count(), 0);
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Trap {
    /// The clue that it is told of; it concerns that clue's part.
    pub clue: String,
    /// Cases; in each all conditions.
    pub any: Vec<Vec<Condition>>,
    /// What is told, with what to check.
    pub message: String,
}

/// One condition on a clue's reading; exactly one of the fields behind `clue` is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Condition {
    /// The clue's id.
    pub clue: String,
    /// Read, and as nothing but these levels.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub is: Option<Vec<String>>,
    /// Measured as less than this, with a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub below: Option<String>,
    /// Measured as more than this, with a unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above: Option<String>,
    /// Whether it is known later work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altered: Option<bool>,
    /// Whether it is read and marked with `?`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubtful: Option<bool>,
    /// Whether it was read at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read: Option<bool>,
}

/// What is wrong with a trap.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum TrapProblem {
    /// A clue that the catalogue does not have.
    #[error("trap: \"{0}\" is no clue of the catalogue")]
    Clue(String),
    /// A level that its clue does not have.
    #[error("trap: \"{level}\" is no level of {clue}")]
    Level {
        /// The clue's id.
        clue: String,
        /// The word.
        level: String,
    },
    /// A threshold that is no measure of its clue.
    #[error("trap: \"{measure}\" is no measure of {clue}; write one within its range, with its unit ({unit})")]
    Measure {
        /// The clue's id.
        clue: String,
        /// The text.
        measure: String,
        /// The clue's unit.
        unit: &'static str,
    },
    /// A threshold on a clue that is not measured.
    #[error("trap: {0} is not measured: it is neither below nor above anything")]
    NotMeasured(String),
    /// Nothing that could spring it, or nothing to be told.
    #[error("trap of {0}: it needs a message without control characters, and conditions in each case of any")]
    Empty(String),
    /// None or several of the fields that say what of the clue is meant.
    #[error("trap: a condition on {0} takes one of is, below, above, altered, doubtful and read")]
    Fields(String),
}

impl Condition {
    /// A condition on a clue that does not say yet what is meant.
    #[must_use]
    pub fn of(clue: &str) -> Self {
        Self { clue: clue.to_owned(), ..Self::default() }
    }

    fn check(&self, clues: &[Clue]) -> Result<(), TrapProblem> {
        let unknown = || TrapProblem::Clue(self.clue.clone());
        let clue = clues.iter().find(|clue| clue.id == self.clue).ok_or_else(unknown)?;
        let of_reading = [self.is.is_some(), self.below.is_some(), self.above.is_some(), self.doubtful.is_some()];
        let given = of_reading.into_iter().chain([self.altered.is_some(), self.read.is_some()]);
        if given.filter(|given| *given).count() != 1 {
            return Err(TrapProblem::Fields(self.clue.clone()));
        }
        if let Some(level) = self.is.iter().flatten().find(|level| clue.level_ix(level).is_none()) {
            return Err(TrapProblem::Level { clue: clue.id.clone(), level: level.clone() });
        }
        if self.is.as_ref().is_some_and(Vec::is_empty) {
            return Err(TrapProblem::Empty(clue.id.clone()));
        }
        let mut limits = self.below.iter().chain(&self.above).peekable();
        if limits.peek().is_some() && !clue.kind.is_measure() {
            return Err(TrapProblem::NotMeasured(clue.id.clone()));
        }
        let (id, unit) = (|| clue.id.clone(), clue.unit.symbol());
        match limits.find(|text| threshold(clue, text).is_none()) {
            Some(measure) => Err(TrapProblem::Measure { clue: id(), measure: measure.clone(), unit }),
            None => Ok(()),
        }
    }

    fn holds(&self, clues: &[Clue], club: &Club) -> bool {
        let Some(ix) = clues.iter().position(|clue| clue.id == self.clue) else { return false };
        let (clue, cell) = (&clues[ix], club.cells.get(ix).unwrap_or(&Cell::NotExamined));
        let seen = cell.reading().map(|reading| &reading.seen);
        if let Some(altered) = self.altered {
            return (*cell == Cell::Altered) == altered;
        }
        if let Some(doubtful) = self.doubtful {
            return cell.reading().is_some_and(|reading| reading.doubtful) == doubtful;
        }
        if let Some(read) = self.read {
            return seen.is_some() == read;
        }
        match (seen, &self.is) {
            (Some(Seen::Levels(levels)), Some(allowed)) => {
                levels.iter().all(|&k| clue.levels.get(k).is_some_and(|level| allowed.contains(&level.id)))
            }
            (Some(Seen::Measure { value, .. }), None) => {
                let limit = |text: &Option<String>| text.as_deref().and_then(|text| threshold(clue, text));
                limit(&self.below).is_some_and(|limit| *value < limit)
                    || limit(&self.above).is_some_and(|limit| *value > limit)
            }
            _ => false,
        }
    }
}

/// A measure in the clue's unit, within its range and written with a unit where the clue has one; only measured clues
/// have thresholds.
fn threshold(clue: &Clue, text: &str) -> Option<f64> {
    let measure = clue.kind.is_measure().then(|| read_measure(text, clue.unit, false).ok())??;
    let has_unit = clue.unit == Unit::Plain || read_measure(text, Unit::Plain, false).is_err();
    let is_within = clue.range.is_none_or(|[low, high]| (low..=high).contains(&measure.value));
    (measure.tolerance.is_none() && has_unit && is_within).then_some(measure.value)
}

impl Trap {
    /// Checks the trap against a catalogue's clues; an error tells where in the trap it stands.
    pub(super) fn check(&self, clues: &[Clue]) -> Result<(), (DocumentPath, TrapProblem)> {
        if clues.iter().all(|clue| clue.id != self.clue) {
            return Err((DocumentPath::key("clue"), TrapProblem::Clue(self.clue.clone())));
        }
        let says_nothing = self.message.trim().is_empty() || self.message.chars().any(char::is_control);
        if says_nothing || self.any.is_empty() || self.any.iter().any(Vec::is_empty) {
            let field = if says_nothing { "message" } else { "any" };
            return Err((DocumentPath::key(field), TrapProblem::Empty(self.clue.clone())));
        }
        for (case, conditions) in self.any.iter().enumerate() {
            for (place, condition) in conditions.iter().enumerate() {
                let path = || DocumentPath::key("any").at(case).at(place);
                condition.check(clues).map_err(|problem| (path(), problem))?;
            }
        }
        Ok(())
    }

    /// The case that the readings of a club fulfil.
    fn sprung_by(&self, clues: &[Clue], club: &Club) -> Option<&[Condition]> {
        let all = |case: &&Vec<Condition>| !case.is_empty() && case.iter().all(|one| one.holds(clues, club));
        self.any.iter().find(all).map(Vec::as_slice)
    }

    /// Whether the readings of a club spring it.
    pub(super) fn is_sprung(&self, clues: &[Clue], club: &Club) -> bool {
        self.sprung_by(clues, club).is_some()
    }

    /// The clue that it is told of on a club: its own where that was read, else the first of those that spring it.
    #[must_use]
    pub fn told_of<'a>(&'a self, clues: &[Clue], club: &Club) -> &'a str {
        let own = clues.iter().position(|clue| clue.id == self.clue).and_then(|place| club.cells.get(place));
        let is_read = own.is_some_and(|cell| *cell != Cell::NotExamined);
        let other = self.sprung_by(clues, club).and_then(<[Condition]>::first).filter(|_| !is_read);
        other.map_or(&self.clue, |condition| &condition.clue)
    }
}
