//! What to look at next, against brute force: clubs are drawn from the tables, those that agree with what is known are
//! kept, the clue is read on each, and the answers after it are averaged.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::draw_club;
use agewright_model::numbers::shared_lag::lag_nodes;
use agewright_model::questions::next_look::NextLook;
use agewright_model::tables::level_table::LevelRow;
use agewright_model::{Calibration, Cell, Club, Part, Posterior, Seen, next_looks};
use external_checks::{ask, club, demo_calibration, unweighed};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

/// Drawing follows the tables with every exponent at 1.
fn untempered() -> Calibration {
    unweighed(&demo_calibration())
}

fn posterior(calibration: &Calibration, club: &Club) -> Posterior {
    external_checks::posterior(calibration, club, Some("as-collected"))
}

fn width(posterior: &Posterior) -> f64 {
    posterior.band(0.8).intervals.iter().map(|piece| f64::from(piece.to - piece.from + 1)).sum()
}

struct Averages {
    bits: f64,
    /// Standard error of `bits`.
    error: f64,
    width: f64,
    change: f64,
    kept: usize,
}

/// Draws until `wanted` clubs agree with what is known (`agrees`), and looks at `clue` on each.
#[expect(clippy::cast_precision_loss, reason = "thousands of clubs")]
fn brute_force(
    calibration: &Calibration,
    known: &[&str],
    clue: &str,
    agrees: impl Fn(&Club) -> bool,
    wanted: usize,
) -> Averages {
    let prior = calibration.prior(Some("as-collected")).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(20);
    let (mut gains, mut widths, mut changes) = (Vec::new(), 0.0, 0.0);
    while gains.len() < wanted {
        let (_, drawn) = draw_club(calibration, prior, &mut random);
        if !agrees(&drawn) {
            continue;
        }
        let keep = |also: &[&str]| {
            let mut club = drawn.clone();
            for (cell, entry) in club.cells.iter_mut().zip(calibration.catalogue().clues()) {
                if !known.contains(&entry.id.as_str()) && !also.contains(&entry.id.as_str()) {
                    *cell = Cell::NotExamined;
                }
            }
            posterior(calibration, &club)
        };
        let (before, after) = (keep(&[]), keep(&[clue]));
        gains.push(before.entropy_bits() - after.entropy_bits());
        widths += width(&after);
        changes += f64::from(u8::from(after.median().abs_diff(before.median()) >= 10));
    }
    let n = gains.len() as f64;
    let bits = gains.iter().sum::<f64>() / n;
    let variance = gains.iter().map(|gain| (gain - bits).powi(2)).sum::<f64>() / (n - 1.0);
    Averages { bits, error: (variance / n).sqrt(), width: widths / n, change: changes / n, kept: gains.len() }
}

fn look(calibration: &Calibration, known: &[(&str, &str)], clue: &str) -> NextLook {
    let club = club(calibration.catalogue(), known);
    let looks = next_looks(&ask(calibration, &club, Part::Head, None)).looks;
    looks.into_iter().find(|look| look.clue == clue).unwrap()
}

fn compare(got: &NextLook, want: &Averages, slack: f64) {
    let (clue, kept) = (&got.clue, want.kept);
    assert!(
        (got.bits - want.bits).abs() < 4.0 * want.error + slack,
        "{clue}: {} bits, not {} ({kept})",
        got.bits,
        want.bits
    );
    assert!(
        (got.width - want.width).abs() < 0.02 * want.width + 0.5,
        "{clue}: width {}, not {}",
        got.width,
        want.width
    );
    assert!((got.change - want.change).abs() < 0.03, "{clue}: change {}, not {}", got.change, want.change);
}

