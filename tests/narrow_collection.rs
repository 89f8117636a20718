//! A collection of few years meets a club of other years.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::audit_scores::{AuditScores, ScoredDate};
use agewright_calibration::{DatedClub, FitMethod, FitSettings, Means, draw_club, fit};
use agewright_model::{Calibration, Club, KnownDate, Part, Prior, Warning, warnings};
use external_checks::{DEMO_CATALOGUE, ask, catalogue, date, demo_calibration, posterior};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

/// So many clubs drawn from the demo's tables, every year alike, of those years for which `is_of` holds.
fn drawn(n: usize, seed: u64, is_of: impl Fn(i32) -> bool) -> Vec<(i32, Club)> {
    let calibration = demo_calibration();
    let flat = calibration.prior(Some(Prior::FLAT)).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let draws = std::iter::repeat_with(|| draw_club(&calibration, flat, &mut random));
    let named = |(n, (year, club)): (usize, (i32, Club))| (year, Club { id: format!("{n:03}"), ..club });
    draws.filter(|(year, _)| is_of(*year)).take(n).enumerate().map(named).collect()
}

fn fitted(clubs: &[(i32, Club)], flat_share: f64) -> Calibration {
    let catalogue = catalogue(DEMO_CATALOGUE);
    let dated = |(year, club): &(i32, Club)| {
        let date = KnownDate::new(catalogue.axis(), *year, *year, Default::default()).unwrap();
        DatedClub::new(club.clone(), date)
    };
    let clubs: Vec<DatedClub> = clubs.iter().map(dated).collect();
    let method = FitMethod { flat_share, ..FitMethod::default() };
    fit(&catalogue, &clubs, &FitSettings { method, ..FitSettings::default() }).unwrap().calibration
}

fn scored(calibration: &Calibration, clubs: &[(i32, Club)]) -> Means {
    let scores: Vec<AuditScores> = clubs
        .iter()
        .map(|(year, club)| {
            let answer = posterior(calibration, club, None);
            AuditScores::of(&answer, &ScoredDate::new(&answer, *year, *year))
        })
        .collect();
    Means::of(scores.iter())
}

fn in_collection(year: i32) -> bool {
    (1895..=1910).contains(&year)
}

/// Coverage of the 95 % band and CRPS in years, over four collections of forty-two clubs of 1895-1910 each: on clubs of
/// other years, and on clubs of these.
fn outside_and_at_home(flat_share: f64) -> [(f64, f64); 2] {
    let mut all = [(0.0, 0.0); 2];
    for seed in 0..4 {
        let calibration = fitted(&drawn(42, seed, in_collection), flat_share);
        let clubs = [drawn(60, 50 + seed, |year| !in_collection(year)), drawn(60, 90 + seed, in_collection)];
        for (sum, clubs) in all.iter_mut().zip(clubs) {
            let means = scored(&calibration, &clubs);
            sum.0 += means.coverage[2] / 4.0;
            sum.1 += means.crps / 4.0;
        }
    }
    all
}

/// With no share of its prior for other years such a collection dates clubs of 1780-1939 into its own years.
#[test]
fn a_narrow_collection_admits_other_years() {
    let [(was_held, was_off), (_, was_off_at_home)] = outside_and_at_home(0.0);
    let [(held, off), (held_at_home, off_at_home)] = outside_and_at_home(FitMethod::default().flat_share);
    println!("outside {was_held} -> {held}, {was_off} -> {off}; at home {was_off_at_home} -> {off_at_home}");
    assert!(held > was_held + 0.08, "95 % band outside the collection: {was_held}, now {held}");
    assert!(off < 0.92 * was_off, "CRPS outside the collection: {was_off}, now {off}");
    assert!(off_at_home < was_off_at_home + 0.5 && held_at_home > 0.95, "at home {off_at_home}, {held_at_home}");
}

