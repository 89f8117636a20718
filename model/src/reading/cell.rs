//! What was seen for a clue on one club.

use crate::reading::catalogue::{Clue, ClueKind};
use crate::reading::measure_text::{Measure, MeasureProblem, read_measure};
use crate::reading::register::{RegisterError, RegisteredIn};
use crate::reading::scale::Scale;
use thiserror::Error;

/// One cell of a club's record.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Blank: nobody looked.
    NotExamined,
    /// Worn or covered: looked for, and no reading to be had. No evidence.
    Unreadable,
    /// Known later work: no evidence, but listed.
    Altered,
    /// A reading.
    Read(Reading),
}

/// A reading: a measure or one of some levels, sure or doubtful.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// As it was written.
    pub text: String,
    /// What was seen.
    pub seen: Seen,
    /// Marked with `?`.
    pub doubtful: bool,
}

/// What was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// One of these levels, by their places in the catalogue (sorted, no repeats, never empty).
    Levels(Vec<usize>),
    /// A measure in the clue's unit, with its own tolerance if one was given.
    Measure {
        /// Value in the clue's unit.
        value: f64,
        /// Tolerance in the clue's unit.
        tolerance: Option<f64>,
    },
    /// The years that a register's number may have been registered in.
    Number(Vec<RegisteredIn>),
}

/// Why a cell is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CellError {
    /// A word that is no level of the clue.
    #[error("\"{value}\" is no level of {clue}")]
    Level {
        /// The clue's id.
        clue: String,
        /// The word.
        value: String,
        /// The clue's levels.
        allowed: Vec<String>,
    },
    /// A word that is no mark of the clue.
    #[error("\"{value}\" is no mark of {clue}; marks of your own, with their years of use, are added with --marks")]
    Mark {
        /// The clue's id.
        clue: String,
        /// The word.
        value: String,
        /// The clue's marks.
        allowed: Vec<String>,
    },
    /// `absent` for a clue whose catalogue entry does not list it.
    #[error(
        "\"absent\" says nothing for {clue}: its levels do not list it; leave the cell blank, or write \"unreadable\""
    )]
    Absent {
        /// The clue's id.
        clue: String,
        /// The clue's levels.
        allowed: Vec<String>,
    },
    /// No number of the clue's register.
    #[error("{clue}: {problem}")]
    Register {
        /// The clue's id.
        clue: String,
        /// Why.
        problem: RegisterError,
    },
    /// A unit that does not measure this clue.
    #[error("\"{unit}\" in \"{value}\" is no unit that {clue} can be read in")]
    Unit {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
        /// The unit's word.
        unit: String,
        /// Units that can be read.
        allowed: Vec<String>,
    },
    /// A date where a measure should be.
    #[error(
        "\"{value}\" looks like a date: a spreadsheet may have turned a fraction into one; format the column as text and enter {clue} again"
    )]
    Date {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// A comma in a number in a file whose columns are not separated by `;`.
    #[error("\"{value}\": a decimal comma is read only in a file with ; between its columns; write a point for {clue}")]
    DecimalComma {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// No number.
    #[error(
        "\"{value}\" is no measure for {clue}; write for example 3.5, 3 1/2 in, 89 mm or 3.5 ± 0.1; or leave it blank, or write unreadable or altered"
    )]
    NotAMeasure {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// A tolerance as wide as anything that could be measured.
    #[error("\"{value}\": a tolerance that wide says nothing of {clue}; leave the cell blank or write \"unreadable\"")]
    Tolerance {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
    },
    /// Outside the believable range.
    #[error("\"{value}\" is outside the range of {clue}, {low} to {high} {unit}: a slip of the pen?")]
    Range {
        /// The clue's id.
        clue: String,
        /// The cell.
        value: String,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
        /// Unit.
        unit: &'static str,
    },
}

impl CellError {
    /// Words that would have been allowed, for a suggestion of the nearest one, and the word that was not.
    #[must_use]
    pub fn choices(&self) -> Option<(&str, &[String])> {
        match self {
            Self::Level { value, allowed, .. } | Self::Mark { value, allowed, .. } => Some((value, allowed)),
            Self::Absent { allowed, .. } => Some(("absent", allowed)),
            Self::Unit { unit, allowed, .. } => Some((unit, allowed)),
            _ => None,
        }
    }
}

