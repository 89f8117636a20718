//! Simulation-based calibration: clubs drawn from a calibration's own tables, dated with it, give uniform ranks.
//!
//! S. Talts, M. Betancourt, D. Simpson, A. Vehtari and A. Gelman, Validating Bayesian inference algorithms with
//! simulation-based calibration, 2018.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{draw_club, product_posterior, randomised_pit};
use agewright_model::{Calibration, Evidence, Part, Posterior};
use external_checks::demo_calibration;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
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
    let mut calibration = demo_calibration();
    for table in &mut calibration.level_tables {
        table.weight = 1.0;
    }
    for block in &mut calibration.blocks {
        block.weight = 1.0;
    }
    calibration
}

#[test]
fn ranks_of_true_years_in_their_posteriors_are_uniform() {
    let calibration = unweighted();
    for prior in ["as-collected", "flat"] {
        let prior = calibration.prior(prior).unwrap();
        for seed in 1..=3 {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            let ranks: Vec<f64> = (0..CLUBS)
                .map(|_| {
                    let (year, club) = draw_club(&calibration, prior, &mut random);
                    let (evidence, _) = Evidence::gather(&calibration, &club, Part::Head, &[]);
                    let ln = evidence.ln_likelihood(|_| true);
                    let posterior = Posterior::new(calibration.catalogue.axis, &[prior.ln_by_year(), &ln]);
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
    let prior = calibration.prior("as-collected").unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(1);
    let ranks: Vec<f64> = (0..CLUBS)
        .map(|_| {
            let (year, club) = draw_club(&calibration, prior, &mut random);
            let posterior = product_posterior(&calibration, &club, Part::Head, prior);
            randomised_pit(&posterior, year, random.random())
        })
        .collect();
    assert!(p_value(&ranks) < 1e-6, "p = {}", p_value(&ranks));
}
