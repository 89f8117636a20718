//! A lead or lag that all clues of a club share: fitted where clubs have one, and allowed for where a club is from
//! elsewhere.
#![allow(clippy::print_stdout, reason = "what was measured is shown with --nocapture")]
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::audit_scores::{AuditScores, ScoredDate};
use agewright_calibration::{DatedClub, FitMethod, FitSettings, Means, draw_club_by, fit};
use agewright_model::{Asked, Calibration, Club, KnownDate, Part, Posterior};
use external_checks::demo_calibration;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, Normal};

/// Clubs of known year whose fashion is ahead by `shift`, and each by a normal lag of its own.
fn drawn(truth: &Calibration, n: usize, shift: i32, sd: f64, seed: u64) -> Vec<(i32, Club)> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let own = Normal::new(0.0, sd).unwrap();
    let one = |k: usize| {
        let year = random.random_range(1820..1932);
        let lag: f64 = own.sample(&mut random);
        let club = draw_club_by(truth, |_| year + shift + lag.round() as i32, &mut random);
        (year, Club { id: format!("D{k:03}"), ..club })
    };
    (0..n).map(one).collect()
}

fn fitted(truth: &Calibration, clubs: &[(i32, Club)], lag: Option<f64>, shelf: bool) -> Calibration {
    let dated = |(year, club): &(i32, Club)| {
        let date = KnownDate::new(truth.catalogue().axis(), *year, *year, Default::default()).unwrap();
        DatedClub::new(club.clone(), date)
    };
    let clubs: Vec<DatedClub> = clubs.iter().map(dated).collect();
    let method = FitMethod { lag, shelf, ..FitMethod::default() };
    let settings = FitSettings { method, ..FitSettings::default() };
    fit(truth.catalogue(), &clubs, &settings).unwrap().calibration
}

/// Means of the scores on clubs of known year, from elsewhere by so many years at the least.
fn scored(calibration: &Calibration, clubs: &[(i32, Club)], elsewhere: f64) -> Means {
    let score = |(year, club): &(i32, Club)| {
        let asked = Asked::new(calibration, club, Part::Head, None, &[]).unwrap().elsewhere(elsewhere);
        let answer = Posterior::of(asked.evidence(), asked.prior(), |_| true);
        AuditScores::of(&answer, &ScoredDate::new(&answer, *year, *year))
    };
    Means::of(clubs.iter().map(score).collect::<Vec<_>>().iter())
}

/// Means over six collections of so many clubs with a lag of their own: on fresh clubs of home and on clubs of a region
/// ten years ahead.
struct Compared {
    home: [Means; 2],
    abroad: [Means; 2],
}

const SEEDS: u64 = 6;

/// Without any lag against the fitted one, with a shelf or without; abroad with `elsewhere` of ten years.
fn compared(n: usize, sd: f64, shelf: bool) -> Vec<Compared> {
    let truth = demo_calibration();
    let of_seed = |seed| {
        let collection = drawn(&truth, n, 0, sd, seed);
        let (home, abroad) = (drawn(&truth, 200, 0, sd, seed + 100), drawn(&truth, 200, 10, sd, seed + 200));
        let (none, own) = (fitted(&truth, &collection, Some(0.0), shelf), fitted(&truth, &collection, None, shelf));
        println!("{n} clubs, lag {sd}: fitted {}", own.shared_lag());
        Compared {
            home: [scored(&none, &home, 0.0), scored(&own, &home, 0.0)],
            abroad: [scored(&none, &abroad, 0.0), scored(&own, &abroad, 10.0)],
        }
    };
    (1..=SEEDS).map(of_seed).collect()
}

/// Mean of a figure over the collections, before and after.
#[expect(clippy::cast_precision_loss, reason = "six")]
fn mean(all: &[Compared], of: impl Fn(&Compared) -> [f64; 2]) -> [f64; 2] {
    let sum = |k: usize| all.iter().map(|one| of(one)[k]).sum::<f64>() / SEEDS as f64;
    [sum(0), sum(1)]
}

