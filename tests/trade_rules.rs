//! The trade's rules of thumb (common practice, no source) on the demo calibration, and the smooth-face trap.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::{Dating, Part};
use external_checks::{account, changed, club, date_readings, demo_calibration};

fn flat(readings: &[(&str, &str)]) -> Dating {
    date_readings(&demo_calibration(), readings, Some("flat"))
}

#[test]
fn longer_hosels_are_earlier_and_three_and_a_half_inches_may_be_1900() {
    let [short, middle, long] = ["3 1/2 in", "4 in", "5 in"].map(|hosel| flat(&[("hosel_to_crease", hosel)]));
    assert!(long.posterior.median() < middle.posterior.median());
    assert!(middle.posterior.median() < short.posterior.median());
    assert!(short.band(0.95).contains(1900), "{:?}", short.band(0.95));
    // By the tables alone in the narrower band too; the demo's dated clubs of that length are later ones.
    let tables = changed(&demo_calibration(), |contents| contents.shelf = None);
    let short = date_readings(&tables, &[("hosel_to_crease", "3 1/2 in")], Some("flat"));
    assert!(short.band(0.8).contains(1900), "{:?}", short.band(0.8));
}

#[test]
fn fine_even_nicking_is_later_than_coarse_irregular() {
    let fine = flat(&[("nicking_coarseness", "fine"), ("nicking_regularity", "even")]);
    let coarse = flat(&[("nicking_coarseness", "coarse"), ("nicking_regularity", "irregular")]);
    assert!(coarse.posterior.median() + 30 < fine.posterior.median());
}

#[test]
fn a_pin_from_front_to_back_is_before_one_from_side_to_side() {
    let [front, side] = ["front_back", "side_side"].map(|pin| flat(&[("pin_direction", pin)]));
    assert!(front.posterior.median() + 20 < side.posterior.median());
    assert!(front.posterior.probability_before(1850) > 0.5);
}

/// The trap: smooth faces look old, because nearly all old faces are smooth; but far more smooth clubs survive from
/// after 1890 than from before it.
#[test]
fn the_smooth_face_fools_the_flat_prior_and_not_the_collection() {
    let alone = [("face_scoring", "smooth")];
    let fooled = flat(&alone);
    assert!(fooled.posterior.median() < 1870, "flat: {}", fooled.posterior.median());
    assert!(fooled.posterior.probability_before(1890) > 0.6);
    let sober = date_readings(&demo_calibration(), &alone, Some("as-collected"));
    assert!(sober.posterior.probability_before(1891) < 0.5, "{}", sober.posterior.probability_before(1891));
}

#[test]
fn with_all_its_clues_the_trap_club_is_of_the_1900s_or_1910s_and_the_face_is_outvoted() {
    let readings = [
        ("hosel_to_crease", "3 1/2 in"),
        ("hosel_top_diameter", "0.60"),
        ("top_edge", "0.125"),
        ("sole_width", "0.30 ± 0.02"),
        ("nicking_coarseness", "fine|medium"),
        ("nicking_regularity", "even"),
        ("hosel_join", "curve"),
        ("pin_direction", "side_side"),
        ("hammer_weld", "trace?"),
        ("face_scoring", "smooth"),
        ("face_hollow", "flat"),
        ("marks_on_head", "absent"),
        ("name_or_number", "club_name"),
        ("head_finish", "bare"),
    ];
    let dating = date_readings(&demo_calibration(), &readings, None);
    assert!((1900..1920).contains(&dating.posterior.median()), "{}", dating.posterior.median());
    let own = club(demo_calibration().catalogue(), &readings);
    let ledger = account(&demo_calibration(), &own, Part::Head, None);
    let years = |clue: &str| ledger.entry(clue).unwrap().years;
    assert!(years("face_scoring") < -1.0, "the face pulls early: {}", years("face_scoring"));
    let later: f64 = ledger.entries.iter().map(|e| e.years).filter(|y| *y > 0.0).sum();
    assert!(later > -3.0 * years("face_scoring"), "and is outvoted: {later}");
    assert!(ledger.closing > ledger.opening);
}
