//! Shapley values against textbook games and against all orders of real clues.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::Part;
use agewright_model::numbers::shapley::{exact_shares, ordered_shares};
use external_checks::{account, club, date, demo_calibration};

fn near(got: &[f64], want: &[f64]) {
    for (g, w) in got.iter().zip(want) {
        assert!((g - w).abs() < 1e-12, "{got:?}, not {want:?}");
    }
}

/// Two left gloves and a right one; a pair is worth 1 (M. J. Osborne and A. Rubinstein, A Course in Game Theory, 1994,
/// treat such market games; shares 1/6, 1/6, 2/3 are textbook knowledge, from memory).
#[test]
fn the_glove_game() {
    let value: Vec<f64> = (0..8).map(|set: u32| if set & 0b100 != 0 && set & 0b011 != 0 { 1.0 } else { 0.0 }).collect();
    near(&exact_shares(3, &value), &[1.0 / 6.0, 1.0 / 6.0, 2.0 / 3.0]);
}

/// A runway costs as much as the largest aircraft that lands: costs 10, 20, 50 (S. C. Littlechild and G. Owen, A simple
/// expression for the Shapley value in a special case, 1973, from memory): each stretch is shared by those who need it.
#[test]
fn the_airport_game() {
    let costs = [10.0, 20.0, 50.0];
    let cost = |set: u32| (0..3).filter(|i| set & (1 << i) != 0).map(|i| costs[i]).fold(0.0, f64::max);
    let value: Vec<f64> = (0..8).map(cost).collect();
    let (a, b, c) = (10.0 / 3.0, 10.0 / 2.0, 30.0);
    near(&exact_shares(3, &value), &[a, a + b, a + b + c]);
}

fn permutations(n: usize) -> Vec<Vec<usize>> {
    if n == 0 {
        return vec![Vec::new()];
    }
    let shorter = permutations(n - 1);
    shorter.iter().flat_map(|p| (0..n).map(|at| [&p[..at], &[n - 1], &p[at..]].concat())).collect()
}

/// The ledger of seven real clues against the plain average over all 5040 orders, each posterior computed on its own.
#[test]
fn ledger_entries_are_the_average_over_all_orders() {
    // Votes of a shelf are summed on a coarse grid there: tests/shelf.rs.
    let calibration = external_checks::changed(&demo_calibration(), |contents| contents.shelf = None);
    let readings = [
        ("hosel_to_crease", "3.6"),
        ("top_edge", "0.2"),
        ("sole_width", "0.3"),
        ("pin_direction", "side_side"),
        ("face_scoring", "smooth"),
        ("nicking_regularity", "even?"),
        ("head_finish", "bare"),
    ];
    let whole = account(&calibration, &club(calibration.catalogue(), &readings), Part::Head, None);
    let mut ids: Vec<&str> = readings.iter().map(|(id, _)| *id).collect();
    ids.sort_unstable();
    let value = |joined: &[bool]| {
        let some: Vec<(&str, &str)> = ids
            .iter()
            .zip(joined)
            .filter(|(_, j)| **j)
            .map(|(id, _)| *readings.iter().find(|(r, _)| r == id).unwrap())
            .collect();
        let dating = date(&calibration, &club(calibration.catalogue(), &some), None);
        [dating.posterior.mean(), dating.posterior.entropy_bits()]
    };
    // 128 sets are dated once each; the orders then only look them up.
    let sets: Vec<[f64; 2]> =
        (0..128_usize).map(|set| value(&(0..7).map(|i| set & (1 << i) != 0).collect::<Vec<_>>())).collect();
    let looked_up =
        |joined: &[bool]| sets[joined.iter().enumerate().filter(|(_, j)| **j).map(|(i, _)| 1 << i).sum::<usize>()];
    let brute = ordered_shares(7, &permutations(7), looked_up);
    for (i, entry) in whole.entries.iter().enumerate() {
        assert_eq!(entry.clue, ids[i]);
        assert!(
            (entry.years - brute.shares[i][0]).abs() < 1e-9,
            "{}: {} and {}",
            ids[i],
            entry.years,
            brute.shares[i][0]
        );
        assert!((entry.bits.unwrap() + brute.shares[i][1]).abs() < 1e-9, "{}: bits", ids[i]);
    }
}
