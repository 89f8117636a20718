//! The answer as a row of a table.

use crate::words::answered::Answered;
use crate::words::date_line::date_line;
use crate::words::edtf::edtf;
use agewright_model::KnownDate;

/// Headings of the table.
pub const HEADINGS: [&str; 20] = [
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
];

/// One club's row; spans are the outer years of the bands, `to` blank where one
/// reaches behind the axis.
#[must_use]
pub fn row(answered: &Answered<'_>, before: Option<i32>) -> Vec<String> {
    let (club, dating) = (answered.asked.club(), &answered.dating);
    let given =
        |year: fn(&KnownDate) -> i32| answered.given.as_ref().map_or_else(String::new, |date| year(date).to_string());
    // The year behind the axis stands for all after it, and a cell has no place to say so: a band is open there.
    let last = dating.posterior.axis().last();
    let on_axis = |year: i32| if year > last { String::new() } else { year.to_string() };
    let mut row = vec![
        guarded(&club.id),
        dating.part.word().to_owned(),
        date_line(dating),
        edtf(dating),
        on_axis(dating.posterior.median()),
        format!("{:.1}", dating.posterior.mean()),
    ];
    for band in &dating.bands {
        row.extend([band.from().to_string(), on_axis(band.to())]);
    }
    let out_of_step: Vec<&str> = dating.out_of_step.iter().map(|clue| clue.clue.as_str()).collect();
    row.extend([
        dating.prior.clone(),
        on_axis(dating.flat_median),
        before.map_or_else(String::new, |year| year.to_string()),
        before.map_or_else(String::new, |year| format!("{:.3}", dating.posterior.probability_before(year))),
        format!("{:.3}", dating.posterior.after()),
        out_of_step.join(" "),
        given(KnownDate::from),
        given(KnownDate::to),
    ]);
    row
}

/// A cell that a spreadsheet would take for a formula is marked as text.
fn guarded(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t']) { format!("'{text}") } else { text.to_owned() }
}
