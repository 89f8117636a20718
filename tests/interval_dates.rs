//! Clubs dated to an interval say of an answer what clubs of known year say.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::audit_scores::{AuditScores, ScoredDate};
use agewright_calibration::{AuditPlan, DatedClub, FitSettings, Means, audit, draw_club};
use agewright_model::{Axis, KnownDate, Posterior};
use external_checks::{DEMO_CATALOGUE, DEMO_COLLECTION, catalogue, dated_clubs, demo_calibration};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// The tower property, exactly, on grids of twelve years: where the answer is right, an interval's score is the mean of
/// the scores of its years, whatever is scored and however the years are cut into intervals.
#[test]
fn the_score_of_an_interval_is_the_mean_of_those_of_its_years() {
    let axis = Axis::new(1800, 1812, 4).unwrap();
    let answer = |weights: &dyn Fn(i32) -> f64| {
        let ln: Vec<f64> = axis.years().map(|year| weights(year - 1800).ln()).collect();
        Posterior::new(axis, &[&ln])
    };
    let right = answer(&|n| f64::from(1 + (n * 5) % 7));
    let others = [answer(&|n| f64::from(13 - n)), answer(&|n| 0.01 + f64::from((n * n) % 5)), right.clone()];
    for other in &others {
        for cuts in [vec![1800, 1812], vec![1800, 1803, 1804, 1812], vec![1800, 1806, 1811, 1812]] {
            let mean = |spans: &[(i32, i32)]| {
                let mut sums = [0.0; 5];
                for &(from, to) in spans {
                    let scores = AuditScores::of(other, &ScoredDate::new(&right, from, to));
                    let all = [scores.crps, scores.absolute_error, scores.covered[0], scores.covered[1]];
                    let chance = right.probability_between(from, to);
                    sums.iter_mut().zip(all).for_each(|(sum, score)| *sum += chance * score);
                }
                sums
            };
            let spans: Vec<(i32, i32)> = cuts.windows(2).map(|cut| (cut[0], cut[1] - 1)).collect();
            let years: Vec<(i32, i32)> = axis.years().map(|year| (year, year)).collect();
            for (of_spans, of_years) in mean(&spans).into_iter().zip(mean(&years)) {
                assert!((of_spans - of_years).abs() < 1e-12, "{of_spans}, not {of_years}");
            }
        }
    }
}

/// Clubs drawn from the demo's own tables, once with their years and once with dates of 30 to 60 years about them: both
/// are told alike. With all years of a date alike CRPS was told as 12.1 for 6.3, and the 80 % band to hold 55 for 84.
#[test]
fn wide_dates_do_not_blame_the_answers() {
    let calibration = demo_calibration();
    let axis = calibration.catalogue().axis();
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let (mut known, mut wide) = (Vec::new(), Vec::new());
    for n in 0..300 {
        let (year, mut club) = draw_club(&calibration, calibration.prior(None).unwrap(), &mut random);
        club.id = format!("{n:03}");
        let length: i32 = random.random_range(30..=60);
        let before = random.random_range(0..length);
        let (from, to) = ((year - before).max(axis.from()), (year - before + length - 1).min(axis.last()));
        let dated =
            |from, to| DatedClub::new(club.clone(), KnownDate::new(axis, from, to, Default::default()).unwrap());
        known.push(dated(year, year));
        wide.push(dated(from, to));
    }
    let catalogue = catalogue(DEMO_CATALOGUE);
    let clubs = dated_clubs(DEMO_COLLECTION, &catalogue);
    let told = |held: &[DatedClub]| -> Means {
        let plan = AuditPlan::HeldOut(held);
        audit(&catalogue, &clubs, &FitSettings::default(), plan, 1, &|| {}).unwrap().means()[0]
    };
    let (of_known, of_wide) = (told(&known), told(&wide));
    println!("{of_known:?}\n{of_wide:?}");
    assert!((of_wide.crps / of_known.crps - 1.0).abs() < 0.12, "{} and {}", of_wide.crps, of_known.crps);
    for (wide, known) in of_wide.coverage.iter().zip(of_known.coverage) {
        assert!((wide - known).abs() < 0.09, "{wide} and {known}");
    }
    assert_eq!(of_known.testing, 300, "a known year tests every band");
    assert!(of_wide.testing < 60 && of_wide.clubs == 300, "{}", of_wide.testing);
}
