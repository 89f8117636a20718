//! Clubs of one set repeat one another: what is told of a collection of sets must be what fresh clubs will find.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::audit_scores::{AuditScores, ScoredDate};
use agewright_calibration::dated::folds::folds_by_date;
use agewright_calibration::dated::sets::Sets;
use agewright_calibration::tables::omissions::WhyLeftOut;
use agewright_calibration::{AuditPlan, DatedClub, FitError, FitSettings, Means, audit, draw_club, fit};
use agewright_model::{Calibration, Cell, Club, KnownDate, Part, Prior};
use external_checks::{DEMO_CATALOGUE, catalogue, demo_calibration, posterior};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeSet;

/// Clubs in sets of four: of one year, three in four readings the same in all of them.
fn sets_of_four(calibration: &Calibration, n_sets: usize, seed: u64) -> Vec<DatedClub> {
    let axis = calibration.catalogue().axis();
    let flat = calibration.prior(Some(Prior::FLAT)).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut clubs = Vec::new();
    for set in 0..n_sets {
        let (year, first) = draw_club(calibration, calibration.prior(None).unwrap(), &mut random);
        let name = format!("set {set}");
        let dated = |club: Club| DatedClub::new(club, KnownDate::new(axis, year, year, Default::default()).unwrap());
        for mate in 0..4 {
            // Another club of about that year, which gives the readings in which the mates differ.
            let other = loop {
                let (of, club) = draw_club(calibration, flat, &mut random);
                if of.abs_diff(year) <= 3 {
                    break club;
                }
            };
            let mut club = first.clone();
            club.id = format!("{seed}-{set:02}-{mate}");
            for (cell, other) in club.cells.iter_mut().zip(other.cells) {
                if mate > 0 && random.random::<f64>() < 0.25 {
                    *cell = other;
                }
            }
            clubs.push(dated(club).of_set(&name));
        }
    }
    clubs
}

fn alone(clubs: &[DatedClub]) -> Vec<DatedClub> {
    clubs.iter().map(|club| DatedClub { set: None, ..club.clone() }).collect()
}

/// Thirty sets of four, audited, against fresh clubs dated by the fit. Audited club by club, mates date one another.
#[test]
fn an_audit_of_sets_tells_what_fresh_clubs_find() {
    let (calibration, catalogue) = (demo_calibration(), catalogue(DEMO_CATALOGUE));
    let settings = FitSettings::default();
    let (mut of_sets, mut of_clubs, mut of_fresh) = (Vec::new(), Vec::new(), Vec::new());
    for seed in 0..4 {
        let clubs = sets_of_four(&calibration, 30, seed);
        let told = |clubs: &[DatedClub]| {
            let told = audit(&catalogue, clubs, &settings, AuditPlan::Folds(10), 1, &|| {}).unwrap();
            told.clubs.into_iter().map(|club| club.model).collect::<Vec<AuditScores>>()
        };
        of_sets.extend(told(&clubs));
        of_clubs.extend(told(&alone(&clubs)));
        let fitted = fit(&catalogue, &clubs, &settings).unwrap().calibration;
        for fresh in sets_of_four(&calibration, 60, 100 + seed).iter().step_by(4) {
            let answer = posterior(&fitted, &fresh.club, None);
            of_fresh.push(AuditScores::of(&answer, &ScoredDate::new(&answer, fresh.made_from(), fresh.made_to())));
        }
    }
    let [sets, clubs, fresh] = [of_sets, of_clubs, of_fresh].map(|scores| Means::of(scores.iter()));
    println!("sets {sets:?}\nclubs {clubs:?}\nfresh {fresh:?}");
    assert!((sets.crps / fresh.crps - 1.0).abs() < 0.1, "{} and {}", sets.crps, fresh.crps);
    assert!((sets.coverage[1] - fresh.coverage[1]).abs() < 0.06, "{:?} and {:?}", sets.coverage, fresh.coverage);
    assert!(clubs.crps < 0.9 * fresh.crps, "club by club it flatters: {} and {}", clubs.crps, fresh.crps);
}

