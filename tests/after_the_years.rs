//! What is made after the axis ends: replicas, and shafts and grips that were renewed since, as one cell more. The
//! exact sums over all years of three parts and that cell stand in `parts_enumerated`.
#![allow(clippy::unwrap_used, clippy::cast_precision_loss, reason = "a test stops where something is missing")]

use agewright_calibration::{AuditPlan, DatedClub, FitSettings, Rules, audit};
use agewright_model::questions::which_is_older::{OlderThan, chances_of_oldest};
use agewright_model::tables::after_the_years::AfterTheYears;
use agewright_model::tables::chance_by_year::ChanceByYear;
use agewright_model::tables::replacement::PartsModel;
use agewright_model::{Calibration, Dating, Part, Posterior, next_looks};
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::edtf::{earliest_and_latest, edtf, edtf_level_1};
use agewright_pages::words::label_date::{label_date, stands_for};
use external_checks::{DEMO_CATALOGUE, DEMO_COLLECTION, STARTER, catalogue, changed, club, date_part};
use external_checks::{account, ask, date_readings, dated_clubs, demo_calibration};
use proptest::prelude::*;

const OLD_HEAD: [(&str, &str); 4] = [
    ("hosel_to_crease", "4.3"),
    ("face_scoring", "smooth"),
    ("pin_direction", "side_side"),
    ("nicking_coarseness", "medium"),
];

fn dated(calibration: &Calibration, readings: &[(&str, &str)], part: Part) -> Dating {
    date_part(calibration, &club(calibration.catalogue(), readings), part, None)
}

/// A shaft put in again, by all signs.
fn renewed() -> Vec<(&'static str, &'static str)> {
    let fixed = [
        ("shaft_making", "turned"),
        ("shaft_fit", "step"),
        ("pin_kind", "second_hole"),
        ("grip_material", "tanned"),
        ("grip_listing", "tape"),
        ("earlier_grip", "tide_marks"),
    ];
    [&OLD_HEAD[..], &fixed].concat()
}

/// The same calibration, nine in ten of its later grips of after the years.
fn mostly_after() -> Calibration {
    changed(&STARTER, |contents| {
        let after = &mut contents.parts.as_mut().unwrap().after;
        after.grip = Some(ChanceByYear { points: vec![(1900.0, 0.9)] });
    })
}

/// The same calibration, its rules silent on what is after the years.
fn silent() -> Calibration {
    changed(&STARTER, |contents| contents.parts.as_mut().unwrap().after = Default::default())
}

#[test]
fn a_renewed_shaft_has_a_place_after_the_years() {
    let (with, without) = (dated(&STARTER, &renewed(), Part::Shaft), dated(&silent(), &renewed(), Part::Shaft));
    // Known to be a later one, of which two in ten are of after the years; turned, as nine in ten of those are.
    assert!(with.replaced.unwrap() > 0.9 && (0.3..0.5).contains(&with.posterior.after()), "{}", with.posterior.after());
    assert!(with.before.after() < with.posterior.after(), "turned and on tape, as later ones are");
    assert!(without.posterior.after().abs() < 1e-15 && without.posterior.latest() == 1939);
    assert!((without.posterior.probability_before(1947) - 1.0).abs() < 1e-12);
    assert!((with.posterior.probability_before(1947) + with.posterior.after() - 1.0).abs() < 1e-12);
    // A flush shaft of one colour on an old head, without a sign of being later, is seldom of after them.
    let own = [&OLD_HEAD[..], &[("shaft_making", "hand_round"), ("shaft_fit", "flush")]].concat();
    assert!(dated(&STARTER, &own, Part::Shaft).posterior.after() < 0.06);
}

#[test]
fn a_band_that_reaches_the_cell_is_open_in_every_form() {
    let grip = dated(&mostly_after(), &renewed(), Part::Grip);
    assert!(grip.posterior.after() > 0.8, "{}", grip.posterior.after());
    assert_eq!((grip.posterior.median(), grip.band(0.8).to()), (1940, 1940));
    assert!(grip.short().probability >= 0.8, "{:?}", grip.short());
    assert_eq!(date_line(&grip), "after 1939 (4 in 5)");
    assert_eq!(label_date(&grip), "after 1939");
    assert_eq!((edtf(&grip).as_str(), edtf_level_1(&grip).as_deref()), ("[1940..]", Some("1940/..")));
    assert_eq!(earliest_and_latest(&grip, 0.8), (Some(1940), None));
    assert!(stands_for(&grip).contains("the grip was made after 1939;"), "{}", stands_for(&grip));
    let shaft = dated(&STARTER, &renewed(), Part::Shaft);
    let (from, to) = (shaft.band(0.95).from(), shaft.band(0.95).to());
    assert!(from < 1930 && to == 1940);
    assert_eq!(earliest_and_latest(&shaft, 0.95), (Some(from), None));
    assert!(stands_for(&shaft).contains(&format!("nineteen in twenty that it was made in {from} or later")));
}

