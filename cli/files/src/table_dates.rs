//! The date of a club as a table or a record gives it: first and last year, or a period in words.

use agewright_model::reading::known_date::{DateGrade, KnownDateError};
use agewright_model::reading::period_text::Period;
use agewright_model::{Axis, KnownDate};

/// Cells of a date, as they were written; blank where there is none.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct DateTexts<'a> {
    pub made: &'a str,
    pub made_from: &'a str,
    pub made_to: &'a str,
    pub date_grade: &'a str,
}

/// The parts that a date is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateField {
    Made,
    MadeFrom,
    MadeTo,
    DateGrade,
}

impl DateField {
    /// Its heading in a table and its key in a record.
    pub fn name(self) -> &'static str {
        match self {
            Self::Made => "made",
            Self::MadeFrom => "made_from",
            Self::MadeTo => "made_to",
            Self::DateGrade => "date_grade",
        }
    }
}

/// What is wrong with a date: the field, the message, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DateProblem {
    pub field: DateField,
    pub message: String,
    pub help: Option<String>,
}

/// What people write where no year is known.
const NOT_KNOWN: [&str; 10] =
    ["unknown", "not known", "not dated", "undated", "no date", "n.d.", "n/a", "n/k", "?", "-"];
const HOW: &str = "write a year, or a period such as 1890-95, 1890s, c. 1890, before 1890 or late 19th century";

/// The date that the cells give; `None` where no year is given.
pub(crate) fn read_date(axis: Axis, cells: DateTexts<'_>) -> Result<Option<KnownDate>, DateProblem> {
    let wrong = |field, message: String, help| DateProblem { field, message, help };
    let period = |field, text: &str| match text {
        "" => Ok(None),
        _ if NOT_KNOWN.contains(&text.to_lowercase().as_str()) => Ok(None),
        _ => match Period::read(text, axis) {
            Some(period) if period.is_decade_or_century => {
                let message = format!("\"{text}\" may be a decade or a century");
                Err(wrong(field, message, decade_or_century(text)))
            }
            Some(period) => Ok(Some(period)),
            None if ends_before_it_begins(text) => Err(wrong(field, format!("\"{text}\" ends before it begins"), None)),
            None => Err(wrong(field, format!("\"{text}\" is no year"), Some(HOW.to_owned()))),
        },
    };
    let made = period(DateField::Made, cells.made)?;
    let (from_period, to_period) =
        (period(DateField::MadeFrom, cells.made_from)?, period(DateField::MadeTo, cells.made_to)?);
    let (from, to, open) = match (made, from_period, to_period) {
        (None, None, None) => {
            read_grade(cells.date_grade)?;
            return Ok(None);
        }
        (Some(period), None, None) => (period.from, period.to, period.open),
        (Some(_), ..) => {
            let message = "the date stands in made and in made_from or made_to".to_owned();
            return Err(wrong(DateField::Made, message, Some("give it once".to_owned())));
        }
        (None, Some(from), Some(to)) => (from.from, to.to, None),
        // A period has both ends in one cell; of a lone year the other end is not known.
        (None, Some(period), None) | (None, None, Some(period)) if !period.is_year => {
            (period.from, period.to, period.open)
        }
        (None, from, _) => {
            let empty = if from.is_none() { DateField::MadeFrom } else { DateField::MadeTo };
            let help = match from {
                Some(from) => format!("for an exact date fill both with {0}; else write \"{0} or later\"", from.from),
                None => {
                    let year = to_period.map_or(0, |to| to.to);
                    format!("for an exact date fill both with {year}; else write \"{year} or earlier\"")
                }
            };
            return Err(wrong(empty, format!("{} is blank and the other date is not", empty.name()), Some(help)));
        }
    };
    // A date in the words of an opinion is no document, where nobody says that it is one.
    let is_vague = [made, from_period, to_period].into_iter().flatten().any(|period| period.is_vague);
    let grade = match cells.date_grade {
        "" if is_vague => DateGrade::OPINION_OF_THE_TRADE,
        text => read_grade(text)?,
    };
    let date = KnownDate::new(axis, from, to, grade).map(|date| date.with_open_side(open));
    let date = if cells.date_grade.is_empty() { date.map(KnownDate::with_assumed_grade) } else { date };
    date.map(Some).map_err(|error| {
        let field = match error {
            _ if !cells.made.is_empty() => DateField::Made,
            KnownDateError::OffAxis { year, .. } if year != from => DateField::MadeTo,
            _ => DateField::MadeFrom,
        };
        wrong(field, error.to_string(), None)
    })
}

/// `1900s` is a decade to some and a century to others: how either is written.
fn decade_or_century(text: &str) -> Option<String> {
    // Of a span from one to another what each means depends on the other.
    if text.contains(['-', '\u{2013}']) || text.contains(" to ") {
        return Some("write the years, for example 1890-1909".to_owned());
    }
    let digits = text.split(|c: char| !c.is_ascii_digit()).find(|digits| digits.len() > 2 && digits.ends_with("00"))?;
    let from: u32 = digits.parse().ok()?;
    let century = from / 100 + 1;
    let ending = match (century % 10, century % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    Some(format!("write {from}-09, or {century}{ending} century"))
}

/// `1890-1850`.
fn ends_before_it_begins(text: &str) -> bool {
    let ends =
        text.split_once(['-', '\u{2013}']).map(|(from, to)| (from.trim().parse::<i32>(), to.trim().parse::<i32>()));
    matches!(ends, Some((Ok(from), Ok(to))) if from >= 1000 && to >= 1000 && from > to)
}

fn read_grade(text: &str) -> Result<DateGrade, DateProblem> {
    if text.is_empty() {
        return Ok(DateGrade::default());
    }
    let wrong = |message| DateProblem { field: DateField::DateGrade, message, help: None };
    let none = || format!("\"{text}\" is no date grade: grades run from 1 (documented) to 5 (own opinion)");
    let grade: u8 = text.parse().map_err(|_| wrong(none()))?;
    DateGrade::new(grade).map_err(|error| wrong(error.to_string()))
}
