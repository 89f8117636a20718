//! A clue entered twice must not narrow the answer, and a clue of pure noise must not spoil it.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{AuditPlan, DatedClub, FitSettings, audit, fit};
use agewright_model::{Calibration, Catalogue, ClueKind, Posterior, Reading, Seen};
use external_checks::{DEMO_CATALOGUE, DEMO_COLLECTION};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, StandardNormal};

fn demo() -> (Catalogue, Vec<DatedClub>) {
    let catalogue = external_checks::catalogue(DEMO_CATALOGUE);
    let clubs = external_checks::dated_clubs(DEMO_COLLECTION, &catalogue);
    (catalogue, clubs)
}

/// The catalogue and clubs with one clue more, read by `cell` from the club's place and its cells.
fn with_clue(
    catalogue: &Catalogue,
    clubs: &[DatedClub],
    clue: agewright_model::Clue,
    mut cell: impl FnMut(&DatedClub) -> agewright_model::Cell,
) -> (Catalogue, Vec<DatedClub>) {
    let mut clues = catalogue.clues().to_vec();
    clues.push(clue);
    let catalogue = Catalogue::new(catalogue.name(), catalogue.axis(), clues).unwrap();
    let clubs = clubs.iter().map(|club| club.with_cell(club.club.cells.len(), cell(club))).collect();
    (catalogue, clubs)
}

fn mean_width(calibration: &Calibration, clubs: &[DatedClub]) -> f64 {
    let prior = calibration.prior(Some("as-collected")).unwrap();
    let width = |club: &DatedClub| {
        let evidence = external_checks::evidence(calibration, &club.club);
        let ln = evidence.ln_likelihood(|_| true);
        let band = Posterior::new(calibration.catalogue().axis(), &[prior.ln_by_year(), &ln]).band(0.8);
        band.intervals.iter().map(|run| f64::from(run.to - run.from + 1)).sum::<f64>()
    };
    clubs.iter().map(width).sum::<f64>() / clubs.len() as f64
}

fn fitted(catalogue: &Catalogue, clubs: &[DatedClub]) -> Calibration {
    fit(catalogue, clubs, &FitSettings::default()).unwrap().calibration
}

#[test]
fn a_clue_entered_twice_does_not_narrow_the_band_by_more_than_15_per_cent() {
    let (catalogue, clubs) = demo();
    let once = mean_width(&fitted(&catalogue, &clubs), &clubs);
    for id in ["hosel_to_crease", "top_edge", "nicking_regularity", "marks_on_head", "face_scoring"] {
        let ix = catalogue.clue_ix(id).unwrap();
        let clue = agewright_model::Clue { id: format!("{id}_again"), ..catalogue.clues()[ix].clone() };
        let (twice_catalogue, twice_clubs) = with_clue(&catalogue, &clubs, clue, |club| club.club.cells[ix].clone());
        let twice = mean_width(&fitted(&twice_catalogue, &twice_clubs), &twice_clubs);
        assert!(twice > 0.85 * once, "{id}: {once} years once, {twice} twice");
    }
}

#[test]
fn a_clue_of_noise_does_not_worsen_the_crps_by_more_than_2_per_cent() {
    let (catalogue, clubs) = demo();
    let crps = |catalogue: &Catalogue, clubs: &[DatedClub]| {
        audit(catalogue, clubs, &FitSettings::default(), AuditPlan::Folds(5), 1, &|| {}).unwrap().means()[0].crps
    };
    let plain = crps(&catalogue, &clubs);
    let ix = catalogue.clue_ix("sole_width").unwrap();
    assert_eq!(catalogue.clues()[ix].kind, ClueKind::Measured);
    let mut sum = 0.0;
    let seeds = 3;
    for seed in 0..seeds {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let clue = agewright_model::Clue { id: "noise".into(), range: None, ..catalogue.clues()[ix].clone() };
        let noise = |_: &DatedClub| {
            let z: f64 = StandardNormal.sample(&mut random);
            let seen = Seen::Measure { value: (0.2 * z).exp(), tolerance: None };
            agewright_model::Cell::Read(Reading { text: "noise".into(), seen, doubtful: false })
        };
        let (catalogue, clubs) = with_clue(&catalogue, &clubs, clue, noise);
        sum += crps(&catalogue, &clubs);
    }
    let with_noise = sum / seeds as f64;
    assert!(with_noise < 1.02 * plain, "crps {plain} without and {with_noise} with noise");
}
