//! An audit done again by hand: every fold left out, the rest fitted, its clubs dated and scored.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::plain_product::PlainProduct;
use agewright_calibration::{AuditPlan, DatedClub, FitMethod, FitSettings, audit, fit};
use agewright_model::{Band, Part, Posterior, TableSet};
use external_checks::{
    DEMO_CATALOGUE, DEMO_COLLECTION, catalogue, changed, club, date, dated_clubs, demo_calibration, posterior,
};

/// Clubs of the demo, in the order of their dates, so that a fold is every so-many-th of them.
fn in_order() -> Vec<DatedClub> {
    let mut clubs = dated_clubs(DEMO_COLLECTION, &catalogue(DEMO_CATALOGUE));
    clubs.sort_by(|a, b| (a.made_from() + a.made_to(), &a.club.id).cmp(&(b.made_from() + b.made_to(), &b.club.id)));
    clubs
}

/// CRPS by hand: for each year of the date the sum of squares, weighed by the answer's own chances within the date.
fn crps(answer: &Posterior, from: i32, to: i32) -> f64 {
    let years: Vec<i32> = answer.axis().years().collect();
    let p = answer.by_year();
    let inside = |year: i32| (from..=to).contains(&year);
    let whole: f64 = years.iter().zip(p).filter(|(year, _)| inside(**year)).map(|(_, p)| p).sum();
    let of_year = |made: i32| -> f64 {
        let step = |k: usize| f64::from(u8::from(years[k] >= made));
        (0..years.len()).map(|k| (p[..=k].iter().sum::<f64>() - step(k)).powi(2)).sum()
    };
    (0..years.len()).filter(|&k| inside(years[k])).map(|k| p[k] / whole * of_year(years[k])).sum()
}

#[test]
fn every_club_is_dated_by_a_fit_that_never_saw_it() {
    let (catalogue, clubs) = (catalogue(DEMO_CATALOGUE), in_order());
    let settings = FitSettings::default();
    let n_folds = 4;
    let audited = audit(&catalogue, &clubs, &settings, AuditPlan::Folds(n_folds), 1, &|| {}).unwrap();
    let whole = fit(&catalogue, &clubs, &settings).unwrap().calibration;
    let mut differs_from_whole = 0;
    for out in 0..n_folds {
        let rest: Vec<DatedClub> =
            clubs.iter().enumerate().filter(|(n, _)| n % n_folds != out).map(|(_, c)| c.clone()).collect();
        let fitted = fit(&catalogue, &rest, &settings).unwrap().calibration;
        for (n, club) in clubs.iter().enumerate().filter(|(n, _)| n % n_folds == out) {
            let dated = posterior(&fitted, &club.club, None);
            let scored = &audited.clubs[n];
            assert_eq!((&scored.id, scored.median), (&club.club.id, dated.median()));
            let want = crps(&dated, club.made_from(), club.made_to());
            assert!((scored.model.crps - want).abs() < 1e-9, "{}: {}, not {want}", scored.id, scored.model.crps);
            let seen = crps(&posterior(&whole, &club.club, None), club.made_from(), club.made_to());
            differs_from_whole += usize::from((seen - want).abs() > 1e-3);
        }
    }
    assert!(differs_from_whole > clubs.len() / 2, "a fit that saw the club would have been noticed");
}

/// Held-out clubs are dated by one fit on the others, which they are no part of.
#[test]
fn held_out_clubs_are_no_part_of_the_fit() {
    let (catalogue, clubs) = (catalogue(DEMO_CATALOGUE), in_order());
    let (held, rest): (Vec<_>, Vec<_>) = clubs.into_iter().enumerate().partition(|(n, _)| n % 5 == 2);
    let [held, rest] = [held, rest].map(|clubs| clubs.into_iter().map(|(_, club)| club).collect::<Vec<_>>());
    let settings = FitSettings::default();
    let audited = audit(&catalogue, &rest, &settings, AuditPlan::HeldOut(&held), 1, &|| {}).unwrap();
    let fitted = fit(&catalogue, &rest, &settings).unwrap().calibration;
    assert_eq!(audited.clubs.len(), held.len());
    for (club, scored) in held.iter().zip(&audited.clubs) {
        let want = crps(&posterior(&fitted, &club.club, None), club.made_from(), club.made_to());
        assert!((scored.model.crps - want).abs() < 1e-9, "{}: {}, not {want}", scored.id, scored.model.crps);
    }
}