/// Leave-one-out of sets against scikit-learn 1.6.1 (BSD licence): `GroupKFold(n_splits=5).split` of these twelve clubs
/// puts these together, as there are as many folds as groups.
#[test]
fn each_set_is_left_out_by_itself_as_by_scikit_learn() {
    // groups = ["a","a","b","c","b","a","d","e","d","d","e","c"]; test indices of the five splits, in its order.
    let stored: [&[usize]; 5] = [&[6, 8, 9], &[0, 1, 5], &[7, 10], &[3, 11], &[2, 4]];
    let names = ["a", "a", "b", "c", "b", "a", "d", "e", "d", "d", "e", "c"];
    let axis = demo_calibration().catalogue().axis();
    let dated = |(n, name): (usize, &&str)| {
        let year = 1800 + 7 * i32::try_from(n).unwrap();
        DatedClub::new(Club::default(), KnownDate::new(axis, year, year, Default::default()).unwrap()).of_set(name)
    };
    let clubs: Vec<DatedClub> = names.iter().enumerate().map(dated).collect();
    let middle: Vec<f64> = clubs.iter().map(|club| f64::from(club.made_from())).collect();
    let fold = folds_by_date(&middle, &["x"; 12], &Sets::of(clubs.iter()), 5);
    let together = |fold_of: &[usize]| -> BTreeSet<Vec<usize>> {
        (0..5).map(|out| (0..12).filter(|&club| fold_of[club] == out).collect()).collect()
    };
    assert_eq!(together(&fold), stored.iter().map(|split| split.to_vec()).collect());
    // With fewer folds than sets, a set is still in one.
    let fold = folds_by_date(&middle, &["x"; 12], &Sets::of(clubs.iter()), 3);
    assert!(
        names
            .iter()
            .enumerate()
            .all(|(n, name)| names.iter().position(|other| other == name).map(|first| fold[first]) == Some(fold[n]))
    );
}

/// A clue that was read on the clubs of one or two sets alone has no table: with one of them left out, nothing tells
/// how it spreads. All clubs in one set make no calibration.
#[test]
fn a_clue_of_too_few_sets_has_no_table() {
    let (calibration, catalogue) = (demo_calibration(), catalogue(DEMO_CATALOGUE));
    let clubs = sets_of_four(&calibration, 30, 9);
    let weight = catalogue.clue_ix("head_weight").unwrap();
    let read_on = |n_sets: usize| {
        let blind = |(n, club): (usize, &DatedClub)| {
            if n < 4 * n_sets { club.clone() } else { club.with_cell(weight, Cell::NotExamined) }
        };
        let clubs: Vec<DatedClub> = clubs.iter().enumerate().map(blind).collect();
        fit(&catalogue, &clubs, &FitSettings::default()).unwrap()
    };
    for n_sets in [1, 2] {
        let fitted = read_on(n_sets);
        assert!(fitted.report.left_out.iter().any(|one| one.clue == "head_weight" && one.why == WhyLeftOut::FewSets));
        assert!(fitted.calibration.tables().measured_table(Part::Head, "head_weight").is_none());
    }
    let fitted = read_on(8).calibration;
    let sd = fitted.tables().measured_table(Part::Head, "head_weight").unwrap().rows[8].sd;
    assert!(sd > 0.01 && sd < 0.5, "{sd}");
    let one: Vec<DatedClub> = clubs.iter().map(|club| club.clone().of_set("all")).collect();
    assert_eq!(fit(&catalogue, &one, &FitSettings::default()).err(), Some(FitError::OneSet));
}

/// Clubs of a held-out club's set are no part of the fit that dates it.
#[test]
fn mates_of_held_out_clubs_are_not_fitted_on() {
    let (calibration, catalogue) = (demo_calibration(), catalogue(DEMO_CATALOGUE));
    let clubs = sets_of_four(&calibration, 20, 11);
    let held: Vec<DatedClub> = clubs.iter().step_by(8).cloned().collect();
    let rest: Vec<DatedClub> = clubs.iter().filter(|club| !held.contains(club)).cloned().collect();
    let others: Vec<DatedClub> =
        rest.iter().filter(|club| held.iter().all(|held| held.set != club.set)).cloned().collect();
    assert!(others.len() < rest.len() - 20);
    let told = |collection: &[DatedClub]| {
        audit(&catalogue, collection, &FitSettings::default(), AuditPlan::HeldOut(&held), 1, &|| {}).unwrap().clubs
    };
    assert_eq!(told(&rest), told(&others));
}
