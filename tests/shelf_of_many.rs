//! A shelf of very many clubs: what is fitted on a sample of them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{FitMethod, FitSettings, fit};
use external_checks::{DEMO_CATALOGUE, DEMO_COLLECTION, catalogue, dated_clubs};

/// Beside a shelf exponents are fitted on a sample of many clubs, and the report says so; all clubs are on the shelf.
#[test]
fn exponents_of_many_clubs_are_fitted_on_a_sample() {
    let catalogue = catalogue(DEMO_CATALOGUE);
    let clubs = dated_clubs(DEMO_COLLECTION, &catalogue);
    let fitted = |most_weighed: usize, shelf: bool| {
        let method = FitMethod { most_weighed, shelf, ..FitMethod::default() };
        fit(&catalogue, &clubs, &FitSettings { method, ..FitSettings::default() }).unwrap()
    };
    let weights = |fitted: &agewright_calibration::Fit| {
        let tables = fitted.calibration.tables();
        let own = tables.own_tables().map(|table| table.weight);
        own.chain(tables.blocks.iter().map(|block| block.weight)).collect::<Vec<f64>>()
    };
    let (all, some, few) = (fitted(124, true), fitted(100, true), fitted(20, true));
    assert_eq!([&all, &some, &few].map(|fit| fit.report.weighed_on), [None, Some(100), Some(20)]);
    assert_eq!(few.calibration.shelf().unwrap().clubs.len(), 124);
    let furthest = |other: &agewright_calibration::Fit| {
        weights(&all).iter().zip(weights(other)).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    };
    assert!(
        furthest(&some) > 0.0 && furthest(&some) < 0.25 && furthest(&few) < 0.5,
        "{} {}",
        furthest(&some),
        furthest(&few)
    );
    // Tables alone are weighed on every club.
    let (all, few) = (fitted(124, false), fitted(20, false));
    assert_eq!(few.report.weighed_on, None);
    assert!(weights(&all) == weights(&few));
}
