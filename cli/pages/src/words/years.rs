//! Years and spans of years, for people.

use agewright_model::answer::band::Interval;
use agewright_model::{Axis, ShortAnswer};

/// A year: `1893`, or `44 BC` for year -43 (1 BC is year 0).
#[must_use]
pub fn year(year: i32) -> String {
    if year > 0 { year.to_string() } else { format!("{} BC", 1 - i64::from(year)) }
}

/// A period as it is spoken of: `the 1850s`, or its span.
#[must_use]
pub fn period_name(from: i32, to: i32) -> String {
    if from > 0 && from % 10 == 0 && to == from + 9 { format!("the {from}s") } else { span(from, to) }
}

/// A year of an answer: `1893`, or `after 1939` of the one that stands for all years behind the axis.
#[must_use]
pub fn answer_year(axis: Axis, one: i32) -> String {
    if one > axis.last() { format!("after {}", year(axis.last())) } else { year(one) }
}

/// A span of an answer: `1885-1902`, `1921 or later` where it reaches behind the axis, `after 1939` of what lies there.
#[must_use]
pub fn answer_span(axis: Axis, from: i32, to: i32) -> String {
    match (from > axis.last(), to > axis.last()) {
        (true, _) => answer_year(axis, from),
        (false, true) => format!("{} or later", year(from)),
        (false, false) => span(from, to),
    }
}

/// Middle year and span of an answer in short, `1893 (1885-1902)`; of a split one its pieces alone, `1835-69 or
/// 1877-1904`.
#[must_use]
pub fn short_words(axis: Axis, answer: &ShortAnswer) -> String {
    let span = short_span(axis, answer);
    if answer.pieces.is_empty() { format!("{} ({span})", answer_year(axis, answer.median)) } else { span }
}

/// The span of an answer in short, every piece of a split one.
#[must_use]
pub fn short_span(axis: Axis, answer: &ShortAnswer) -> String {
    if answer.pieces.is_empty() { answer_span(axis, answer.from, answer.to) } else { spans(axis, &answer.pieces) }
}

/// The middle year of an answer; `-` of a split one, whose median is no date.
#[must_use]
pub fn middle_year(axis: Axis, answer: &ShortAnswer) -> String {
    if answer.is_split() { "-".to_owned() } else { answer_year(axis, answer.median) }
}

/// By how many years a middle year moved: `+4`, `0`; `-` where one of the two is behind the axis and has no number.
///
/// ```
/// use agewright_model::Axis;
/// use agewright_pages::words::years::change_of_median;
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// assert_eq!([1894, 1890, 1886, 1940].map(|to| change_of_median(axis, 1890, to)), ["+4", "0", "-4", "-"]);
/// ```
#[must_use]
pub fn change_of_median(axis: Axis, from: i32, to: i32) -> String {
    match to - from {
        0 => "0".to_owned(),
        _ if from.max(to) > axis.last() => "-".to_owned(),
        change => format!("{change:+}"),
    }
}

/// Runs of years of an answer, `1868-74 or 1903-11`; `1868-74, or 1903 or later`.
#[must_use]
pub fn spans(axis: Axis, runs: &[Interval]) -> String {
    let told: Vec<String> = runs.iter().map(|run| answer_span(axis, run.from, run.to)).collect();
    let has_or = told.iter().any(|span| span.contains(" or "));
    told.join(if has_or { ", or " } else { " or " })
}

/// A span, both ends inclusive: `1885-1902`, within a century `1870-85`, one year `1893`.
///
/// ```
/// use agewright_pages::words::years::span;
///
/// assert_eq!([span(1885, 1902), span(1870, 1885), span(1893, 1893)], ["1885-1902", "1870-85", "1893"]);
/// ```
#[must_use]
pub fn span(from: i32, to: i32) -> String {
    if from == to {
        return year(from);
    }
    if from >= 1000 && from / 100 == to / 100 {
        return format!("{from}-{:02}", to % 100);
    }
    format!("{}-{}", year(from), year(to))
}

/// Name of a row of years: `1890s` where rows are decades, or its span.
#[must_use]
pub fn row_name(from: i32, to: i32, step: i32) -> String {
    let decade = step == 10 && from % 10 == 0 && from > 0 && to == from + 9;
    if decade { format!("{from}s") } else { span(from, to) }
}

/// What a row of years is called: `decade`, or `5 years`.
#[must_use]
pub fn row_word(step: i32) -> String {
    if step == 10 { "decade".to_owned() } else { format!("{step} years") }
}
