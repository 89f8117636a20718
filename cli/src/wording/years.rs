//! Years and spans of years, for people.

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

/// A span, both ends inclusive: `1885-1902`, within a century `1870-85`, one year `1893`.
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