/// What lies before the end of the axis is no longer open for want of a place behind it.
#[test]
fn a_band_that_ends_with_the_axis_is_closed_where_later_years_have_a_place() {
    let late = [("face_scoring", "deep_ribs"), ("name_or_number", "number"), ("hosel_to_crease", "3.2")];
    let ends = |calibration: &Calibration| {
        let dating = dated(calibration, &late, Part::Head);
        (dating.band(0.95).to(), earliest_and_latest(&dating, 0.95).1)
    };
    // So few of after them that no band reaches there.
    let few = changed(&STARTER, |contents| {
        (contents.parts.as_mut().unwrap().after.head, contents.shared_lag) = (1e-6, 100.0);
    });
    assert_eq!(ends(&few), (1939, Some(1939)));
    let (_, latest) = ends(&changed(&silent(), |contents| contents.shared_lag = 100.0));
    assert_eq!(latest, None);
}

/// A chance of a head after the years of one in three, by the rules.
fn one_in_three() -> Calibration {
    changed(&STARTER, |contents| contents.parts.as_mut().unwrap().after.head = 1.0 / 3.0)
}

/// Two answers, one of them after the years, are both told, and the average year is not said to be drawn from both.
#[test]
fn after_the_years_can_be_one_of_two_answers() {
    let dating = dated(&one_in_three(), &OLD_HEAD, Part::Head);
    assert!((dating.posterior.after() - 1.0 / 3.0).abs() < 1e-9);
    let modes = dating.band(0.8).modes();
    assert!(modes.len() == 2 && (modes[1].from, modes[1].to) == (1940, 1940), "{modes:?}");
    assert!((modes[1].probability - 1.0 / 3.0).abs() < 1e-9);
    let (line, edtf) = (date_line(&dating), edtf(&dating));
    assert!(line.ends_with(" or after 1939 (4 in 5)") && edtf.ends_with(",1940..]"), "{line} {edtf}");
    assert!(label_date(&dating).ends_with(" or after 1939"), "{}", label_date(&dating));
}

/// What a part of after the years shows of tell-tale clues: by Bayes' theorem, written out.
#[test]
fn a_named_look_moves_the_odds_of_after_the_years() {
    let calibration = changed(&one_in_three(), |contents| contents.shared_lag = 0.0);
    let odds = |level: &str| {
        let posterior = date_readings(&calibration, &[("iron_grain", level)], None).posterior;
        posterior.after() / (1.0 - posterior.after())
    };
    let table = calibration.tables().levels.iter().find(|table| table.clue == "iron_grain").unwrap();
    let clue = calibration.catalogue().clue("iron_grain").unwrap();
    let axis = calibration.catalogue().axis();
    let prior: Vec<f64> = calibration.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    for (k, (level, later)) in [("strong", 0.02), ("slight", 0.04), ("none_seen", 0.94)].into_iter().enumerate() {
        let by_row: Vec<f64> = table.rows.iter().map(|row| row.shares[k]).collect();
        let before: f64 = axis.rows_to_years(&by_row).iter().zip(&prior).map(|(l, p)| l.powf(table.weight) * p).sum();
        let after = ((1.0 - clue.misread) * later + clue.misread * table.overall[k]).powf(table.weight);
        assert!((odds(level) - 0.5 * after / before).abs() < 1e-9, "{level}: {}, not {}", odds(level), after / before);
    }
}

/// A shaft of after the years copies those that such a head has: a measure that the rules do not name says nothing of
/// them, however odd it is.
#[test]
fn a_measure_of_the_shaft_leaves_the_chance_as_it_was() {
    let signs = [("shaft_fit", "step"), ("pin_kind", "one_pin")];
    let after = |diameter: Option<&str>| {
        let own: Vec<(&str, &str)> = diameter.into_iter().map(|value| ("shaft_diameter", value)).collect();
        let readings = [&OLD_HEAD[..], &signs, &own].concat();
        (
            dated(&STARTER, &readings, Part::Shaft).posterior.after(),
            dated(&STARTER, &readings, Part::Head).posterior.after(),
        )
    };
    let (shaft, head) = after(None);
    assert!(shaft > 0.05, "{shaft}");
    for diameter in ["0.48", "0.51", "0.58", "0.64", "0.70"] {
        let (own, of_head) = after(Some(diameter));
        assert!((own - shaft).abs() < 1e-9, "{diameter}: {own}, not {shaft}");
        assert!((of_head - head).abs() < 1e-3, "{diameter}: {of_head}, not {head}");
    }
}