fn told(name: &str, all: &[Compared]) {
    for (where_, of) in [("home", (|c: &Compared| &c.home) as fn(&Compared) -> &[Means; 2]), ("abroad", |c| &c.abroad)]
    {
        let figure = |of_means: &dyn Fn(&Means) -> f64| mean(all, |one| [of_means(&of(one)[0]), of_means(&of(one)[1])]);
        let bands: Vec<[f64; 2]> = (0..3).map(|k| figure(&|means: &Means| 100.0 * means.coverage[k])).collect();
        let (crps, log) = (figure(&|means: &Means| means.crps), figure(&|means: &Means| means.log_score));
        println!("{name}, {where_}: bands {bands:.0?}, CRPS {crps:.3?}, log score {log:.4?}");
    }
}

/// Where clubs have no lag, allowing for one costs next to nothing.
#[test]
fn a_lag_costs_nothing_where_there_is_none() {
    let all = compared(120, 0.0, true);
    told("120 clubs without a lag", &all);
    let crps = mean(&all, |one| [one.home[0].crps, one.home[1].crps]);
    let log_score = mean(&all, |one| [one.home[0].log_score, one.home[1].log_score]);
    assert!(crps[1] < 1.005 * crps[0] && log_score[1] > log_score[0] - 0.003, "{crps:?} {log_score:?}");
}

/// Forty clubs with a lag of twelve years: what is fitted says more, and its bands hold more. Beside a shelf, whose own
/// clubs lag as well, less is left for it to mend.
#[test]
fn a_lag_is_found_where_there_is_one() {
    for (shelf, nats, more) in [(false, 0.01, 0.02), (true, 0.005, 0.0)] {
        let all = compared(40, 12.0, shelf);
        told(&format!("40 clubs with a lag of 12, shelf {shelf}"), &all);
        let log_score = mean(&all, |one| [one.home[0].log_score, one.home[1].log_score]);
        let half = mean(&all, |one| [one.home[0].coverage[0], one.home[1].coverage[0]]);
        assert!(log_score[1] > log_score[0] + nats, "{shelf}: {log_score:?}");
        assert!(half[1] > half[0] + more && (0.47..0.55).contains(&half[1]), "{shelf}: {half:?}");
    }
}

/// Clubs from a region ten years ahead: told so, their bands hold what they say.
#[test]
fn a_club_from_elsewhere_is_dated_more_widely_and_better() {
    let all = compared(120, 8.0, true);
    told("120 clubs with a lag of 8", &all);
    let most = mean(&all, |one| [one.abroad[0].coverage[2], one.abroad[1].coverage[2]]);
    let eighty = mean(&all, |one| [one.abroad[0].coverage[1], one.abroad[1].coverage[1]]);
    let crps = mean(&all, |one| [one.abroad[0].crps, one.abroad[1].crps]);
    assert!(most[0] < 0.935 && (0.94..0.97).contains(&most[1]), "{most:?}");
    assert!((0.78..0.85).contains(&eighty[1]) && crps[1] < crps[0], "{eighty:?} {crps:?}");
}

/// The lag is that of the whole club: the exponents of a shaft's clues are weighed under it too.
#[test]
fn exponents_of_every_part_are_weighed_under_the_lag() {
    let clue = |id: &str, part: &str| {
        format!(
            "[[clue]]\nid = \"{id}\"\nkind = \"levels\"\nlevels = [\"a\", \"b\"]\npart = \"{part}\"\nmisread = 0.05\n"
        )
    };
    let text =
        format!("name = \"t\"\nyears = {{ from = 1800, to = 1900 }}\n{}{}", clue("h", "head"), clue("s", "shaft"));
    let catalogue = external_checks::catalogue(&text);
    let mut random = ChaCha8Rng::seed_from_u64(3);
    let mut rows = "id,made_from,made_to,h,s\n".to_owned();
    for n in 0..80 {
        let year = random.random_range(1800..1900);
        let mut level = || if random.random_range(1800..1900) < year { "b" } else { "a" };
        rows += &format!("C{n:02},{year},{year},{},{}\n", level(), level());
    }
    let clubs = external_checks::dated_clubs(&rows, &catalogue);
    let shaft = |lag: f64| {
        let method = FitMethod { lag: Some(lag), ..FitMethod::default() };
        let settings = FitSettings { method, ..FitSettings::default() };
        let calibration = fit(&catalogue, &clubs, &settings).unwrap().calibration;
        calibration.tables().level_table("s").unwrap().weight
    };
    assert!((shaft(0.0) - shaft(25.0)).abs() > 0.01, "{} and {}", shaft(0.0), shaft(25.0));
}
