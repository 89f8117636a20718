//! Common practice of the trade (no source) on the built-in calibration of starter rules, and what it must never do.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::{Cell, ClueKind, Dating, Part, Register, Seen};
use external_checks::{STARTER, ask, club, date, date_part, date_readings, demo_calibration};
use std::collections::BTreeMap;

fn by(readings: &[(&str, &str)], prior: &str) -> Dating {
    date_readings(&STARTER, readings, Some(prior))
}

fn median(dating: &Dating) -> i32 {
    dating.posterior.median()
}

#[test]
fn hosels_date_in_the_order_of_their_lengths() {
    let [short, middle, long] = ["3 1/2 in", "4 in", "5 in"].map(|hosel| by(&[("hosel_to_crease", hosel)], "flat"));
    assert!(median(&long) < median(&middle) && median(&middle) < median(&short));
    assert!(short.band(0.8).contains(1900));
    assert!(median(&by(&[("hosel_to_crease", "3 1/2 in")], "general")) >= 1900);
}

#[test]
fn a_pin_from_front_to_back_is_early_and_one_from_side_to_side_hardly_speaks_after_the_1850s() {
    let front = by(&[("pin_direction", "front_back")], "flat");
    assert!(front.posterior.probability_before(1850) > 0.85, "{}", front.posterior.probability_before(1850));
    let side = by(&[("pin_direction", "side_side")], "flat");
    let years = side.posterior.by_year();
    let of = |year: i32| years[side.posterior.axis().year_ix(year).unwrap()];
    for year in [1865, 1890, 1910, 1930] {
        assert!((0.8..1.25).contains(&(of(year) / of(1875))), "{year}: {}", of(year) / of(1875));
    }
}

#[test]
fn an_eighth_of_an_inch_is_1900_on_a_long_iron_and_older_on_a_niblick() {
    let edge = |kind: &str, loft: &str| by(&[("top_edge", "1/8 in"), ("club_type", kind), ("loft", loft)], "flat");
    let (long, niblick) = (edge("long", "24"), edge("trouble", "46"));
    assert!((1900..=1910).any(|year| long.band(0.8).contains(year)));
    assert!(median(&niblick) + 5 < median(&long), "{} and {}", median(&niblick), median(&long));
    // The kind alone says as much: a niblick is taken to have a niblick's loft until it is measured.
    let kind = |kind: &str| by(&[("top_edge", "1/8 in"), ("club_type", kind)], "flat");
    assert!(median(&kind("trouble")) + 5 < median(&kind("long")));
    assert!(median(&kind("trouble")).abs_diff(median(&niblick)) < 8);
}

/// Chrome is of the 1920s and later; on an iron of the 1890s it is told to be out of step, and does not make it late.
#[test]
fn chrome_is_late_and_out_of_step_with_an_old_head() {
    let alone = by(&[("head_finish", "chrome")], "specialist");
    let before = alone.posterior.probability_before(1915);
    assert!(before < 0.15, "{before}");
    assert!(alone.out_of_step.is_empty());
    let head = [
        ("hosel_to_crease", "4 in"),
        ("hosel_top_diameter", "0.64"),
        ("top_edge", "0.165"),
        ("nicking_coarseness", "medium"),
        ("nicking_regularity", "fair"),
        ("hosel_join", "soft"),
        ("face_scoring", "smooth"),
        ("marks_on_head", "one_mark"),
    ];
    let chromed = by(&[&head[..], &[("head_finish", "chrome")]].concat(), "specialist");
    assert_eq!(chromed.out_of_step[0].clue, "head_finish");
    let (odd, moved) = (chromed.out_of_step[0].misread, median(&chromed).abs_diff(median(&by(&head, "specialist"))));
    assert!(odd > 0.6 && moved < 5, "{odd} {moved}");
    // Bare metal on the same head is what one expects.
    let bare = by(&[&head[..], &[("head_finish", "bare")]].concat(), "specialist");
    assert!(bare.out_of_step.iter().all(|clue| clue.clue != "head_finish"));
}

/// A rule is taken at its word: the odds between two decades of a level are those written down, misreadings allowed
/// for. The pull to all years made 80 to 1 of the pin's rule 3.7 to 1.
#[test]
fn the_odds_of_a_rule_arrive() {
    let table = STARTER.tables().level_table("pin_direction").unwrap();
    let misread = STARTER.catalogue().clue("pin_direction").unwrap().misread;
    let shares = |year: i32| {
        let row = STARTER.catalogue().axis().row_ix(year);
        table.true_shares(misread, &table.rows[row])
    };
    // The row of 1770 lies before the middle of the rule of 1750 to 1799, at 0.8; that of 1900 to 1909 is one rule.
    let odds = shares(1765)[0] / shares(1905)[0];
    assert!((odds - 80.0).abs() < 0.1, "{odds}");
    let ln: f64 = {
        let readings = club(STARTER.catalogue(), &[("pin_direction", "front_back")]);
        let alone = ask(&STARTER, &readings, Part::Head, None).evidence().ln_alone(0);
        let at = |year: i32| alone[STARTER.catalogue().axis().year_ix(year).unwrap()];
        at(1765) - at(1905)
    };
    assert!(ln > 30_f64.ln(), "{}", ln.exp());
}