/// A number registered after the years proves a year after them, but for the chance that it is misread; by Bayes'
/// theorem then 1 - e + e a is left, a the chance before.
#[test]
fn a_number_from_after_the_years_proves_them() {
    let misread = STARTER.catalogue().clue("design_number").unwrap().misread;
    let dating = date_readings(&STARTER, &[("design_number", "882949")], None);
    let want = 1.0 - misread + misread * 0.01;
    assert!((dating.posterior.after() - want).abs() < 1e-9, "{}, not {want}", dating.posterior.after());
    assert!(dating.out_of_step.is_empty() && dating.clues[0].misread < 0.1, "it is no misreading then");
    assert_eq!(date_line(&dating), "after 1939 (4 in 5)");
    let silent = date_readings(&silent(), &[("design_number", "882949")], None);
    assert!(silent.posterior.after().abs() < 1e-15 && silent.clues[0].misread > 0.99);
}

/// A mark that goes on being used behind the years speaks for them by the share of its use there.
#[test]
fn a_mark_of_later_years_speaks_for_them() {
    let (clue, mark) = ("royal_device", "edward_vii");
    let calibration = changed(&STARTER, |contents| {
        for used in contents.marks.iter_mut().filter(|used| used.clue == clue && used.mark == mark) {
            (used.used_from, used.used_to) = (1936, 1970);
        }
    });
    let posterior = date_readings(&calibration, &[(clue, mark)], None).posterior;
    let clue = calibration.catalogue().clue(clue).unwrap();
    let used = calibration.marks().iter().find(|used| used.mark == mark && used.used_from == 1936).unwrap();
    let prior: Vec<f64> = calibration.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let right: Vec<f64> = posterior.axis().years().map(|year| used.in_year(year)).collect();
    let wrong = clue.misread * right.iter().sum::<f64>() / right.len() as f64;
    let before: f64 = right.iter().zip(&prior).map(|(r, p)| ((1.0 - clue.misread) * r + wrong) * p).sum();
    let odds = 0.01 / 0.99 * (1.0 - clue.misread + wrong) / before;
    assert!((posterior.after() - odds / (1.0 + odds)).abs() < 1e-9, "{}", posterior.after());
    assert!(posterior.after() > 0.2);
}

/// What speaks for later years is no misreading as far as the part is of them.
#[test]
fn a_misreading_is_told_of_all_years() {
    let readings = [&OLD_HEAD[..], &[("iron_grain", "none_seen")]].concat();
    let (with, axis) = (dated(&one_in_three(), &readings, Part::Head), dated(&silent(), &readings, Part::Head));
    let misread = |dating: &Dating| dating.clue("iron_grain").unwrap().misread;
    let table = STARTER.tables().levels.iter().find(|table| table.clue == "iron_grain").unwrap();
    let wrong = STARTER.catalogue().clue("iron_grain").unwrap().misread * table.overall[2];
    let of_cell = wrong / ((1.0 - STARTER.catalogue().clue("iron_grain").unwrap().misread) * 0.94 + wrong);
    let after = with.posterior.after();
    let want = (1.0 - after) * misread(&axis) + after * of_cell;
    assert!((misread(&with) - want).abs() < 1e-9, "{}, not {want}", misread(&with));
}

/// The law of total probability: what may be found next, each as likely as it is told, leaves the chance of later years
/// where it is.
#[test]
fn next_expects_what_later_parts_show() {
    let calibration = changed(&one_in_three(), |contents| {
        contents.shared_lag = 0.0;
        contents.tables.levels.iter_mut().for_each(|table| table.weight = 1.0);
    });
    let now = dated(&calibration, &OLD_HEAD, Part::Head).posterior.after();
    let whole = club(calibration.catalogue(), &OLD_HEAD);
    let looks = next_looks(&ask(&calibration, &whole, Part::Head, None)).looks;
    let look = looks.iter().find(|look| look.clue == "iron_grain").unwrap();
    let mean: f64 = look
        .outcomes
        .iter()
        .map(|outcome| {
            let readings = [&OLD_HEAD[..], &[("iron_grain", outcome.level.as_str())]].concat();
            outcome.chance * dated(&calibration, &readings, Part::Head).posterior.after()
        })
        .sum();
    assert!((mean - now).abs() < 1e-9, "{mean}, not {now}");
}