/// Clubs far from the collection's years are told to have no dated club behind them; clubs from their midst are not.
#[test]
fn an_answer_beyond_the_collection_says_so() {
    let calibration = fitted(&drawn(42, 1, in_collection), FitMethod::default().flat_share);
    let is_told = |(_, club): &(i32, Club)| {
        let told = warnings(&ask(&calibration, club, Part::Head, None), &date(&calibration, club, None));
        let beyond = |warning: &Warning| match warning {
            Warning::BeyondTheCollection(beyond) => {
                let flat = beyond.flat.as_ref().is_none_or(|flat| !in_collection(flat.median));
                assert!(flat && beyond.dated.0 >= 1895 && beyond.dated.1 <= 1910, "{beyond:?}");
                true
            }
            _ => false,
        };
        told.iter().any(beyond)
    };
    let share = |clubs: &[(i32, Club)]| clubs.iter().filter(|club| is_told(club)).count() as f64 / clubs.len() as f64;
    let far = share(&drawn(60, 7, |year| year < 1870));
    assert!(far > 0.9, "{far} of clubs before 1870 are told");
    let at_home = share(&drawn(60, 8, in_collection));
    // Every year alike before, sixteen years are few: about half of its own clubs would be of others then.
    assert!(at_home < 0.65, "{at_home} of clubs of its own years are told");
    // One old club more does not stand behind the years between.
    let mut with_one = drawn(42, 1, in_collection);
    with_one.extend(drawn(1, 3, |year| year < 1805));
    with_one[42].1.id = "old".into();
    let stray = fitted(&with_one, FitMethod::default().flat_share);
    let between = drawn(40, 9, |year| (1840..1870).contains(&year));
    let told = between.iter().filter(|(_, club)| {
        let told = warnings(&ask(&stray, club, Part::Head, None), &date(&stray, club, None));
        told.iter().any(|warning| matches!(warning, Warning::BeyondTheCollection(_)))
    });
    assert!(told.count() > 32);
    // Fitted on clubs of all years, the same clubs are not.
    let wide = demo_calibration();
    let told = |year: i32| {
        let clubs = drawn(20, 8, |drawn| drawn == year);
        clubs
            .iter()
            .filter(|(_, club)| {
                let told = warnings(&ask(&wide, club, Part::Head, None), &date(&wide, club, None));
                told.iter().any(|warning| matches!(warning, Warning::BeyondTheCollection(_)))
            })
            .count()
    };
    // But for some whose clues lead to the early years, of which the demo has few.
    assert!([1860, 1880, 1900].map(told).iter().zip([4, 2, 0]).all(|(told, most)| *told <= most));
    // No dated club at all is another thing to be told.
    let built_in = agewright_files::built_in().unwrap().calibration;
    let club = built_in.catalogue().club("iron", &[("pin_direction", "front_back")]).unwrap();
    let told = warnings(&ask(&built_in, &club, Part::Head, None), &date(&built_in, &club, None));
    assert!(told.contains(&Warning::NoCollection));
    assert!(!told.iter().any(|warning| matches!(warning, Warning::BeyondTheCollection(_))));
}

/// A straight line through clubs of a few years leads anywhere in others; the fit keeps to what can be measured.
#[test]
fn a_collection_of_few_years_is_fitted_within_what_can_be_measured() {
    let catalogue = catalogue(DEMO_CATALOGUE);
    for (n, years) in [(12, 1895..=1910), (12, 1900..=1905), (40, 1895..=1910), (16, 1930..=1935)] {
        for seed in 0..4 {
            let calibration = fitted(&drawn(n, seed, |year| years.contains(&year)), FitMethod::default().flat_share);
            for table in calibration.tables().blocks.iter().flat_map(|block| &block.clues) {
                let clue = catalogue.clue(&table.clue).unwrap();
                let Some([low, high]) = clue.range else { continue };
                let measures = table.rows.iter().map(|row| clue.scale.measure(row.mean));
                assert!(measures.into_iter().all(|mean| mean >= 0.999 * low && mean <= 1.001 * high), "{}", table.clue);
            }
        }
    }
}
