//! A whole collection, as text.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use crate::words::given_date::given_years;
use crate::words::given_date::grade_in_words;
use crate::words::look_again::look_reason;
use crate::words::shared_lag::lag_words;
use crate::words::sources::prior_words;
use crate::words::verbal::percent;
use crate::words::years::{answer_year, row_name, row_word};
use agewright_model::questions::counts_by_decade::{RowCount, UncertainCount};
use agewright_model::questions::overview::{ClubStatus, Overview, OverviewClub, is_known};
use agewright_model::{Calibration, KnownDate};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Rows of years that are sure to be empty are not printed.
const NOTHING: f64 = 0.005;

/// The text; `noted` is what is noted of all clubs, `elsewhere` the lag in years of clubs that are said to be from
/// another region.
#[must_use]
pub fn collection_text(
    page: Page,
    calibration: &Calibration,
    overview: &Overview,
    noted: Option<&str>,
    elsewhere: Option<f64>,
) -> String {
    let (known, undated) = (overview.count(ClubStatus::Known), overview.count(ClubStatus::Undated));
    let mut out = format!("Clubs: {}, {known} of known date", overview.clubs.len());
    if undated > 0 {
        let _ = write!(out, ", {undated} without a clue of date and not counted below");
    }
    let noted = noted.map_or_else(String::new, |noted| format!("{}\n", page.wrapped(noted, "  ")));
    out = format!("{}\n{noted}\n", page.wrapped(&out, "  "));
    let row = |club: &OverviewClub| {
        let date = if club.status == ClubStatus::Known {
            format!("{} (known)", club.date_line)
        } else {
            club.date_line.clone()
        };
        let median = match club.status {
            ClubStatus::Known | ClubStatus::Dated => answer_year(calibration.catalogue().axis(), club.median),
            ClubStatus::TwoAnswers | ClubStatus::Undated => "-".to_owned(),
        };
        vec![club.id.clone(), median, date]
    };
    let rows = overview.clubs.iter().map(row).collect();
    let _ = writeln!(out, "{}", page.table(&["Club", "Middle year", "Date"], rows, &[1]));
    grades_text(page, &mut out, overview);
    counts_text(page, &mut out, calibration, overview);
    look_again_text(page, &mut out, calibration, overview);
    let _ = write!(out, "\n{}", closing(page, calibration, overview, elsewhere));
    out
}

/// How well the dates are known that are given with the clubs, and which of them are opinions.
fn grades_text(page: Page, out: &mut String, overview: &Overview) {
    let mut by_grade: BTreeMap<u8, Vec<(&OverviewClub, KnownDate)>> = BTreeMap::new();
    for (club, date) in overview.clubs.iter().filter_map(|club| Some((club, club.given?))) {
        by_grade.entry(date.grade().number()).or_default().push((club, date));
    }
    if by_grade.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nDates given with them, by how well they are known\n");
    for (number, clubs) in by_grade {
        let Some((_, first)) = clubs.first() else { continue };
        let assumed = clubs.iter().filter(|(_, date)| date.has_assumed_grade()).count();
        let mut text =
            format!("Grade {number}, {}: {}", grade_in_words(first.grade()), counted(clubs.len(), "club", "clubs"));
        if assumed > 0 {
            let _ = write!(text, " ({assumed} taken so, no grade being given)");
        }
        if !is_known(first) {
            let named = |is_undated: bool| {
                let those = clubs.iter().filter(|(club, _)| (club.status == ClubStatus::Undated) == is_undated);
                those.map(|(club, date)| format!("{} ({})", club.id, given_years(date))).collect::<Vec<_>>().join("; ")
            };
            let [dated, undated] = [false, true].map(named);
            for (how, named) in [(", dated here by their clues: ", dated), ("; no clue of date on: ", undated)] {
                if !named.is_empty() {
                    let _ = write!(text, "{how}{named}");
                }
            }
        }
        let _ = writeln!(out, "{}", page.wrapped(&format!("{text}."), "  "));
    }
}

