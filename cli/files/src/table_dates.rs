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

/// What is wrong with a date: the column, the message, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DateProblem {
    pub column: &'static str,
    pub message: String,
    pub help: Option<&'static str>,
}

const HOW: &str = "write a year, or a period such as 1890-95, 1890s, c. 1890, before 1890 or late 19th century";

/// The date that the cells give; `None` where no year is given.
pub(crate) fn read_date(axis: Axis, cells: DateTexts<'_>) -> Result<Option<KnownDate>, DateProblem> {
    let wrong = |column, message: String, help| DateProblem { column, message, help };
    let period = |column, text: &str| match text {
        "" => Ok(None),
        _ => match Period::read(text, axis) {
            Some(period) if period.is_decade_or_century => {
                let message = format!("\"{text}\" may be a decade or a century");
                Err(wrong(column, message, Some("write for example 1800-09, or 19th century")))
            }
            Some(period) => Ok(Some(period)),
            None => Err(wrong(column, format!("\"{text}\" is no year"), Some(HOW))),
        },
    };
    let made = period("made", cells.made)?;
    let (from_period, to_period) = (period("made_from", cells.made_from)?, period("made_to", cells.made_to)?);
    let (from, to) = match (made, from_period, to_period) {
        (None, None, None) => {
            read_grade(cells.date_grade)?;
            return Ok(None);
        }
        (Some(period), None, None) => (period.from, period.to),
        (Some(_), ..) => {
            let message = "the date stands in made and in made_from or made_to".to_owned();
            return Err(wrong("made", message, Some("give it once")));
        }
        (None, Some(from), Some(to)) => (from.from, to.to),
        // A period has both ends in one cell; of a lone year the other end is not known.
        (None, Some(period), None) | (None, None, Some(period)) if !period.is_year => (period.from, period.to),
        (None, from, _) => {
            let empty = if from.is_none() { "made_from" } else { "made_to" };
            let help = "fill both, with the same year for an exact date; both blank means undated";
            return Err(wrong(empty, format!("{empty} is blank and the other date is not"), Some(help)));
        }
    };
    // A date in the words of an opinion is no document, where nobody says that it is one.
    let is_vague = [made, from_period, to_period].into_iter().flatten().any(|period| period.is_vague);
    let grade = match cells.date_grade {
        "" if is_vague => DateGrade::OPINION_OF_THE_TRADE,
        text => read_grade(text)?,
    };
    KnownDate::new(axis, from, to, grade).map(Some).map_err(|error| {
        let column = match error {
            _ if !cells.made.is_empty() => "made",
            KnownDateError::OffAxis { year, .. } if year != from => "made_to",
            _ => "made_from",
        };
        wrong(column, error.to_string(), None)
    })
}

fn read_grade(text: &str) -> Result<DateGrade, DateProblem> {
    if text.is_empty() {
        return Ok(DateGrade::default());
    }
    let wrong = |message| DateProblem { column: "date_grade", message, help: None };
    let none = || format!("\"{text}\" is no date grade: grades run from 1 (documented) to 5 (own opinion)");
    let grade: u8 = text.parse().map_err(|_| wrong(none()))?;
    DateGrade::new(grade).map_err(|error| wrong(error.to_string()))
}
