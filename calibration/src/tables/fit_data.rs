//! The readings of a collection in the form that the fits need, made once and shared by every fold.

use crate::dated::date_spread::DateSpread;
use crate::dated::dated_club::DatedClub;
use crate::tables::level_fit::LevelReading;
use crate::tables::measured_fit::MeasuredReading;
use crate::tables::method::FitMethod;
use crate::tables::rules::Rules;
use agewright_model::reading::misread::DOUBTFUL_MISREAD;
use agewright_model::{Catalogue, ClueKind, Reading, Seen};

/// Readings of one clue over all clubs, in the order of the clubs.
#[derive(Debug, Clone)]
pub(crate) enum ClueReadings {
    Levels(Vec<LevelReading>),
    Measured(Vec<MeasuredReading>),
}

/// Clubs that count, with their readings by clue.
#[derive(Debug, Clone)]
pub(crate) struct FitData<'a> {
    pub catalogue: &'a Catalogue,
    pub clubs: Vec<&'a DatedClub>,
    pub worths: Vec<f64>,
    /// One for each clue of the catalogue.
    pub readings: Vec<ClueReadings>,
    pub rules: Option<&'a Rules>,
    pub method: &'a FitMethod,
    /// Dates as given: even over each club's interval.
    pub dates: Vec<DateSpread>,
}

impl<'a> FitData<'a> {
    /// Clubs are taken in the order of their ids, so that nothing depends on the order of the table.
    pub fn new(
        catalogue: &'a Catalogue,
        mut clubs: Vec<&'a DatedClub>,
        rules: Option<&'a Rules>,
        method: &'a FitMethod,
    ) -> Self {
        clubs.sort_by(|a, b| a.club.id.cmp(&b.club.id));
        Self {
            rules,
            method,
            catalogue,
            worths: clubs.iter().map(|club| club.worth()).collect(),
            readings: (0..catalogue.clues().len()).map(|ix| clue_readings(catalogue, ix, &clubs)).collect(),
            dates: clubs.iter().map(|club| DateSpread::even(catalogue.axis(), club)).collect(),
            clubs,
        }
    }

    pub fn n_clubs(&self) -> usize {
        self.clubs.len()
    }
}

/// A doubtful reading counts for the chance that it is right.
fn worth_of(club: &DatedClub, reading: &Reading) -> f64 {
    if reading.doubtful { club.worth() * (1.0 - DOUBTFUL_MISREAD) } else { club.worth() }
}

fn clue_readings(catalogue: &Catalogue, ix: usize, clubs: &[&DatedClub]) -> ClueReadings {
    let clue = &catalogue.clues()[ix];
    let readings = clubs.iter().enumerate().filter_map(|(club, dated)| {
        let reading = dated.club.cells.get(ix)?.reading()?;
        Some((club, worth_of(dated, reading), &reading.seen))
    });
    if clue.kind == ClueKind::Measured {
        let place = |seen: &Seen| match seen {
            Seen::Measure { value, .. } => clue.scale.place(*value),
            _ => None,
        };
        let readings =
            readings.filter_map(|(club, worth, seen)| Some(MeasuredReading { club, worth, place: place(seen)? }));
        ClueReadings::Measured(readings.collect())
    } else {
        let readings = readings.filter_map(|(club, worth, seen)| match seen {
            Seen::Levels(levels) => Some(LevelReading { club, worth, levels: levels.clone() }),
            _ => None,
        });
        ClueReadings::Levels(readings.collect())
    }
}
