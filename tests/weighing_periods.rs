//! Weights of evidence between two periods, in decibans.
//!
//! The worked example is that of the loaded die: I. J. Good, Weight of evidence: a brief survey, Bayesian Statistics 2,
//! 1985 (from memory), after his Probability and the Weighing of Evidence, 1950: a die drawn from ten, of which one is
//! loaded to show a six in one throw of three. A six speaks 10 log10(2) = 3.01 decibans for the loaded die, any other
//! face 10 log10(4/5) = -0.97; ten sixes in twenty throws weigh 20.4 against a base rate of 10 log10(1/9) = -9.54.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::questions::why_not::decibans;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::{
    Accounting, Axis, Calibration, Catalogue, Clue, ClueKind, Level, Part, PeriodAccount, Posterior, Prior,
};
use external_checks::{ask, bare, club, date_readings, demo_calibration};

fn exact() -> Accounting<'static> {
    Accounting::by_orders(&|_| panic!("at most twenty clues here"))
}

/// Twenty throws as twenty clues; the loaded die stands for the first year, the nine fair ones for the second.
fn dice() -> Calibration {
    let axis = Axis::new(1900, 1902, 1).unwrap();
    let throw = |n: usize| Clue {
        levels: ["six", "other"].map(Level::plain).to_vec(),
        ..Clue::new(&format!("throw_{n:02}"), ClueKind::Levels, Part::Head)
    };
    let table = |n: usize| LevelTable {
        clue: format!("throw_{n:02}"),
        clubs: 10,
        bandwidth: 1.0,
        weight: 1.0,
        overall: vec![0.5, 0.5],
        rows: [[1.0 / 3.0, 2.0 / 3.0], [1.0 / 6.0, 5.0 / 6.0]]
            .map(|shares| LevelRow { clubs: 5.0, shares: shares.to_vec() })
            .to_vec(),
    };
    let rows = [(1900, 0.1), (1901, 0.9)].map(|(year, mass)| PriorRow { from: year, to: year, mass }).to_vec();
    let mut contents = bare(Catalogue::new("dice", axis, (0..20).map(throw).collect()).unwrap());
    contents.tables.levels = (0..20).map(table).collect();
    contents.tables.priors.push(Prior::from_rows(axis, "drawn", Spread::Even, rows).unwrap());
    contents.default_prior = "drawn".to_owned();
    Calibration::new(contents).unwrap()
}

#[test]
fn the_loaded_die_weighs_what_good_says() {
    let calibration = dice();
    let names: Vec<String> = (0..20).map(|n| format!("throw_{n:02}")).collect();
    let throws: Vec<(&str, &str)> =
        names.iter().enumerate().map(|(n, id)| (id.as_str(), if n % 2 == 0 { "six" } else { "other" })).collect();
    let club = club(calibration.catalogue(), &throws);
    let account =
        PeriodAccount::of(&ask(&calibration, &club, Part::Head, None), [(1900, 1900), (1901, 1901)], exact()).unwrap();
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-9, "{got}, not {want}");
    near(account.base_rate, 10.0 * (1.0_f64 / 9.0).log10());
    for entry in &account.entries {
        near(entry.decibans, 10.0 * if entry.reading == "six" { 2.0_f64 } else { 0.8 }.log10());
    }
    near(account.total, 10.0 * (2.0_f64.powi(10) * 0.8_f64.powi(10) / 9.0).log10());
    // As printed in tenths: 3.0 and -1.0 a throw, 20.4 in all, -9.5 before, 10.9 after.
    assert_eq!(format!("{:.1} {:.1}", account.base_rate, account.total), "-9.5 10.9");
}

/// The base rate and the weights of all clues add up to the odds of the posterior, on the demo's clubs and any periods.
#[test]
fn the_lines_add_up_to_the_odds_of_the_posterior() {
    let calibration = demo_calibration();
    let readings = [
        ("hosel_to_crease", "4 1/4 in"),
        ("face_scoring", "smooth"),
        ("pin_direction", "side_side"),
        ("top_edge", "0.19"),
        ("club_type", "long"),
        ("loft", "22"),
    ];
    let club = club(calibration.catalogue(), &readings);
    let posterior = date_readings(&calibration, &readings, None).posterior;
    for periods in [[(1850, 1859), (1900, 1909)], [(1893, 1893), (1780, 1939)], [(1700, 1850), (1849, 2000)]] {
        let account = PeriodAccount::of(&ask(&calibration, &club, Part::Head, None), periods, exact()).unwrap();
        let lines: f64 = account.base_rate + account.entries.iter().map(|entry| entry.decibans).sum::<f64>();
        let [a, b] = periods.map(|(from, to)| posterior.probability_between(from, to));
        assert!((lines - account.total).abs() < 1e-9);
        assert!((account.total - decibans((a / b).ln())).abs() < 1e-9, "{periods:?}");
        assert!((account.probability[0] - a).abs() < 1e-12 && (account.probability[1] - b).abs() < 1e-12);
    }
    assert!(
        PeriodAccount::of(&ask(&calibration, &club, Part::Head, None), [(1700, 1750), (1900, 1909)], exact()).is_none()
    );
}

/// Far from everything the odds are still finite, and by another road the same: ln sums in place of products.
#[test]
fn hopeless_odds_are_finite_and_right() {
    let calibration = demo_calibration();
    let readings = [
        ("hosel_to_crease", "7.9"),
        ("top_edge", "0.69"),
        ("hosel_top_diameter", "1.19"),
        ("sole_width", "0.3"),
        ("head_weight", "9"),
    ];
    let club = club(calibration.catalogue(), &readings);
    let account =
        PeriodAccount::of(&ask(&calibration, &club, Part::Head, None), [(1925, 1939), (1780, 1790)], exact()).unwrap();
    assert!(account.total.is_finite() && account.entries.iter().all(|entry| entry.decibans.is_finite()));
    let posterior: Posterior = date_readings(&calibration, &readings, None).posterior;
    let odds = posterior.probability_between(1925, 1939) / posterior.probability_between(1780, 1790);
    assert!((account.total - decibans(odds.ln())).abs() < 1e-9, "{} and {}", account.total, decibans(odds.ln()));
}