#[test]
fn expected_gains_are_those_of_simulated_looks() {
    let calibration = untempered();
    let level = |club: &Club, clue: &str| {
        let ix = calibration.catalogue().clue_ix(clue).unwrap();
        match &club.cells[ix].reading().unwrap().seen {
            Seen::Levels(levels) => calibration.catalogue().clues()[ix].levels[levels[0]].id.clone(),
            _ => unreachable!("a level clue"),
        }
    };
    let known = [("pin_direction", "side_side"), ("hosel_join", "soft")];
    for clue in ["face_scoring", "hosel_to_crease"] {
        let agrees = |club: &Club| known.iter().all(|(id, word)| level(club, id) == *word);
        let want = brute_force(&calibration, &known.map(|(id, _)| id), clue, agrees, 6000);
        compare(&look(&calibration, &known, clue), &want, 0.003);
    }
}

/// With another measure known, what it leads one to expect counts too; the drawn clubs have it within 2 %.
#[test]
fn a_known_measure_tells_what_to_expect_of_another() {
    let calibration = untempered();
    let ix = calibration.catalogue().clue_ix("top_edge").unwrap();
    let agrees = |club: &Club| match club.cells[ix].reading().unwrap().seen {
        Seen::Measure { value, .. } => (value / 0.19).ln().abs() < 0.02,
        _ => false,
    };
    let want = brute_force(&calibration, &["top_edge"], "hosel_to_crease", agrees, 4000);
    compare(&look(&calibration, &[("top_edge", "0.19")], "hosel_to_crease"), &want, 0.02);
}

#[test]
fn chances_of_levels_are_predictive_and_sum_to_one() {
    // By the tables alone: what the dated clubs say is no sum that one does by hand.
    let calibration = external_checks::changed(&demo_calibration(), |contents| contents.shelf = None);
    let look = look(&calibration, &[("hosel_to_crease", "4")], "face_scoring");
    assert!((look.outcomes.iter().map(|outcome| outcome.chance).sum::<f64>() - 1.0).abs() < 1e-12);
    // By exact sums over years and lags: the chance of a level is the mean of its likelihood over the answer without
    // it, both by the year of fashion.
    let club = club(calibration.catalogue(), &[("hosel_to_crease", "4")]);
    let asked = ask(&calibration, &club, Part::Head, None);
    let weight = calibration.tables().block(Part::Head).unwrap().weight;
    let hosel: Vec<f64> = asked.evidence().ln_alone(0).iter().map(|ln| (weight * ln).exp()).collect();
    let prior: Vec<f64> = asked.prior().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let lags = lag_nodes(calibration.shared_lag(), 10);
    assert!(lags.len() > 1);
    let last = prior.len() - 1;
    let fashion = |year: usize, ahead: i32| year.saturating_add_signed(ahead as isize).min(last);
    let mean = |value: &dyn Fn(usize) -> f64| -> f64 {
        let years = |ahead: i32| (0..=last).map(move |year| (year, fashion(year, ahead)));
        let of = |ahead: i32| years(ahead).map(|(year, u)| prior[year] * hosel[u] * value(u)).sum::<f64>();
        lags.iter().map(|node| node.chance * of(node.ahead)).sum()
    };
    let table = calibration.tables().level_table("face_scoring").unwrap();
    let misread = calibration.catalogue().clue("face_scoring").unwrap().misread;
    for (k, outcome) in look.outcomes.iter().enumerate() {
        // Sure, a reading is as likely as its share among readings, but for levels rarer than their misreadings.
        let sum = |row: &LevelRow| -> f64 {
            row.shares.iter().zip(&table.overall).map(|(p, q)| (p - misread * q).max(0.0)).sum()
        };
        let share = |row: &LevelRow| (row.shares[k] - misread * table.overall[k]).max(0.0) / sum(row);
        let rows: Vec<f64> =
            table.rows.iter().map(|row| (1.0 - misread) * share(row) + misread * table.overall[k]).collect();
        let by_year = asked.axis().rows_to_years(&rows);
        let want = mean(&|u| by_year[u]) / mean(&|_| 1.0);
        assert!((outcome.chance - want).abs() < 1e-12, "{}", outcome.level);
    }
}
