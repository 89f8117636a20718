//! A whole collection, as JSON.

use crate::json::shared::{CalibrationName, Given, SCHEMA};
use crate::words::look_again::look_reason;
use agewright_files::LoadedCalibration;
use agewright_model::questions::counts_by_decade::UncertainCount;
use agewright_model::questions::overview::{ClubStatus, Overview, OverviewClub};
use serde::Serialize;

/// A whole collection, dated.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct CollectionAnswer {
    schema: u32,
    part: &'static str,
    calibration: CalibrationName,
    prior: String,
    clubs: Vec<ClubAnswer>,
    by_row: Vec<RowAnswer>,
    /// What is after the years, where the calibration says something of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    after: Option<AfterAnswer>,
    /// Rows within the collection's span that may well hold no club.
    thin: Vec<[i32; 2]>,
    look_again: Vec<LookAgainAnswer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClubAnswer {
    id: String,
    /// Whether the years are those given with the club.
    known: bool,
    date_line: String,
    two_answers: bool,
    undated: bool,
    median: i32,
    from: i32,
    to: i32,
    /// The date that is given with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    given: Option<Given>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct RowAnswer {
    from: i32,
    to: i32,
    #[serde(flatten)]
    count: CountAnswer,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct AfterAnswer {
    from: i32,
    #[serde(flatten)]
    count: CountAnswer,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct CountAnswer {
    expected: f64,
    /// Fewest and most at 80 %.
    fewest: usize,
    most: usize,
    at_least_one: f64,
}

impl CountAnswer {
    fn of(count: &UncertainCount) -> Self {
        let (fewest, most) = count.band(0.8);
        Self { expected: count.mean(), fewest, most, at_least_one: count.at_least_one() }
    }
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct LookAgainAnswer {
    id: String,
    reasons: Vec<String>,
    look_at: Option<String>,
    expected_bits: Option<f64>,
    /// Years in the 80 % band that may be expected after that look, and their number now.
    expected_width: Option<f64>,
    width_now: Option<i32>,
}

impl CollectionAnswer {
    /// Everything that an overview holds.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, overview: &Overview) -> Self {
        let club = |club: &OverviewClub| ClubAnswer {
            id: club.id.clone(),
            known: club.status == ClubStatus::Known,
            date_line: club.date_line.clone(),
            two_answers: club.status == ClubStatus::TwoAnswers,
            undated: club.status == ClubStatus::Undated,
            median: club.median,
            from: club.from,
            to: club.to,
            given: club.given.as_ref().map(Given::of),
        };
        let rows = overview.rows.iter().map(|row| RowAnswer {
            from: row.from,
            to: row.to,
            count: CountAnswer::of(&row.count),
        });
        let axis = loaded.calibration.catalogue().axis();
        let after = overview.after.as_ref();
        let look_again = overview.look_again.iter().map(|again| LookAgainAnswer {
            id: again.id.clone(),
            reasons: again.reasons.iter().map(|reason| look_reason(loaded.calibration.catalogue(), reason)).collect(),
            look_at: again.look.as_ref().map(|look| look.clue.clone()),
            expected_bits: again.look.as_ref().map(|look| look.bits),
            expected_width: again.look.as_ref().map(|look| look.years),
            width_now: again.look.as_ref().map(|look| look.years_now),
        });
        Self {
            schema: SCHEMA,
            part: overview.part.word(),
            calibration: CalibrationName::of(loaded),
            prior: overview.prior.clone(),
            clubs: overview.clubs.iter().map(club).collect(),
            by_row: rows.collect(),
            after: after.map(|count| AfterAnswer { from: axis.to(), count: CountAnswer::of(count) }),
            thin: overview.thin.iter().map(|&ix| [overview.rows[ix].from, overview.rows[ix].to]).collect(),
            look_again: look_again.collect(),
        }
    }
}
