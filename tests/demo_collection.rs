//! The demo is what its generator writes, says that it is invented, and is answered alike in any order.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{FitSettings, fit};
use external_checks::{DEMO_CATALOGUE, DEMO_COLLECTION, date};

#[test]
fn the_demo_collection_is_what_its_generator_writes() {
    let mut made = Vec::new();
    invented_irons::write_collection(&mut made, 1).unwrap();
    assert!(
        String::from_utf8(made).unwrap() == DEMO_COLLECTION,
        "run: cargo run -p invented-irons > demo-data/wrackness.csv"
    );
}

#[test]
fn every_club_of_the_demo_says_that_it_is_invented() {
    for line in DEMO_COLLECTION.lines().skip(1) {
        assert!(line.contains("Invented for the demo"), "{line}");
    }
}

/// Neither the order of the clubs in the table nor that of the clues in the catalogue changes an answer.
#[test]
fn the_order_of_rows_and_of_the_catalogue_changes_no_answer() {
    let catalogue = external_checks::catalogue(DEMO_CATALOGUE);
    let clubs = external_checks::dated_clubs(DEMO_COLLECTION, &catalogue);
    let mut lines: Vec<&str> = DEMO_COLLECTION.lines().collect();
    lines[1..].reverse();
    lines[1..].rotate_left(37);
    let mut clues = catalogue.clues().to_vec();
    clues.rotate_left(7);
    let turned = agewright_model::Catalogue::new(catalogue.name(), catalogue.axis(), clues).unwrap();
    let turned_clubs = external_checks::dated_clubs(&(lines.join("\n") + "\n"), &turned);
    let settings = FitSettings::default();
    let fitted = fit(&catalogue, &clubs, &settings).unwrap().calibration;
    let turned_fit = fit(&turned, &turned_clubs, &settings).unwrap().calibration;
    for club in clubs.iter().step_by(7) {
        let same = turned_clubs.iter().find(|other| other.club.id == club.club.id).unwrap();
        let (a, b) = (date(&fitted, &club.club, None), date(&turned_fit, &same.club, None));
        for (p, q) in a.posterior.by_year().iter().zip(b.posterior.by_year()) {
            assert!((p - q).abs() < 1e-6, "{}: {p} and {q}", club.club.id);
        }
    }
}