/// Two that are both of after the years: either may be the older, and one of before is older than either.
#[test]
fn what_is_after_the_years_is_younger_than_all_of_them() {
    let grip = dated(&mostly_after(), &renewed(), Part::Grip).posterior;
    let head = dated(&silent(), &OLD_HEAD, Part::Head).posterior;
    let alike = OlderThan::of(&grip, &grip);
    assert!((alike.older - alike.younger).abs() < 1e-12 && alike.same < 0.05, "{alike:?}");
    let order = OlderThan::of(&head, &grip);
    assert!(order.older > 0.99 && (order.older + order.same + order.younger - 1.0).abs() < 1e-12);
    let oldest = chances_of_oldest(&[&grip, &head, &grip]);
    assert!((oldest.iter().sum::<f64>() - 1.0).abs() < 1e-12 && oldest[1] > 0.98, "{oldest:?}");
    assert!((oldest[0] - oldest[2]).abs() < 1e-12);
}

/// The mean of two answers is that of what is after the years too.
#[test]
fn answers_are_averaged_with_what_is_after() {
    let [a, b] = [Part::Shaft, Part::Grip].map(|part| dated(&STARTER, &renewed(), part).posterior);
    let mean = Posterior::average(&[a.clone(), b.clone()]);
    assert!((mean.after() - 0.5 * (a.after() + b.after())).abs() < 1e-12);
    for ((mean, a), b) in mean.by_year().iter().zip(a.by_year()).zip(b.by_year()) {
        assert!((mean - 0.5 * (a + b)).abs() < 1e-12);
    }
}

/// Clubs of known date are of the years of the axis, and their scores are given that.
#[test]
fn an_audit_is_of_the_years_of_the_axis() {
    let catalogue = catalogue(DEMO_CATALOGUE);
    let clubs: Vec<DatedClub> = dated_clubs(DEMO_COLLECTION, &catalogue).into_iter().take(60).collect();
    let score = |head: f64| {
        let always = ChanceByYear { points: vec![(1900.0, 0.5)] };
        let parts = PartsModel {
            shaft_replaced: always.clone(),
            grip_replaced: always,
            signs: Vec::new(),
            sign_weight: 1.0,
            after: AfterTheYears { head, ..AfterTheYears::default() },
        };
        let rules = Rules { parts: Some(parts), ..Rules::default() };
        let settings = FitSettings { rules: Some(rules), ..FitSettings::default() };
        let audited = audit(&catalogue, &clubs, &settings, AuditPlan::Folds(3), 1, &|| {}).unwrap();
        audited.clubs.iter().map(|club| club.model.log_score).sum::<f64>()
    };
    assert!((score(0.3) - score(0.0)).abs() < 1e-9);
}

#[test]
fn a_calibration_without_such_rules_knows_of_no_later_years() {
    let posterior = dated(&demo_calibration(), &[("hosel_to_crease", "3.4")], Part::Head).posterior;
    assert!(posterior.after().abs() < 1e-15 && posterior.latest() == posterior.axis().last());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Readings that the rules do not name say nothing of whether a head is of after the years, whatever the lag; and
    /// what the axis is told, is told as if there were no such years.
    #[test]
    fn what_is_not_named_leaves_the_chance_as_it_was(
        hosel in 25..60_i32,
        pin in 0..3_usize,
        face in 0..5_usize,
        number in any::<bool>(),
        lag in 0.0..30.0_f64,
    ) {
        let hosel = format!("{:.1}", f64::from(hosel) / 10.0);
        let mut readings = vec![
            ("hosel_to_crease", hosel.as_str()),
            ("pin_direction", ["front_back", "oblique", "side_side"][pin]),
            ("face_scoring", ["smooth", "hand_lines", "stamped_dots", "stamped_lines", "deep_ribs"][face]),
        ];
        if number {
            readings.push(("design_number", "351202"));
        }
        let calibration = changed(&one_in_three(), |contents| contents.shared_lag = lag);
        let dating = dated(&calibration, &readings, Part::Head);
        prop_assert!((dating.posterior.after() - 1.0 / 3.0).abs() < 1e-9, "{}", dating.posterior.after());
        prop_assert!((dating.posterior.by_year_and_after().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let alone = dated(&changed(&silent(), |contents| contents.shared_lag = lag), &readings, Part::Head);
        for (with, without) in dating.posterior.on_axis().iter().zip(alone.posterior.by_year()) {
            prop_assert!((with - without).abs() < 1e-12);
        }
        let club = club(calibration.catalogue(), &readings);
        let closing = account(&calibration, &club, Part::Head, None).closing;
        prop_assert!((closing - alone.posterior.mean()).abs() < 1e-9);
    }
}
