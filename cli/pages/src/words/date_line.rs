//! The date line: what a catalogue prints, always with its level.

use crate::words::after_the_years::is_shown;
use crate::words::chance::level_in_words;
use crate::words::years::{answer_span, year};
use agewright_model::answer::band::Interval;
use agewright_model::{Band, Dating, Posterior};

/// At most this many years make a `c.` with one year.
pub(crate) const ONE_YEAR_WIDTH: i32 = 10;
/// From this many years on, a part of a century says it better.
const CENTURY_PART_WIDTH: i32 = 25;

/// The date line of an answer, by its 80 % band.
///
/// Up to ten years wide `c. 1892 (1887-96, 4 in 5)`; just a decade `1890s (4 in 5)`; within a third of a century
/// `late 18th century (1770-98, 4 in 5)`; reaching an end of the axis `before c. 1825` or `after c. 1921`; a split band
/// `1868-74 or 1903-11 (4 in 5)`, each piece open where it reaches an end of the axis; `after 1939` of what is made
/// since; otherwise `c. 1885-1902 (4 in 5)`.
///
/// ```
/// use agewright_model::{Asked, Dating, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let club = calibration.catalogue().club("x", &[("pin_direction", "front_back")]).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, Some("flat"), &[]).unwrap();
/// let line = agewright_pages::words::date_line::date_line(&Dating::of(&asked));
/// assert!(line.starts_with("before c. "), "{line}");
/// ```
#[must_use]
pub fn date_line(dating: &Dating) -> String {
    let axis = dating.posterior.axis();
    if !dating.has_evidence() {
        let last = if is_shown(dating) { dating.posterior.latest() } else { axis.last() };
        return format!("undated, {} (no clue of date)", answer_span(axis, axis.from(), last));
    }
    let band = dating.band(0.8);
    let level = level_in_words(band.level);
    if band.intervals.len() > 1 {
        // Small pieces too: together they are the four chances in five, and what lies between them is not.
        let pieces = band.intervals.iter();
        let spans: Vec<String> = pieces.map(|piece| one_of_several(&dating.posterior, piece, "c. ")).collect();
        return format!("{} ({level})", spans.join(" or "));
    }
    one_answer(&dating.posterior, &band, level)
}

/// One of several answers: its years, open where they reach an end of the axis; `about` stands before a lone year.
pub(crate) fn one_of_several(posterior: &Posterior, piece: &Interval, about: &str) -> String {
    let (axis, from, to) = (posterior.axis(), piece.from, piece.to);
    match (from <= axis.from(), to >= posterior.latest()) {
        (true, false) => format!("before {about}{}", year(to)),
        (false, true) if from <= axis.last() => format!("after {about}{}", year(from)),
        _ => answer_span(axis, from, to),
    }
}

fn one_answer(posterior: &Posterior, band: &Band, level: &str) -> String {
    let (axis, from, to) = (posterior.axis(), band.from(), band.to());
    let years = answer_span(axis, from, to);
    match (from <= axis.from(), to >= posterior.latest()) {
        (true, true) => return format!("undated, {years} ({level})"),
        (true, false) => return format!("before c. {} ({years}, {level})", year(to)),
        (false, true) if from > axis.last() => return format!("{years} ({level})"),
        (false, true) if to > axis.last() => return format!("after c. {} ({level})", year(from)),
        (false, true) => return format!("after c. {} ({years}, {level})", year(from)),
        (false, false) => {}
    }
    if from % 10 == 0 && to == from + 9 && from > 0 {
        return format!("{from}s ({level})");
    }
    if to - from < ONE_YEAR_WIDTH {
        return format!("c. {} ({years}, {level})", year(posterior.median()));
    }
    match century_part(from, to) {
        Some(part) => format!("{part} ({years}, {level})"),
        None => format!("c. {years} ({level})"),
    }
}

pub(crate) fn century_part(from: i32, to: i32) -> Option<String> {
    if from <= 0 || to - from + 1 < CENTURY_PART_WIDTH || from / 100 != to / 100 {
        return None;
    }
    let part = match (from % 100, to % 100) {
        (_, ..=33) => "early",
        (33.., ..=66) => "mid",
        (66.., _) => "late",
        _ => return None,
    };
    let number = from / 100 + 1;
    let ending = match (number % 100, number % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    Some(format!("{part}{}{number}{ending} century", if part == "mid" { "-" } else { " " }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_a_century_need_a_quarter_of_one() {
        assert_eq!(century_part(1770, 1798).as_deref(), Some("late 18th century"));
        assert_eq!(century_part(1801, 1829).as_deref(), Some("early 19th century"));
        assert_eq!(century_part(1835, 1865).as_deref(), Some("mid-19th century"));
        assert_eq!(century_part(1901, 1930).as_deref(), Some("early 20th century"));
        assert_eq!(century_part(1801, 1810), None);
        assert_eq!(century_part(1790, 1820), None);
        assert_eq!(century_part(1820, 1850), None);
    }
}
