//! Checks of agewright against things outside the project; each file is one kind of source.
//!
//! Here stands only what several of them need: the demo of the project, and small clubs and calibrations.

use agewright_model::{Calibration, Catalogue, Cell, Club, Dating, DatingOptions, Part};

/// Catalogue of the demo.
pub const DEMO_CATALOGUE: &str = include_str!("../../demo-data/irons.toml");
/// Dated clubs of the demo.
pub const DEMO_COLLECTION: &str = include_str!("../../demo-data/wrackness.csv");
/// Calibration of the demo.
pub const DEMO_CALIBRATION: &str = include_str!("../../demo-data/demo-calibration.toml");

/// The demo's calibration, read.
///
/// # Panics
/// When the committed file is not accepted.
#[must_use]
pub fn demo_calibration() -> Calibration {
    agewright::read_calibration_text(DEMO_CALIBRATION).unwrap_or_else(|error| panic!("{error}"))
}

/// A club of readings by clue id.
///
/// # Panics
/// When a reading is not accepted.
#[must_use]
pub fn club(catalogue: &Catalogue, readings: &[(&str, &str)]) -> Club {
    let mut club = Club { id: "test".to_owned(), ..Club::default() };
    club.cells = vec![Cell::NotExamined; catalogue.clues.len()];
    for (id, text) in readings {
        let ix = catalogue.clue_ix(id).unwrap_or_else(|| panic!("no clue {id}"));
        let cell = Cell::from_text(&catalogue.clues[ix], text, false);
        club.cells[ix] = cell.unwrap_or_else(|error| panic!("{error}"));
    }
    club
}

/// Dates the head of a club of at most twenty clues.
///
/// # Panics
/// When the prior is unknown.
#[must_use]
pub fn date(calibration: &Calibration, club: &Club, prior: Option<&str>) -> Dating {
    let options = DatingOptions {
        prior,
        without: &[],
        exact_up_to: agewright_model::EXACT_CLUES,
        orders: &|_| panic!("at most twenty clues here"),
    };
    Dating::of(calibration, club, Part::Head, options).unwrap_or_else(|error| panic!("{error}"))
}

/// Dates the head of a club given by its readings.
#[must_use]
pub fn date_readings(calibration: &Calibration, readings: &[(&str, &str)], prior: Option<&str>) -> Dating {
    date(calibration, &club(&calibration.catalogue, readings), prior)
}
