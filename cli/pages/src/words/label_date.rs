//! The date in sentences: for labels and for the page.

use crate::words::date_line::{ONE_YEAR_WIDTH, century_part, one_of_several};
use crate::words::undated::{is_prior_alone, rests_on};
use crate::words::years::{answer_span, answer_year, span, year};
use agewright_model::answer::band::Interval;
use agewright_model::{Band, Dating, Posterior};

/// The date as an exhibition label says it, without "c.": `about 1895 (1891-99)`, `about 1885 to 1902`, `in the 1890s`,
/// `late 18th century`, `before about 1825`, `after about 1921`, `about 1868-74 or about 1903-11`.
#[must_use]
pub fn label_date(dating: &Dating) -> String {
    let axis = dating.posterior.axis();
    if !dating.has_evidence() {
        return "date not known".to_owned();
    }
    let band = dating.band(0.8);
    if band.intervals.len() > 1 {
        let told = band.intervals.iter().map(|mode| {
            let years = one_of_several(&dating.posterior, mode, "about ");
            let is_told = years.contains("about ") || mode.from > axis.last();
            if is_told { years } else { format!("about {years}") }
        });
        return told.collect::<Vec<_>>().join(" or ");
    }
    let (from, to) = (band.from(), band.to());
    match (from <= axis.from(), to >= dating.posterior.latest()) {
        (true, true) => return "date not known".to_owned(),
        (true, false) => return format!("before about {}", year(to)),
        (false, true) if from > axis.last() => return answer_year(axis, from),
        (false, true) => return format!("after about {}", year(from)),
        (false, false) => {}
    }
    if from % 10 == 0 && to == from + 9 && from > 0 {
        return format!("in the {from}s");
    }
    if to - from < ONE_YEAR_WIDTH {
        return format!("about {} ({})", year(dating.posterior.median()), answer_span(axis, from, to));
    }
    century_part(from, to).unwrap_or_else(|| format!("about {} to {}", year(from), year(to)))
}

/// What a date line stands for, as a sentence.
#[must_use]
pub fn stands_for(dating: &Dating) -> String {
    let axis = dating.posterior.axis();
    if !dating.has_evidence() {
        let years = span(axis.from(), axis.last());
        return match is_prior_alone(dating) {
            true => format!(
                "No clue of date could be read. What follows is the prior alone: how clubs are spread over {years} \
                 before this one is looked at."
            ),
            false => format!("No clue of date could be read. What follows rests on {}.", rests_on(dating)),
        };
    }
    let band = dating.band(0.8);
    let told = |band: &Band| {
        let pieces = band.intervals.iter().map(|piece| exactly(&dating.posterior, piece));
        pieces.collect::<Vec<_>>().join(" or ")
    };
    format!(
        "Four chances in five that the {} was made {}; nineteen in twenty that it was made {}.",
        dating.part.word(),
        told(&band),
        told(&dating.band(0.95))
    )
}

/// A run of years within a sentence, its ends among them: `in 1885-1902`, `in 1850 or before`, `in 1921 or later`,
/// `after 1939`.
fn exactly(posterior: &Posterior, piece: &Interval) -> String {
    let axis = posterior.axis();
    if piece.from > axis.last() {
        return answer_year(axis, piece.from);
    }
    match (piece.from <= axis.from(), piece.to >= posterior.latest()) {
        (true, false) => format!("in {} or before", year(piece.to)),
        (false, true) => format!("in {} or later", year(piece.from)),
        (true, true) | (false, false) => format!("in {}", answer_span(axis, piece.from, piece.to)),
    }
}
