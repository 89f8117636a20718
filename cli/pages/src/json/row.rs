//! The answer as a row of a table.

use crate::words::answered::Answered;
use crate::words::before::is_at_least;
use crate::words::date_line::date_line;
use crate::words::edtf::edtf;
use crate::words::grounds::grounds_sentences;
use crate::words::to_mind::of_part;
use agewright_model::KnownDate;
use agewright_model::questions::grounds::Grounds;

/// Headings of the table.
pub const HEADINGS: [&str; 26] = [
    "id",
    "part",
    "date_line",
    "edtf",
    "median",
    "mean",
    "from_50",
    "to_50",
    "from_80",
    "to_80",
    "from_95",
    "to_95",
    "prior",
    "median_flat_prior",
    "before_year",
    "probability_before",
    "probability_after",
    "out_of_step",
    "given_from",
    "given_to",
    "given_grade",
    "title",
    "to_mind",
    "reasons",
    "before_at_least",
    "grade_is_given",
];
/// Columns of words; the others are of numbers.
const WORDS: [&str; 11] = [
    "id",
    "part",
    "date_line",
    "edtf",
    "prior",
    "out_of_step",
    "title",
    "to_mind",
    "reasons",
    "before_at_least",
    "grade_is_given",
];

/// Whether a column is of numbers.
#[must_use]
pub fn is_of_numbers(heading: &str) -> bool {
    !WORDS.contains(&heading)
}

/// The row of a part of a club; spans are the outer years of the bands, `to` blank where one reaches behind the axis;
/// all are blank where no clue was read, and the middle and the average year where there are several answers.
/// With `reasons`, which an account has to be worked out for, what speaks for the years and against them.
#[must_use]
pub fn row(answered: &Answered<'_>, before: Option<i32>, reasons: bool) -> Vec<String> {
    let (club, dating) = (answered.asked.club(), &answered.dating);
    let given =
        |year: fn(&KnownDate) -> i32| answered.given.as_ref().map_or_else(String::new, |date| year(date).to_string());
    // The year behind the axis stands for all after it, and a cell has no place to say so: a band is open there.
    let last = dating.posterior.axis().last();
    let on_axis = |year: i32| if year > last { String::new() } else { year.to_string() };
    // The middle of the prior, or of two answers, is no date.
    let is_one = dating.has_evidence() && !dating.has_two_answers();
    let mut row = vec![
        club.id.clone(),
        dating.part.word().to_owned(),
        date_line(dating),
        edtf(dating),
        if is_one { on_axis(dating.posterior.median()) } else { String::new() },
        if is_one { format!("{:.1}", dating.posterior.mean()) } else { String::new() },
    ];
    for band in &dating.bands {
        let ends = [band.from().to_string(), on_axis(band.to())];
        row.extend(if dating.has_evidence() { ends } else { [const { String::new() }; 2] });
    }
    let out_of_step: Vec<&str> = dating.out_of_step.iter().map(|clue| clue.clue.as_str()).collect();
    let sentences = || grounds_sentences(answered, &Grounds::of(&answered.asked, dating)).join(" ");
    row.extend([
        dating.prior.clone(),
        if is_one && !dating.flat.is_split() { on_axis(dating.flat.median) } else { String::new() },
        before.map_or_else(String::new, |year| year.to_string()),
        before.map_or_else(String::new, |year| format!("{:.3}", dating.posterior.probability_before(year))),
        if dating.has_evidence() { format!("{:.3}", dating.posterior.after()) } else { String::new() },
        out_of_step.join(" "),
        given(KnownDate::from),
        given(KnownDate::to),
        given(|date| i32::from(date.grade().number())),
        club.text.get("title").cloned().unwrap_or_default(),
        of_part(answered).join("; "),
        if reasons { sentences() } else { String::new() },
        before.map_or_else(String::new, |year| yes_or_no(is_at_least(dating, year))),
        answered.given.as_ref().map_or_else(String::new, |date| yes_or_no(!date.has_assumed_grade())),
    ]);
    row
}

fn yes_or_no(holds: bool) -> String {
    if holds { "yes" } else { "no" }.to_owned()
}

/// A row as CSV has it: words that a spreadsheet would take for a formula are marked as text.
#[must_use]
pub fn guarded(row: Vec<String>) -> Vec<String> {
    let guard = |(heading, text): (&&str, String)| {
        let is_formula = !is_of_numbers(heading) && text.starts_with(['=', '+', '-', '@', '\t']);
        if is_formula { format!("'{text}") } else { text }
    };
    HEADINGS.iter().zip(row).map(guard).collect()
}
