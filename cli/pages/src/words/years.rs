//! Years and spans of years, for people.

use agewright_model::answer::band::Interval;

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

/// Runs of years, `1868-74 or 1903-11`.
#[must_use]
pub fn spans(runs: &[Interval]) -> String {
    runs.iter().map(|run| span(run.from, run.to)).collect::<Vec<_>>().join(" or ")
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
