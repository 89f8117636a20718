//! The day that an opinion is of.

use crate::failure::Failure;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

/// Names of the months, for people.
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A day: the one asked for; without one, that of the variable `SOURCE_DATE_EPOCH` (seconds since 1970, by which builds
/// are made to repeat: Reproducible Builds, "SOURCE_DATE_EPOCH specification", 2017, from memory); else today.
pub fn opinion_day(asked: Option<&str>) -> Result<Date, Failure> {
    if let Some(text) = asked {
        return text
            .parse()
            .map_err(|_| Failure::Usage(format!("--on {text}: a day is written as 2026-03-31, year, month and day")));
    }
    let epoch = std::env::var("SOURCE_DATE_EPOCH").ok();
    let of_epoch = |text: &String| Timestamp::from_second(text.parse().ok()?).ok();
    Ok(match epoch.as_ref().and_then(of_epoch) {
        Some(timestamp) => TimeZone::UTC.to_datetime(timestamp).date(),
        None => ZonedDateTime::now().date(),
    })
}

/// A day as a page says it: `29 November 2026`.
pub fn day_in_words(day: Date) -> String {
    let month = usize::try_from(day.month()).ok().and_then(|month| MONTHS.get(month.checked_sub(1)?));
    format!("{} {} {}", day.day(), month.copied().unwrap_or_default(), day.year())
}