impl Cell {
    /// Reads one cell of a record for a clue; `decimal_comma` where the file separates its columns by `;`.
    ///
    /// # Errors
    /// [`CellError`], with the cell's text.
    pub fn from_text(clue: &Clue, text: &str, decimal_comma: bool) -> Result<Self, CellError> {
        let text = text.trim();
        match text.to_lowercase().as_str() {
            "" => return Ok(Self::NotExamined),
            "unreadable" => return Ok(Self::Unreadable),
            "altered" => return Ok(Self::Altered),
            _ => {}
        }
        if let (ClueKind::Register, Some(register)) = (clue.kind, clue.register) {
            // There ? is an unread digit; doubt stands in brackets.
            let (body, doubtful) = text.strip_suffix("(?)").map_or((text, false), |body| (body.trim_end(), true));
            let years =
                register.years(body).map_err(|problem| CellError::Register { clue: clue.id.clone(), problem })?;
            return Ok(Self::Read(Reading { text: text.to_owned(), seen: Seen::Number(years), doubtful }));
        }
        let (body, doubtful) = match text.strip_suffix('?') {
            Some(body) => (body.trim(), true),
            None => (text, false),
        };
        let seen = match clue.kind {
            ClueKind::Measured => measure(clue, body, text, decimal_comma)?,
            _ => levels(clue, body)?,
        };
        Ok(Self::Read(Reading { text: text.to_owned(), seen, doubtful }))
    }

    /// The reading, if there is one.
    #[must_use]
    pub fn reading(&self) -> Option<&Reading> {
        match self {
            Self::Read(reading) => Some(reading),
            _ => None,
        }
    }
}

/// Case, spaces and hyphens do not matter in a level's word.
fn level_key(word: &str) -> String {
    word.trim().to_lowercase().replace([' ', '-'], "_")
}

fn levels(clue: &Clue, text: &str) -> Result<Seen, CellError> {
    let mut chosen = Vec::new();
    for word in text.split('|') {
        let key = level_key(word);
        let Some(ix) = clue.levels.iter().position(|level| level.id == key) else {
            let allowed = clue.levels.iter().map(|level| level.id.clone()).collect();
            let value = word.trim().to_owned();
            return Err(if clue.kind == ClueKind::Mark {
                CellError::Mark { clue: clue.id.clone(), value, allowed }
            } else if key == "absent" {
                CellError::Absent { clue: clue.id.clone(), allowed }
            } else {
                CellError::Level { clue: clue.id.clone(), value, allowed }
            });
        };
        chosen.push(ix);
    }
    chosen.sort_unstable();
    chosen.dedup();
    Ok(Seen::Levels(chosen))
}

fn measure(clue: &Clue, body: &str, text: &str, decimal_comma: bool) -> Result<Seen, CellError> {
    let (id, value) = (clue.id.clone(), text.to_owned());
    let Measure { value: number, tolerance } =
        read_measure(body, clue.unit, decimal_comma).map_err(|problem| match problem {
            MeasureProblem::NotANumber => CellError::NotAMeasure { clue: id.clone(), value: value.clone() },
            MeasureProblem::LooksLikeADate => CellError::Date { clue: id.clone(), value: value.clone() },
            MeasureProblem::DecimalComma => CellError::DecimalComma { clue: id.clone(), value: value.clone() },
            MeasureProblem::Unit(unit) => CellError::Unit {
                clue: id.clone(),
                value: value.clone(),
                unit,
                allowed: clue.unit.allowed_words().iter().map(|&w| w.to_owned()).collect(),
            },
        })?;
    let [low, high] = clue.range.unwrap_or(match clue.scale {
        Scale::Linear => [f64::MIN, f64::MAX],
        Scale::Log => [f64::MIN_POSITIVE, f64::MAX],
    });
    if !(low..=high).contains(&number) {
        if clue.range.is_none() {
            return Err(CellError::NotAMeasure { clue: id, value });
        }
        return Err(CellError::Range { clue: id, value, low, high, unit: clue.unit.symbol() });
    }
    let widest = clue.range.map_or(f64::INFINITY, |[low, high]| high - low);
    if tolerance.is_some_and(|t| t > widest || (clue.scale == Scale::Log && t >= number)) {
        return Err(CellError::Tolerance { clue: id, value });
    }
    Ok(Seen::Measure { value: number, tolerance })
}
