//! The date that is given with a club, in words.

use crate::words::years::span;
use agewright_model::KnownDate;
use agewright_model::questions::overview::is_known;
use agewright_model::reading::known_date::DateGrade;

/// The date and how well it is known, `1897 (documented)`, as it stands in a table or beside a name.
///
/// ```
/// use agewright_model::reading::known_date::DateGrade;
/// use agewright_model::{Axis, KnownDate};
/// use agewright_pages::words::given_date::{given_in_short, given_sentence};
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let date = |grade| KnownDate::new(axis, 1885, 1890, DateGrade::new(grade).unwrap()).unwrap();
/// assert_eq!(given_in_short(&date(1)), "known 1885-90");
/// assert_eq!(given_in_short(&date(5)), "given as 1885-90");
/// assert!(given_sentence(&date(2)).starts_with("It is known to be of 1885-90 (by a register or a tenure)."));
/// ```
#[must_use]
pub fn given_in_short(date: &KnownDate) -> String {
    format!("{} {}", if is_known(date) { "known" } else { "given as" }, span(date.from(), date.to()))
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
    let known = if is_known(date) { "It is known to be of" } else { "It is given as of" };
    let years = span(date.from(), date.to());
    format!("{known} {years} ({how}). What is said of its date beside that is what its clues say by themselves.")
}
