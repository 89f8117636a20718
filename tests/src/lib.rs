//! Checks of agewright against things outside the project; each file is one kind of source.
//!
//! Here stands only what several of them need: the demo of the project, the starter rules, and small clubs and
//! calibrations.

pub mod open_sets;

use agewright_calibration::DatedClub;
use agewright_files::{LoadedCalibration, SourceText, TableOptions, built_in, read_collection};
use agewright_model::{Accounting, Asked, Calibration, CalibrationContents, Catalogue, Club, Dating, Evidence, Ledger};
use agewright_model::{Origin, Part, Posterior, Prior, TableSet};
use std::sync::LazyLock;

/// Catalogue of the demo.
pub const DEMO_CATALOGUE: &str = include_str!("../../demo-data/irons.toml");
/// Dated clubs of the demo.
pub const DEMO_COLLECTION: &str = include_str!("../../demo-data/wrackness.csv");
/// Calibration of the demo.
pub const DEMO_CALIBRATION: &str = include_str!("../../demo-data/demo-calibration.toml");

/// The starter rules that are built in.
pub static STARTER: LazyLock<Calibration> =
    LazyLock::new(|| built_in().unwrap_or_else(|refused| panic!("{refused}")).calibration);

/// The demo's calibration, read.
///
/// # Panics
/// When the committed file is not accepted.
#[must_use]
pub fn demo_calibration() -> Calibration {
    let source = SourceText::new("demo-calibration.toml", DEMO_CALIBRATION);
    LoadedCalibration::read(&source).unwrap_or_else(|refused| panic!("{refused}")).calibration
}

/// A catalogue of a text.
///
/// # Panics
/// When it is not accepted.
#[must_use]
pub fn catalogue(text: &str) -> Catalogue {
    let source = SourceText::new("catalogue", text);
    agewright_files::read_catalogue(&source).unwrap_or_else(|refused| panic!("{refused}"))
}

/// The dated clubs of a table.
///
/// # Panics
/// When it is not accepted.
#[must_use]
pub fn dated_clubs(text: &str, catalogue: &Catalogue) -> Vec<DatedClub> {
    let read = read_collection(&SourceText::new("collection", text), catalogue, &TableOptions::default());
    read.unwrap_or_else(|refused| panic!("{refused}")).dated()
}

/// Contents of a calibration without a table, under the flat prior.
#[must_use]
pub fn bare(catalogue: Catalogue) -> CalibrationContents {
    CalibrationContents {
        name: "test".to_owned(),
        catalogue,
        origin: Origin::default(),
        tables: TableSet::default(),
        marks: Vec::new(),
        parts: None,
        shelf: None,
        shared_lag: 0.0,
        default_prior: Prior::FLAT.to_owned(),
        draws: Vec::new(),
    }
}

/// A calibration with something about it changed.
///
/// # Panics
/// When it makes no calibration any more.
#[must_use]
pub fn changed(calibration: &Calibration, change: impl FnOnce(&mut CalibrationContents)) -> Calibration {
    let mut contents = calibration.clone().into_contents();
    change(&mut contents);
    Calibration::new(contents).unwrap_or_else(|error| panic!("{error}"))
}

/// The same tables, every exponent 1 and without a shelf: as clubs are drawn from them.
#[must_use]
pub fn unweighed(calibration: &Calibration) -> Calibration {
    changed(calibration, |contents| {
        contents.shared_lag = 0.0;
        contents.shelf = None;
        contents.tables.levels.iter_mut().for_each(|table| table.weight = 1.0);
        contents.tables.blocks.iter_mut().for_each(|block| block.weight = 1.0);
    })
}

/// A club of readings by clue id.
///
/// # Panics
/// When a reading is not accepted.
#[must_use]
pub fn club(catalogue: &Catalogue, readings: &[(&str, &str)]) -> Club {
    catalogue.club("test", readings).unwrap_or_else(|error| panic!("{error}"))
}

/// What is asked of a part of a club.
///
/// # Panics
/// When the prior is unknown.
#[must_use]
pub fn ask<'a>(calibration: &'a Calibration, club: &'a Club, part: Part, prior: Option<&str>) -> Asked<'a> {
    Asked::new(calibration, club, part, prior, &[]).unwrap_or_else(|error| panic!("{error}"))
}

/// Evidence of the head of a club.
#[must_use]
pub fn evidence(calibration: &Calibration, club: &Club) -> Evidence {
    ask(calibration, club, Part::Head, None).evidence().clone()
}

/// Posterior of the head's year.
#[must_use]
pub fn posterior(calibration: &Calibration, club: &Club, prior: Option<&str>) -> Posterior {
    let asked = ask(calibration, club, Part::Head, prior);
    Posterior::of(asked.evidence(), asked.prior(), |_| true)
}

/// Dates a part of a club.
///
/// # Panics
/// When the prior is unknown.
#[must_use]
pub fn date_part(calibration: &Calibration, club: &Club, part: Part, prior: Option<&str>) -> Dating {
    Dating::of(&ask(calibration, club, part, prior))
}

/// The exact account of a part of a club of at most twenty clues.
///
/// # Panics
/// When the prior is unknown, or for more clues.
#[must_use]
pub fn account(calibration: &Calibration, club: &Club, part: Part, prior: Option<&str>) -> Ledger {
    let how = Accounting::by_orders(&|_| panic!("at most twenty clues here"));
    Ledger::of(&ask(calibration, club, part, prior), how)
}

/// Dates the head of a club.
#[must_use]
pub fn date(calibration: &Calibration, club: &Club, prior: Option<&str>) -> Dating {
    date_part(calibration, club, Part::Head, prior)
}

/// Dates the head of a club given by its readings.
#[must_use]
pub fn date_readings(calibration: &Calibration, readings: &[(&str, &str)], prior: Option<&str>) -> Dating {
    date(calibration, &club(calibration.catalogue(), readings), prior)
}
