//! What a clue may not lack or contradict.

use crate::reading::clue::{Clue, ClueKind};
use crate::reading::document_path::DocumentPath;
use crate::reading::level::level_key;
use crate::reading::scale::Scale;
use crate::reading::units::Unit;
use std::collections::BTreeSet;
use thiserror::Error;

/// What is wrong with a clue.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ClueProblem {
    /// A character outside a-z, 0-9 and `_`, or no character.
    #[error("use a-z, 0-9 and _ only")]
    Id,
    /// An id that the collection table needs for itself.
    #[error("the name of a column of its own in a collection; choose another")]
    Reserved,
    /// A chance of misreading outside 0 to below 1.
    #[error("misread = {0}: it must be at least 0 and below 1")]
    Misread(f64),
    /// Levels of a measured clue.
    #[error("a measured clue has no levels")]
    MeasuredWithLevels,
    /// A range that ends before it begins.
    #[error("range = [{0}, {1}]: the first must be below the second")]
    Range(f64, f64),
    /// A range of a log scale that begins at 0 or below.
    #[error("range begins at {0}: on a log scale it must begin above 0")]
    RangeOfLog(f64),
    /// A tolerance below 0.
    #[error("tolerance = {0}: it must not be below 0")]
    Tolerance(f64),
    /// A mark with what marks do not have.
    #[error("a mark adjusts nothing and is of no register")]
    Mark,
    /// A register clue without its register.
    #[error("it needs register = \"uk_designs\", \"us_patents\" or \"gb_patents\"")]
    NoRegister,
    /// A register clue with what numbers do not have.
    #[error("a number of a register has no levels, unit or range, and adjusts nothing")]
    Register,
    /// A level clue with what measures have.
    #[error("unit, scale, range and tolerance are for measured clues")]
    LevelsWithMeasure,
    /// Fewer than two levels.
    #[error("it needs two levels or more, and has {0}")]
    TooFewLevels(usize),
    /// A level's id with other characters.
    #[error("level \"{0}\": use a-z, 0-9 and _ only")]
    LevelId(String),
    /// A level that is a word with a meaning of its own in a cell.
    #[error("level \"{0}\": the word has a meaning of its own in a cell")]
    LevelWord(String),
    /// A level that stands twice.
    #[error("level \"{0}\" stands twice")]
    LevelTwice(String),
    /// A label or a synonym that cannot be told from another level when it is entered, or that a cell cannot hold.
    #[error("label or synonym \"{0}\": it is another level's word, or holds |, ? or a control character")]
    Label(String),
}

/// Columns of a collection that are not clues.
const OWN_COLUMNS: [&str; 6] = ["id", "made_from", "made_to", "note", "date_grade", "set"];
/// Words that a cell may hold in place of a level.
const OWN_WORDS: [&str; 2] = ["unreadable", "altered"];

type Found = Result<(), (DocumentPath, ClueProblem)>;

fn wrong(field: &str, problem: ClueProblem) -> Found {
    Err((DocumentPath::key(field), problem))
}

fn is_id(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

/// The first thing wrong with a clue, and where in it that stands.
///
/// # Errors
/// The place within the clue, and the problem.
pub(super) fn check_clue(clue: &Clue) -> Found {
    if !is_id(&clue.id) {
        return wrong("id", ClueProblem::Id);
    }
    if OWN_COLUMNS.contains(&clue.id.as_str()) {
        return wrong("id", ClueProblem::Reserved);
    }
    if !(0.0..1.0).contains(&clue.misread) {
        return wrong("misread", ClueProblem::Misread(clue.misread));
    }
    match clue.kind {
        ClueKind::Measured => check_measured(clue),
        ClueKind::Levels => check_levels(clue),
        ClueKind::Mark if clue.adjusts || clue.register.is_some() => wrong("kind", ClueProblem::Mark),
        // A mark's years of use stand in a file of their own; its levels may all come from there.
        ClueKind::Mark => check_level_words(clue),
        ClueKind::Register => check_register(clue),
    }
}

fn check_measured(clue: &Clue) -> Found {
    if !clue.levels.is_empty() {
        return wrong("levels", ClueProblem::MeasuredWithLevels);
    }
    if let Some([low, high]) = clue.range {
        if !(low.is_finite() && high.is_finite() && low < high) {
            return wrong("range", ClueProblem::Range(low, high));
        }
        if clue.scale == Scale::Log && low <= 0.0 {
            return wrong("range", ClueProblem::RangeOfLog(low));
        }
    }
    match clue.tolerance {
        Some(t) if !(t.is_finite() && t >= 0.0) => wrong("tolerance", ClueProblem::Tolerance(t)),
        _ => Ok(()),
    }
}

fn check_register(clue: &Clue) -> Found {
    if clue.register.is_none() {
        return wrong("kind", ClueProblem::NoRegister);
    }
    if clue.adjusts || !clue.levels.is_empty() || clue.range.is_some() || clue.unit != Unit::Plain {
        return wrong("kind", ClueProblem::Register);
    }
    Ok(())
}

fn check_levels(clue: &Clue) -> Found {
    if clue.unit != Unit::Plain || clue.range.is_some() || clue.tolerance.is_some() || clue.scale == Scale::Log {
        return wrong("kind", ClueProblem::LevelsWithMeasure);
    }
    if clue.levels.len() < 2 {
        return wrong("levels", ClueProblem::TooFewLevels(clue.levels.len()));
    }
    check_level_words(clue)
}

/// A label and a synonym are entered like an id, so that each must mean its own level and no other.
fn unfit_word(clue: &Clue, place: usize) -> Option<&str> {
    let others = || clue.levels.iter().enumerate().filter(|(other, _)| *other != place).map(|(_, other)| other);
    let is_unfit = |word: &&str| {
        let key = level_key(word);
        let taken = others().any(|other| other.words().any(|other| level_key(other) == key));
        let unfit = |c: char| matches!(c, '|' | '?') || c.is_control();
        taken || key.is_empty() || OWN_WORDS.contains(&key.as_str()) || word.chars().any(unfit)
    };
    clue.levels[place].words().skip(1).find(is_unfit)
}

fn check_level_words(clue: &Clue) -> Found {
    let mut seen = BTreeSet::new();
    for (place, level) in clue.levels.iter().enumerate() {
        let problem = if !is_id(&level.id) {
            ClueProblem::LevelId(level.id.clone())
        } else if OWN_WORDS.contains(&level.id.as_str()) {
            ClueProblem::LevelWord(level.id.clone())
        } else if !seen.insert(level.id.clone()) {
            ClueProblem::LevelTwice(level.id.clone())
        } else if let Some(word) = unfit_word(clue, place) {
            ClueProblem::Label(word.to_owned())
        } else {
            continue;
        };
        return Err((DocumentPath::key("levels").at(place), problem));
    }
    Ok(())
}
