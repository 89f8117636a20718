//! Which club is older, and how many were made in a decade: against exact sums on small grids, in whole numbers.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::questions::counts_by_decade::UncertainCount;
use agewright_model::questions::side_by_side::side_by_side;
use agewright_model::questions::which_is_older::{OlderThan, chances_of_oldest};
use agewright_model::{Axis, Part, Posterior};
use external_checks::{STARTER, ask};
use proptest::prelude::*;

/// A posterior with probabilities in the proportions of whole numbers.
fn of_weights(weights: &[u32]) -> Posterior {
    let n = i32::try_from(weights.len()).unwrap();
    let ln: Vec<f64> = weights.iter().map(|&w| f64::from(w).ln()).collect();
    Posterior::new(Axis::new(1850, 1850 + n, 1).unwrap(), &[&ln])
}

/// Every combination of years, its weight as a whole number.
fn combinations(clubs: &[Vec<u32>]) -> Vec<(Vec<usize>, u64)> {
    clubs.iter().fold(vec![(Vec::new(), 1)], |so_far, weights| {
        let extend = |(years, weight): &(Vec<usize>, u64)| {
            let (years, weight) = (years.clone(), *weight);
            weights
                .iter()
                .enumerate()
                .map(move |(year, &w)| ([years.clone(), vec![year]].concat(), weight * u64::from(w)))
                .collect::<Vec<_>>()
        };
        so_far.iter().flat_map(extend).collect()
    })
}

/// P(A < B) of 1, 2, 1 against 0, 1, 3 quarters: (1 (1 + 3) + 2 x 3)/16 = 10/16; the same year (2 x 1 + 1 x 3)/16.
#[test]
fn a_small_case_worked_by_hand() {
    let older = OlderThan::of(&of_weights(&[1, 2, 1]), &of_weights(&[0, 1, 3]));
    for (got, sixteenths) in [(older.older, 10.0), (older.same, 5.0), (older.younger, 1.0)] {
        assert!((got - sixteenths / 16.0).abs() < 1e-15, "{older:?}");
    }
}

proptest! {
    #[test]
    fn older_and_oldest_are_the_exact_sums(clubs in prop::collection::vec(prop::collection::vec(1_u32..9, 5), 2..5)) {
        let posteriors: Vec<Posterior> = clubs.iter().map(|weights| of_weights(weights)).collect();
        let all = combinations(&clubs);
        #[expect(clippy::cast_precision_loss, reason = "below 2^53")]
        let share = |part: u64| part as f64 / all.iter().map(|(_, w)| w).sum::<u64>() as f64;
        let sum = |when: &dyn Fn(&[usize]) -> bool| {
            share(all.iter().filter(|(years, _)| when(years)).map(|(_, weight)| weight).sum())
        };
        let older = OlderThan::of(&posteriors[0], &posteriors[1]);
        prop_assert!((older.older - sum(&|years| years[0] < years[1])).abs() < 1e-12);
        prop_assert!((older.same - sum(&|years| years[0] == years[1])).abs() < 1e-12);
        // 60 is divided by all numbers of clubs that may share the earliest year.
        let oldest = chances_of_oldest(&posteriors.iter().collect::<Vec<_>>());
        for (i, chance) in oldest.iter().enumerate() {
            let shares: u64 = all
                .iter()
                .map(|(years, weight)| {
                    let first = years.iter().min().unwrap();
                    let n = years.iter().filter(|year| *year == first).count() as u64;
                    if years[i] == *first { weight * (60 / n) } else { 0 }
                })
                .sum();
            prop_assert!((chance - share(shares) / 60.0).abs() < 1e-12, "club {}: {}", i, chance);
        }
        prop_assert!((oldest.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn counts_are_the_exact_sums_over_all_ways(tenths in prop::collection::vec(0_u32..=10, 0..9)) {
        let count = UncertainCount::of(tenths.iter().map(|&t| f64::from(t) / 10.0));
        let mut ways = vec![0_u64; tenths.len() + 1];
        for set in 0..1_u32 << tenths.len() {
            let weight: u64 = tenths
                .iter()
                .enumerate()
                .map(|(i, &t)| u64::from(if set & (1 << i) != 0 { t } else { 10 - t }))
                .product();
            ways[set.count_ones() as usize] += weight;
        }
        let total = 10_f64.powi(i32::try_from(tenths.len()).unwrap());
        for (got, way) in count.chance.iter().zip(&ways) {
            #[expect(clippy::cast_precision_loss, reason = "below 2^53")]
            let want = *way as f64 / total;
            prop_assert!((got - want).abs() < 1e-12);
        }
        let (fewest, most) = count.band(0.8);
        let held: f64 = count.chance[fewest..=most].iter().sum();
        prop_assert!(held >= 0.8 - 1e-9);
        if most > fewest {
            let shorter = most - fewest;
            for from in 0..=count.chance.len() - shorter {
                prop_assert!(count.chance[from..from + shorter].iter().sum::<f64>() < 0.8 + 1e-9, "a shorter run holds \
                     as much");
            }
        }
    }
}

/// By one clue alone nothing else speaks: a shaft that does not fit its hosel is no evidence on the hosel's length, nor
/// on which way the pin goes.
#[test]
fn signs_of_a_later_shaft_do_not_speak_for_other_clues() {
    let read = |id: &str, pin: &str, fit: &str| {
        let readings =
            [("pin_direction", pin), ("hosel_to_crease", "4.5"), ("shaft_fit", fit), ("pin_kind", "one_pin")];
        STARTER.catalogue().club(id, &readings).unwrap()
    };
    let by_clue = |fits: [&str; 2]| {
        let clubs = [read("A1", "front_back", fits[0]), read("A2", "side_side", fits[1])];
        let result = side_by_side(&clubs.each_ref().map(|club| ask(&STARTER, club, Part::Head, None)), &[]);
        let of = |clue: &str| result.clues.iter().find(|one| one.clue == clue).unwrap().oldest_by_it.clone();
        (of("hosel_to_crease").unwrap(), of("pin_direction").unwrap())
    };
    let (hosel, pin) = by_clue(["flush", "flush"]);
    assert!(hosel.iter().flatten().all(|chance| (chance - 0.5).abs() < 1e-12), "{hosel:?}");
    assert!(pin[0].unwrap() > pin[1].unwrap(), "front to back is the older way");
    for fits in [["step", "flush"], ["flush", "step"], ["askew", "step"]] {
        assert_eq!(by_clue(fits), (hosel.clone(), pin.clone()), "{fits:?}");
    }
}