/// The plain product is the prior times each clue's own share, whatever is doubtful, weighed, misread or an adjuster.
#[test]
fn the_plain_product_is_the_product_of_the_tables() {
    let calibration = demo_calibration();
    let readings = [
        ("nicking_coarseness", "medium?"),
        ("pin_direction", "front_back"),
        ("club_type", "long"),
        ("hosel_join", "soft?"),
    ];
    let club = club(calibration.catalogue(), &readings);
    let prior = calibration.prior(None).unwrap();
    let product = PlainProduct::new(&calibration).unwrap().posterior(&club, Part::Head, prior).unwrap();
    let axis = calibration.catalogue().axis();
    let mut weights: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
    for (clue, level) in [("nicking_coarseness", 1), ("pin_direction", 0), ("hosel_join", 1)] {
        let rows = &calibration.tables().level_table(clue).unwrap().rows;
        let shares: Vec<f64> = rows.iter().map(|row| row.shares[level]).collect();
        weights.iter_mut().zip(axis.rows_to_years(&shares)).for_each(|(weight, share)| *weight *= share);
    }
    let total: f64 = weights.iter().sum();
    for (got, weight) in product.by_year().iter().zip(&weights) {
        assert!((got - weight / total).abs() < 1e-12);
    }
}

/// Draws are of other clubs: their tables differ, and the answer by each is what a calibration of its tables would
/// give. (The shelf is that of the whole fit, on the scale of its prior: without it here.)
#[test]
fn draws_have_tables_of_their_own() {
    let (catalogue, clubs) = (catalogue(DEMO_CATALOGUE), in_order());
    let method = FitMethod { shelf: false, ..FitMethod::default() };
    let settings = FitSettings { draws: 5, method, ..FitSettings::default() };
    let fitted = fit(&catalogue, &clubs, &settings).unwrap().calibration;
    assert_eq!(fitted.draws().len(), 5);
    let reading = club(&catalogue, &[("nicking_coarseness", "medium"), ("hosel_to_crease", "4.4")]);
    let mut medians: Vec<i32> = Vec::new();
    let mut mean = vec![0.0; catalogue.axis().n_years()];
    for draw in fitted.draws() {
        let whole = fitted.tables();
        assert!(draw.levels.iter().zip(&whole.levels).any(|(a, b)| a.rows != b.rows), "levels of its own");
        let means = |tables: &TableSet| tables.blocks[0].clues[0].rows.clone();
        assert!(means(draw) != means(whole), "measures of its own");
        let by_it = changed(&fitted, |contents| (contents.tables, contents.draws) = (draw.clone(), Vec::new()));
        let dated = posterior(&by_it, &reading, None);
        medians.push(dated.median());
        mean.iter_mut().zip(dated.by_year()).for_each(|(sum, p)| *sum += p / 5.0);
    }
    medians.sort_unstable();
    let drawn = date(&fitted, &reading, None).drawn.unwrap();
    assert_eq!((drawn.n, drawn.median), (5, (medians[0], medians[4])));
    let ln: Vec<f64> = mean.iter().map(|p| p.ln()).collect();
    let years = |bands: &[Band]| bands.iter().map(|band| (band.from(), band.to())).collect::<Vec<_>>();
    assert_eq!(years(&drawn.bands), years(&Posterior::new(catalogue.axis(), &[&ln]).bands()));
}