fn counts_text(page: Page, out: &mut String, calibration: &Calibration, overview: &Overview) {
    let step = calibration.catalogue().axis().step();
    let _ = writeln!(out, "\nHow many by {}\n", row_word(step));
    let name = |row: &RowCount| row_name(row.from, row.to, step);
    let rows = overview.rows.iter().enumerate().filter(|(_, row)| row.count.at_least_one() >= NOTHING);
    let line = |name: String, count: &UncertainCount, thin: &str| {
        let (fewest, most) = count.band(0.8);
        let band = if fewest == most { fewest.to_string() } else { format!("{fewest} to {most}") };
        vec![name, format!("{:.1}", count.mean()), band, percent(count.at_least_one()), thin.to_owned()]
    };
    let thin = |ix| if overview.thin.contains(&ix) { "thin" } else { "" };
    let mut rows: Vec<Vec<String>> = rows.map(|(ix, row)| line(name(row), &row.count, thin(ix))).collect();
    let axis = calibration.catalogue().axis();
    let after = overview.after.as_ref().filter(|count| count.at_least_one() >= NOTHING);
    rows.extend(after.map(|count| line(answer_year(axis, axis.to()), count, "")));
    let headings = ["Years", "Expected", "4 in 5", "One or more", ""];
    let _ = writeln!(out, "{}", page.table(&headings, rows, &[1, 2, 3]));
    let thin: Vec<String> = overview.thin.iter().map(|&ix| name(&overview.rows[ix])).collect();
    let text = if thin.is_empty() {
        "No decade within the collection's span is thin.".to_owned()
    } else {
        format!(
            "Thin (between the first and the last decade that more likely than not hold a club, at least one chance in \
             five of none): {}.",
            thin.join(", ")
        )
    };
    let _ = writeln!(out, "\n{}", page.wrapped(&text, "  "));
}

fn look_again_text(page: Page, out: &mut String, calibration: &Calibration, overview: &Overview) {
    if overview.look_again.is_empty() {
        let _ = writeln!(out, "\nNo club asks for another look.");
        return;
    }
    let _ = writeln!(out, "\nWorth another look\n");
    for club in &overview.look_again {
        let reasons = club.reasons.iter().map(|reason| look_reason(calibration.catalogue(), reason));
        let mut text = format!("{}: {}", club.id, reasons.collect::<Vec<_>>().join("; "));
        if let Some(look) = club.look.as_ref().filter(|look| look.helps) {
            let name = calibration.catalogue().name_of(&look.clue);
            let _ = write!(
                text,
                ". Next: {name} (years in question {} now, about {:.0} after it)",
                look.years_now, look.years
            );
        }
        let _ = writeln!(out, "{}", page.wrapped(&text, "  "));
    }
}

fn closing(page: Page, calibration: &Calibration, overview: &Overview, elsewhere: Option<f64>) -> String {
    let other = calibration.collection_prior().filter(|prior| prior.name != overview.prior);
    let other = other.map_or_else(String::new, |prior| {
        let of = if prior.about.is_empty() { "a whole collection" } else { &prior.about };
        format!(" For {of} there is --prior {}.", prior.name)
    });
    let text = format!(
        "Counts are sums of chances, not of best guesses, the clubs taken as independent; a club of known date counts \
         in its own years, and one that the calibration was fitted on is dated too surely. Prior (how clubs are \
         spread over the years before any clue): {}.{other}",
        prior_words(calibration, &overview.prior)
    );
    let lag = lag_words(calibration.shared_lag(), elsewhere);
    let lag = lag.map_or_else(String::new, |sentence| format!("{}\n", page.wrapped(&sentence, "  ")));
    format!("{}\n{lag}{}", page.wrapped(&text, "  "), page.source_lines(calibration))
}
