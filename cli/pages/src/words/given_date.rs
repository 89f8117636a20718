//! The date that is given with a club, in words.

use crate::words::years::{span, year};
use agewright_model::KnownDate;
use agewright_model::questions::overview::is_known;
use agewright_model::reading::known_date::DateGrade;
use agewright_model::reading::period_text::OpenSide;

/// The date and how well it is known, `1897 (documented)`, as it stands in a table or beside a name.
///
/// ```
/// use agewright_model::reading::known_date::DateGrade;
/// use agewright_model::reading::period_text::Period;
/// use agewright_model::{Axis, KnownDate};
/// use agewright_pages::words::given_date::{given_in_short, given_sentence};
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let date = |grade| KnownDate::new(axis, 1885, 1890, DateGrade::new(grade).unwrap()).unwrap();
/// assert_eq!(given_in_short(&date(1)), "known 1885-90");
/// assert_eq!(given_in_short(&date(5)), "given as 1885-90");
/// let open = Period::read("before 1850", axis).unwrap();
/// let open = date(4).with_open_side(open.open);
/// assert_eq!(given_in_short(&open), "given as before 1891");
/// assert!(given_sentence(&date(2)).starts_with("It is known to be of 1885-90 (by a register or a tenure)."));
/// ```
#[must_use]
pub fn given_in_short(date: &KnownDate) -> String {
    format!("{} {}", if is_known(date) { "known" } else { "given as" }, given_years(date))
}

/// The years of a date, as they were given: `1885-90`; `before 1850`, where nothing is said of earlier years.
#[must_use]
pub fn given_years(date: &KnownDate) -> String {
    match date.open_side() {
        Some(OpenSide::Earlier) => format!("before {}", year(date.to() + 1)),
        Some(OpenSide::Later) => format!("after {}", year(date.from() - 1)),
        None => span(date.from(), date.to()),
    }
}

/// The same behind what a club is known to be, or given as: `of 1885-90`, `from before 1850`.
#[must_use]
pub fn of_given_years(date: &KnownDate) -> String {
    format!("{} {}", if date.open_side().is_some() { "from" } else { "of" }, given_years(date))
}

/// Years that a club is known to be of; nobody may have said how.
#[must_use]
pub fn known_of(date: &KnownDate) -> String {
    format!("{}{}", of_given_years(date), no_grade(date))
}

/// The same without its word.
#[must_use]
pub fn known_years(date: &KnownDate) -> String {
    format!("{}{}", given_years(date), no_grade(date))
}

fn no_grade(date: &KnownDate) -> &'static str {
    if date.has_assumed_grade() { " (no grade given)" } else { "" }
}

/// Years that are somebody's opinion, and whose.
#[must_use]
pub fn with_grade(years: &str, date: &KnownDate) -> String {
    format!("{years} ({})", if date.has_assumed_grade() { "no grade given" } else { grade_in_words(date.grade()) })
}

/// How well a date is known.
#[must_use]
pub fn grade_in_words(grade: DateGrade) -> &'static str {
    match grade.number() {
        1 => "documented",
        2 => "by a register or a tenure",
        3 => "published",
        4 => "opinion of the trade",
        _ => "own opinion",
    }
}

/// The same as a sentence, with what an answer beside it then is.
#[must_use]
pub fn given_sentence(date: &KnownDate) -> String {
    let how = grade_in_words(date.grade());
    let how = if date.has_assumed_grade() { format!("taken as {how}: no grade is given") } else { how.to_owned() };
    let known = if is_known(date) { "It is known to be" } else { "It is given as" };
    let years = of_given_years(date);
    format!("{known} {years} ({how}). What is said of its date beside that is what its clues say by themselves.")
}
