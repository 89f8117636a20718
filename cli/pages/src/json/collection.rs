//! A whole collection, as JSON.

use crate::json::shared::{CalibrationName, SCHEMA};
use crate::words::look_again::look_reason;
use agewright_files::LoadedCalibration;
use agewright_model::questions::overview::{ClubStatus, Overview, OverviewClub};
use serde::Serialize;

/// A whole collection, dated.
#[derive(Debug, Serialize)]
pub struct CollectionAnswer {
    schema: u32,
    part: &'static str,
    calibration: CalibrationName,
    prior: String,
    clubs: Vec<ClubAnswer>,
    by_row: Vec<RowAnswer>,
    /// Rows within the collection's span that may well hold no club.
    thin: Vec<[i32; 2]>,
    look_again: Vec<LookAgainAnswer>,
}

#[derive(Debug, Serialize)]
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
}

#[derive(Debug, Serialize)]
struct RowAnswer {
    from: i32,
    to: i32,
    expected: f64,
    /// Fewest and most at 80 %.
    fewest: usize,
    most: usize,
    at_least_one: f64,
}

#[derive(Debug, Serialize)]
struct LookAgainAnswer {
    id: String,
    reasons: Vec<String>,
    look_at: Option<String>,
    expected_bits: Option<f64>,
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
        };
        let rows = overview.rows.iter().map(|row| {
            let (fewest, most) = row.count.band(0.8);
            let (expected, at_least_one) = (row.count.mean(), row.count.at_least_one());
            RowAnswer { from: row.from, to: row.to, expected, fewest, most, at_least_one }
        });
        let look_again = overview.look_again.iter().map(|again| LookAgainAnswer {
            id: again.id.clone(),
            reasons: again.reasons.iter().map(|reason| look_reason(loaded.calibration.catalogue(), reason)).collect(),
            look_at: again.look.as_ref().map(|(clue, _)| clue.clone()),
            expected_bits: again.look.as_ref().map(|(_, bits)| *bits),
        });
        Self {
            schema: SCHEMA,
            part: overview.part.word(),
            calibration: CalibrationName::of(loaded),
            prior: overview.prior.clone(),
            clubs: overview.clubs.iter().map(club).collect(),
            by_row: rows.collect(),
            thin: overview.thin.iter().map(|&ix| [overview.rows[ix].from, overview.rows[ix].to]).collect(),
            look_again: look_again.collect(),
        }
    }
}
