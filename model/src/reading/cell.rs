//! What was seen for a clue on one club.

use crate::reading::cell_error::CellError;
use crate::reading::clue::{Clue, ClueKind};
use crate::reading::level::level_key;
use crate::reading::measure_text::{Measure, MeasureProblem, read_measure};
use crate::reading::register::RegisteredIn;
use crate::reading::scale::Scale;

/// Years that have any sense on a club: arithmetic with them cannot overflow.
pub(crate) const YEARS: std::ops::RangeInclusive<i32> = -9999..=9999;

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

impl Reading {
    /// A reading beyond doubt.
    #[must_use]
    pub fn sure(text: &str, seen: Seen) -> Self {
        Self { text: text.to_owned(), seen, doubtful: false }
    }
}

impl Seen {
    /// Whether it is of a clue's kind: levels that the clue has, a finite measure on its scale, years of a register.
    #[must_use]
    pub fn is_of(&self, clue: &Clue) -> bool {
        match (clue.kind, self) {
            (ClueKind::Levels | ClueKind::Mark, Seen::Levels(levels)) => {
                let in_order = levels.windows(2).all(|pair| pair[0] < pair[1]);
                !levels.is_empty() && in_order && levels.iter().all(|level| *level < clue.levels.len())
            }
            (ClueKind::Measured, Seen::Measure { value, tolerance }) => {
                value.is_finite()
                    && clue.scale.place(*value).is_some()
                    && tolerance.is_none_or(|tolerance| tolerance.is_finite() && tolerance >= 0.0)
            }
            (ClueKind::Register, Seen::Number(years)) => {
                let sound = |one: &RegisteredIn| YEARS.contains(&one.year) && one.share.is_finite() && one.share >= 0.0;
                !years.is_empty() && years.iter().all(sound)
            }
            _ => false,
        }
    }
}

/// What people write where they did not look, where it is no level of the clue.
pub const NOT_EXAMINED: [&str; 17] = [
    "n_a",
    "na",
    "n_k",
    "nk",
    "unknown",
    "not_known",
    "not_recorded",
    "not_examined",
    "not_looked",
    "not_noted",
    "don_t_know",
    "dont_know",
    "tbc",
    "t_b_c",
    "n_r",
    "see_note",
    "to_be_confirmed",
];
/// Words that stand for a whole cell and take no doubt.
pub const RESERVED: [&str; 2] = ["altered", "unreadable"];
/// What they write where there was nothing left to read.
pub const UNREADABLE: [&str; 3] = ["illegible", "worn_away", "covered"];

impl Cell {
    /// Reads one cell of a record for a clue; `decimal_comma` where the file separates its columns by `;`.
    ///
    /// ```
    /// use agewright_model::{Cell, Clue, ClueKind, Part, Seen, Unit};
    ///
    /// let hosel = Clue { unit: Unit::Inch, ..Clue::new("hosel", ClueKind::Measured, Part::Head) };
    /// let cell = Cell::from_text(&hosel, "3 1/2 in", false).unwrap();
    /// assert_eq!(cell.reading().unwrap().seen, Seen::Measure { value: 3.5, tolerance: None });
    /// assert!(Cell::from_text(&hosel, "3-Jan", false).unwrap_err().to_string().contains("looks like a date"));
    /// ```
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
        let key = level_key(text);
        let is = |words: &[&str]| words.contains(&key.as_str()) && clue.level_of(&key).is_none();
        // A dash or a lone question mark.
        let is_sign = text.chars().all(|c| matches!(c, '-' | '\u{2013}' | '\u{2014}' | '_' | '?'));
        if is_sign || is(&NOT_EXAMINED) {
            return Ok(Self::NotExamined);
        }
        if is(&UNREADABLE) {
            return Ok(Self::Unreadable);
        }
        if let (ClueKind::Register, Some(register)) = (clue.kind, clue.register) {
            // There ? is an unread digit; doubt stands in brackets.
            let (body, doubtful) = text.strip_suffix("(?)").map_or((text, false), |body| (body.trim_end(), true));
            let years =
                register.years(body).map_err(|problem| CellError::Register { clue: clue.id.clone(), problem })?;
            return Ok(Self::Read(Reading { text: text.to_owned(), seen: Seen::Number(years), doubtful }));
        }
        // "smooth?", "smooth (?)", "?smooth".
        let bare = text.strip_suffix("(?)").or_else(|| text.strip_suffix('?')).or_else(|| text.strip_prefix('?'));
        let (body, doubtful) = bare.map_or((text, false), |body| (body.trim(), true));
        // "medium? | fine?": the doubt is of the whole cell.
        let each_doubtful =
            doubtful && body.contains('|') && body.split('|').rev().skip(1).all(|word| word.trim_end().ends_with('?'));
        let body = &if each_doubtful { body.replace('?', "") } else { body.to_owned() };
        let seen = match clue.kind {
            ClueKind::Measured => measure(clue, body, text, decimal_comma)?,
            _ => levels(clue, body)?,
        };
        Ok(Self::Read(Reading { text: text.to_owned(), seen, doubtful }))
    }

    /// What stands in the cell, as it is read again; nothing where nobody looked.
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::NotExamined => "",
            Self::Unreadable => "unreadable",
            Self::Altered => "altered",
            Self::Read(reading) => &reading.text,
        }
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

/// The words of a cell: between `|`, or as people write them, `fine or medium`, `fine/medium`, where each is a level
/// and the whole is none.
fn alternatives<'a>(clue: &Clue, text: &'a str) -> Vec<&'a str> {
    let is_level = |word: &&str| clue.level_of(&level_key(word)).is_some();
    let split = |by: &str| text.split(by).collect::<Vec<&str>>();
    let as_written = [" or ", "/", ","].into_iter().map(split).find(|words| words.iter().all(is_level));
    as_written.filter(|_| !is_level(&text)).unwrap_or_else(|| split("|"))
}

fn levels(clue: &Clue, text: &str) -> Result<Seen, CellError> {
    let mut chosen = Vec::new();
    for word in alternatives(clue, text) {
        let key = level_key(word);
        // A sign before or behind a word may mean something, and is not read over.
        let has_sign = word.trim().starts_with(['!', '-', '[', '(', '<', '>', '~']) || word.contains('?');
        let Some(ix) = clue.level_of(&key).filter(|_| !has_sign) else {
            let allowed = clue.levels.iter().map(|level| level.id.clone()).collect();
            // "altered?" is no level, and "altered" would be none to be told of.
            let value =
                if RESERVED.contains(&key.as_str()) { format!("{}?", word.trim()) } else { word.trim().to_owned() };
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
            MeasureProblem::NotANumber => {
                CellError::NotAMeasure { clue: id.clone(), value: value.clone(), example: clue.unit.example() }
            }
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
            return Err(CellError::NotAMeasure { clue: id, value, example: clue.unit.example() });
        }
        return Err(CellError::Range { clue: id, value, low, high, unit: clue.unit.symbol() });
    }
    let widest = clue.range.map_or(f64::INFINITY, |[low, high]| high - low);
    if tolerance.is_some_and(|t| t > widest || (clue.scale == Scale::Log && t >= number)) {
        return Err(CellError::Tolerance { clue: id, value });
    }
    Ok(Seen::Measure { value: number, tolerance })
}