/// Looks that practitioners take for early, each alone.
#[test]
fn an_uneven_hosel_clenched_teeth_and_wood_of_two_colours_are_early() {
    for (clue, early, late) in [("hosel_roundness", "out_of_round", "round"), ("clenched_teeth", "swollen", "even")] {
        let of = |level: &str| by(&[(clue, level)], "specialist").posterior.mean();
        assert!(of(early) + 10.0 < of(late), "{clue}: {} and {}", of(early), of(late));
    }
    let swollen = by(&[("clenched_teeth", "swollen")], "flat");
    assert!(swollen.posterior.probability_before(1850) > 0.7);
    let shaft = |level: &str| {
        let club = club(STARTER.catalogue(), &[("heart_and_sap", level)]);
        date_part(&STARTER, &club, Part::Shaft, Some("flat")).posterior.median()
    };
    assert!(shaft("both") + 20 < shaft("one_only"), "{} and {}", shaft("both"), shaft("one_only"));
}

/// Two late dates are told apart by less than 2 to 1 by all the geometry of the hosel.
#[test]
fn after_1905_hosel_geometry_says_little() {
    let dating = by(&[("hosel_to_crease", "3.4"), ("hosel_top_diameter", "0.60"), ("hosel_join", "curve")], "flat");
    let between = |from, to| dating.posterior.probability_between(from, to);
    let ratio = between(1925, 1934) / between(1905, 1914);
    assert!((0.5..2.0).contains(&ratio), "{ratio}");
}

/// The trap: the same reading under three priors.
#[test]
fn a_smooth_face_is_old_under_the_flat_prior_and_late_under_the_general_one() {
    let smooth = [("face_scoring", "smooth")];
    assert!(by(&smooth, "general").posterior.probability_before(1890) < 0.25);
    assert!(median(&by(&smooth, "flat")) < 1860);
    let others: BTreeMap<String, i32> =
        by(&smooth, "specialist").other_priors.iter().map(|(name, answer)| (name.clone(), answer.median)).collect();
    assert_eq!(others["general"], median(&by(&smooth, "general")), "both are told");
}

/// Size of 1880 on construction of 1825: two answers or a wide band, and the conflict is named.
#[test]
fn a_conflict_is_shown_and_not_averaged_away() {
    let readings = [
        ("hosel_to_crease", "4.4"),
        ("hosel_top_diameter", "0.66"),
        ("top_edge", "0.19"),
        ("sole_width", "0.33"),
        ("pin_direction", "front_back"),
        ("hosel_join", "sharp"),
        ("hammer_weld", "open"),
        ("iron_grain", "strong"),
        ("nicking_coarseness", "coarse"),
        ("nicking_regularity", "irregular"),
    ];
    for prior in ["flat", "specialist"] {
        let dating = by(&readings, prior);
        let band = dating.band(0.8);
        assert!(band.modes().len() > 1 || band.to() - band.from() > 45, "{prior}: {band:?}");
        let conflict = dating.conflict.unwrap();
        assert!(conflict.others.1 < conflict.measures.1 && conflict.others.0 < conflict.measures.0, "{conflict:?}");
    }
}

/// A mark is of the other side with its years: one that agrees with the measures is in conflict with nothing, and two
/// that do not agree are told.
#[test]
fn marks_count_in_a_conflict_by_their_years() {
    let late = [
        ("hosel_to_crease", "3.5"),
        ("hosel_top_diameter", "0.55"),
        ("top_edge", "0.10"),
        ("sole_width", "0.2"),
        ("blade_length", "3.4"),
        ("royal_device", "george_v"),
    ];
    let conflict = |readings: &[(&str, &str)]| by(readings, "specialist").conflict;
    assert_eq!(conflict(&[&late[..], &[("pin_direction", "side_side")]].concat()), None);
    let told = conflict(&[&late[..], &[("pin_direction", "front_back")]].concat());
    assert!(told.is_none_or(|told| told.others.1 > 1900), "{told:?}");
    let early =
        [("hosel_to_crease", "5.4"), ("hosel_top_diameter", "0.70"), ("top_edge", "0.26"), ("sole_width", "0.45")];
    let marks = [("royal_device", "george_v"), ("legal_wording", "limited")];
    let told = conflict(&[&early[..], &marks].concat()).unwrap();
    assert!(told.measures.1 < told.others.0 + 10 && told.others.0 > 1890, "{told:?}");
}

