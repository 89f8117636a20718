//! Simulation-based calibration: clubs drawn from a calibration's own tables, dated with it, give uniform ranks.
//!
//! S. Talts, M. Betancourt, D. Simpson, A. Vehtari and A. Gelman, Validating Bayesian inference algorithms with
//! simulation-based calibration, 2018.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::plain_product::PlainProduct;
use agewright_calibration::audit::scores::randomised_pit;
use agewright_calibration::{AuditPlan, DatedClub, FitSettings, audit, draw_club, fit};
use agewright_model::reading::known_date::DateGrade;
use agewright_model::{Calibration, Catalogue, Cell, Club, KnownDate, Part, Reading, Seen};
use external_checks::{demo_calibration, posterior, unweighed};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, StandardNormal};
use statrs::distribution::{ChiSquared, ContinuousCDF as _};

const CLUBS: usize = 1000;
const BINS: usize = 20;

/// Chance of counts at least as uneven as these if ranks were uniform (chi-squared over twenty bins).
fn p_value(ranks: &[f64]) -> f64 {
    let mut counts = [0.0; BINS];
    for rank in ranks {
        counts[((rank * 20.0) as usize).min(BINS - 1)] += 1.0;
    }
    let even = 50.0;
    let distance: f64 = counts.iter().map(|c: &f64| (c - even) * (c - even) / even).sum();
    ChiSquared::new(19.0).unwrap().sf(distance)
}

fn unweighted() -> Calibration {
    unweighed(&demo_calibration())
}

#[test]
fn ranks_of_true_years_in_their_posteriors_are_uniform() {
    let calibration = unweighted();
    for prior in ["as-collected", "flat"] {
        let prior = calibration.prior(Some(prior)).unwrap();
        for seed in 1..=3 {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            let ranks: Vec<f64> = (0..CLUBS)
                .map(|_| {
                    let (year, club) = draw_club(&calibration, prior, &mut random);
                    let posterior = posterior(&calibration, &club, Some(&prior.name));
                    randomised_pit(&posterior, year, random.random())
                })
                .collect();
            let p = p_value(&ranks);
            assert!(p > 1e-3, "prior {}, seed {seed}: p = {p}", prior.name);
        }
    }
}

/// The same clubs dated by the plain product must be seen to fail: otherwise the check has no power.
#[test]
fn the_plain_product_fails_the_same_check() {
    let calibration = unweighted();
    let prior = calibration.prior(Some("as-collected")).unwrap();
    let plain = PlainProduct::new(&calibration).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(1);
    let ranks: Vec<f64> = (0..CLUBS)
        .map(|_| {
            let (year, club) = draw_club(&calibration, prior, &mut random);
            let posterior = plain.posterior(&club, Part::Head, prior).unwrap();
            randomised_pit(&posterior, year, random.random())
        })
        .collect();
    assert!(p_value(&ranks) < 1e-6, "p = {}", p_value(&ranks));
}

/// One measure that falls through time with a known spread, from years spread evenly over the axis.
fn falling_measure(n: usize, width: i32, seed: u64) -> (Catalogue, Vec<DatedClub>, Vec<DatedClub>) {
    let text = "name = \"t\"\nyears = { from = 1700, to = 1900 }\n[[clue]]\nid = \"m\"\nkind = \"measured\"\npart = \
     \"head\"\nmisread = 0.01\n";
    let catalogue = external_checks::catalogue(text);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let (mut given, mut exact) = (Vec::new(), Vec::new());
    for k in 0..n {
        let year = random.random_range(1740..1860);
        let z: f64 = StandardNormal.sample(&mut random);
        let value = 5.0 - 0.01 * f64::from(year - 1700) + SPREAD * z;
        let cell =
            Cell::Read(Reading { text: "m".into(), seen: Seen::Measure { value, tolerance: None }, doubtful: false });
        let club = Club { id: format!("M{k:03}"), cells: vec![cell], ..Club::default() };
        let from = year - random.random_range(0..=width);
        let date = |a, b| KnownDate::new(catalogue.axis(), a, b, DateGrade::default()).unwrap();
        let dated = |a, b| DatedClub::new(club.clone(), date(a, b));
        given.push(dated(from.max(1700), (from + width).min(1899)));
        exact.push(dated(year, year));
    }
    (catalogue, given, exact)
}

const SPREAD: f64 = 0.15;

/// Clubs dated to sixty years and narrowed by their own clue: the spread fitted must not shrink with the narrowing, and
/// other clubs of exactly known year must still fall inside the bands.
#[test]
fn wide_dates_leave_the_bands_wide_enough_for_exact_truths() {
    let (catalogue, given, _) = falling_measure(300, 60, 1);
    let (_, _, exact) = falling_measure(300, 60, 2);
    let fitted = fit(&catalogue, &given, &FitSettings::default()).unwrap();
    let sd = fitted.calibration.tables().blocks[0].clues[0].rows[10].sd;
    assert!(sd > 0.9 * SPREAD, "spread {sd}, truly {SPREAD} ({:?})", fitted.report.narrowing);
    let plan = AuditPlan::HeldOut(&exact);
    let [model, _, _] = audit(&catalogue, &given, &FitSettings::default(), plan, 1, &|| {}).unwrap().means();
    assert!(model.coverage[2] > 0.93 && model.coverage[0] > 0.45, "{:?}", model.coverage);
}

/// A last row that the axis cuts short holds no more clubs a year than its neighbour.
#[test]
fn a_short_last_row_gets_no_more_than_its_years() {
    let text = "name = \"t\"\nyears = { from = 1780, to = 1941 }\n[[clue]]\nid = \"pin\"\nkind = \"levels\"\nlevels = \
     [\"a\", \"b\"]\npart = \"head\"\nmisread = 0.01\n";
    let catalogue = external_checks::catalogue(text);
    let rows: String =
        (0..40).map(|n| format!("P{n:02},{0},{0},{1}\n", 1900 + n, if n % 3 == 0 { "a" } else { "b" })).collect();
    let clubs = external_checks::dated_clubs(&format!("id,made_from,made_to,pin\n{rows}"), &catalogue);
    let calibration = fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration;
    let prior: Vec<f64> =
        calibration.prior(Some("as-collected")).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let at = |year: i32| prior[catalogue.axis().year_ix(year).unwrap()];
    assert!(at(1940) < 1.05 * at(1934), "1934 {}, 1940 {}", at(1934), at(1940));
}