/// Whatever the rest says, one odd reading moves the odds of two years by no more than its misreading allows.
#[test]
fn no_reading_rules_a_year_out() {
    let late = [("face_scoring", "stamped_lines"), ("name_or_number", "number"), ("head_finish", "rustless")];
    let before = by(&late, "specialist");
    for clue in STARTER.catalogue().clues().iter().filter(|clue| clue.part == Part::Head && !clue.adjusts) {
        let texts: Vec<String> = if clue.kind == ClueKind::Register {
            let number = if clue.register == Some(Register::GbPatents) { "10811/97" } else { "19756" };
            vec![number.to_owned()]
        } else if clue.kind == ClueKind::Mark && clue.levels.is_empty() {
            continue;
        } else if clue.levels.is_empty() {
            clue.range.unwrap().map(|bound| bound.to_string()).to_vec()
        } else {
            clue.levels.iter().map(|level| level.id.clone()).collect()
        };
        for text in texts {
            if late.iter().any(|(id, _)| *id == clue.id) {
                continue;
            }
            let readings = [&late[..], &[(clue.id.as_str(), text.as_str())]].concat();
            let after = by(&readings, "specialist");
            for (p, q) in before.posterior.by_year().iter().zip(after.posterior.by_year()) {
                assert!(q.is_finite() && *q > 1e-4 * p, "{} = {text}: {p} to {q}", clue.id);
            }
        }
    }
}

/// The priors' ratios are those of the judgement they were written down from: index of survivors by decade.
#[test]
fn survivors_are_in_the_stated_ratios() {
    let ratio = |prior: &str, a: (i32, i32), b: (i32, i32)| {
        let ln = STARTER.prior(Some(prior)).unwrap().ln_by_year();
        let mass = |(from, to)| {
            let years = (from..=to).filter_map(|year| STARTER.catalogue().axis().year_ix(year));
            years.map(|ix| ln[ix].exp()).sum::<f64>()
        };
        mass(a) / mass(b)
    };
    let near = |got: f64, want: f64| assert!((got / want - 1.0).abs() < 1e-6, "{got}, not {want}");
    near(ratio("general", (1920, 1929), (1880, 1889)), 100.0);
    near(ratio("general", (1920, 1929), (1850, 1859)), 1000.0 / 0.7);
    near(ratio("general", (1920, 1929), (1780, 1799)), 12_500.0);
    near(ratio("specialist", (1920, 1929), (1780, 1799)), 250.0 / 6.0);
    near(ratio("specialist", (1920, 1929), (1890, 1899)), 250.0 / 140.0);
    // And no step from one year to the next is an artefact of the decades they were written down by.
    for prior in ["specialist", "general"] {
        let ln = STARTER.prior(Some(prior)).unwrap().ln_by_year();
        assert!(ln.windows(2).all(|pair| (pair[1] - pair[0]).abs() < 0.5), "{prior}");
    }
}

#[test]
fn the_catalogue_is_whole_and_every_clue_that_dates_has_a_table() {
    let catalogue = STARTER.catalogue();
    assert!(catalogue.clues().len() >= 30);
    for clue in catalogue.clues() {
        assert!(!clue.how.is_empty() && !clue.label.is_empty(), "{}", clue.id);
        assert!(clue.levels.iter().all(|level| !level.look.is_empty()), "{}", clue.id);
        let tabled = STARTER.tables().level_table(&clue.id).is_some()
            || STARTER.tables().measured_table(clue.part, &clue.id).is_some();
        let known = matches!(clue.kind, ClueKind::Mark | ClueKind::Register);
        assert!(tabled || clue.adjusts || known, "{} has no table", clue.id);
    }
    assert_eq!(STARTER.origin().clubs, 0);
    // A club of every clue is dated, above the number of clues that all sets are gone through for.
    let every: Vec<(String, String)> = catalogue
        .clues()
        .iter()
        .filter(|clue| (clue.part != Part::Head || clue.adjusts) && clue.kind != ClueKind::Mark)
        .map(|clue| (clue.id.clone(), clue.levels.first().map_or("30".to_owned(), |level| level.id.clone())))
        .filter(|(id, _)| !["shaft_diameter", "blade_height"].contains(&id.as_str()))
        .collect();
    let every: Vec<(&str, &str)> = every.iter().map(|(id, text)| (id.as_str(), text.as_str())).collect();
    // Shaft and grip date the head only as far as they are its own: less than they date themselves.
    let club = club(catalogue, &every);
    let (head, shaft) = (date(&STARTER, &club, None), STARTER.parts_model().unwrap());
    assert!(head.has_evidence() && !shaft.signs.is_empty());
    assert_eq!(head.clues.iter().filter(|one| one.clue.starts_with("shaft")).count(), 3);
}

/// Every level of the starter rules and of the demo is understood by the name that texts, charts and sheets print for
/// it.
#[test]
fn every_printed_name_of_a_level_is_read_as_that_level() {
    let demo = demo_calibration();
    for catalogue in [STARTER.catalogue(), demo.catalogue()] {
        for clue in catalogue.clues() {
            for (k, level) in clue.levels.iter().enumerate() {
                let cell = Cell::from_text(clue, &level.name(), false).unwrap();
                let seen = cell.reading().map(|reading| reading.seen.clone());
                assert_eq!(seen, Some(Seen::Levels(vec![k])), "{} {}", clue.id, level.name());
                assert!(!level.name().contains('_'), "{} prints an id: {}", clue.id, level.name());
            }
        }
    }
}
