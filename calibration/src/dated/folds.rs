//! Folds of a collection, and smaller draws of it.

use crate::dated::dated_club::DatedClub;
use crate::dated::sets::Sets;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// Fold of each club: sets in the order of their dates are dealt out in turn, so that every fold spans the years; the
/// clubs of a set are all in one fold.
///
/// `middle` holds the middle of each club's date, `ids` its id, by which ties are dealt. There are `min(n_folds,
/// sets)` folds.
#[must_use]
pub fn folds_by_date(middle: &[f64], ids: &[&str], sets: &Sets, n_folds: usize) -> Vec<usize> {
    let n_folds = n_folds.clamp(1, sets.len().max(1));
    let mut fold = vec![0; middle.len()];
    for (rank, set) in by_date(middle, ids, sets).into_iter().enumerate() {
        set.iter().for_each(|&club| fold[club] = rank % n_folds);
    }
    fold
}

/// Places of a sample of so many at the most, evenly spaced.
pub(crate) fn evenly_spaced(all: usize, most: usize) -> impl Iterator<Item = usize> {
    let n = most.min(all);
    (0..n).map(move |k| (2 * k + 1) * all / (2 * n))
}

/// Which clubs belong to a sample of so many at the most, evenly spaced in the order of their dates; ties by their ids.
pub(crate) fn sampled_by_date(middle: &[f64], ids: &[&str], most: usize) -> Vec<bool> {
    let mut order: Vec<usize> = (0..middle.len()).collect();
    order.sort_by(|&a, &b| middle[a].total_cmp(&middle[b]).then_with(|| ids[a].cmp(ids[b])));
    let mut chosen = vec![false; order.len()];
    evenly_spaced(order.len(), most).for_each(|place| chosen[order[place]] = true);
    chosen
}

/// Sets in the order of the mean of their clubs' dates, ties by the first of their ids.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn by_date<'a>(middle: &[f64], ids: &[&str], sets: &'a Sets) -> Vec<&'a [usize]> {
    let mean = |set: &[usize]| set.iter().map(|&club| middle[club]).sum::<f64>() / set.len() as f64;
    let first_id = |set: &[usize]| set.iter().map(|&club| ids[club].to_owned()).min();
    let mut order: Vec<&[usize]> = sets.all().iter().map(Vec::as_slice).collect();
    order.sort_by(|a, b| mean(a).total_cmp(&mean(b)).then_with(|| first_id(a).cmp(&first_id(b))));
    order
}

/// A seeded draw of a share of the sets, spread over the years: of sets in the order of their dates, one in each run
/// of 1/share; their clubs in the order given.
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clubs are few"
)]
pub fn thinned(clubs: &[DatedClub], share: f64, seed: u64) -> Vec<DatedClub> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let middle: Vec<f64> = clubs.iter().map(|club| f64::from(club.made_from()) + f64::from(club.made_to())).collect();
    let (ids, sets) = (vec![""; clubs.len()], Sets::of(clubs.iter()));
    let order = by_date(&middle, &ids, &sets);
    let n = (order.len() as f64 * share.clamp(0.0, 1.0)).round() as usize;
    let mut chosen: Vec<usize> = (0..n)
        .flat_map(|k| {
            let (first, behind) = (k * order.len() / n, (k + 1) * order.len() / n);
            order[random.random_range(first..behind)]
        })
        .copied()
        .collect();
    chosen.sort_unstable();
    chosen.into_iter().map(|club| clubs[club].clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use agewright_model::{Axis, Club, KnownDate};

    #[test]
    fn clubs_are_dealt_out_in_the_order_of_their_dates_ties_by_id() {
        let fold =
            folds_by_date(&[1850.0, 1810.0, 1850.0, 1830.0, 1890.0], &["b", "z", "a", "y", "c"], &Sets::single(5), 2);
        // In order: z 1810, y 1830, a 1850, b 1850, c 1890.
        assert_eq!(fold, [1, 0, 0, 1, 0]);
        assert_eq!(
            folds_by_date(&[1850.0, 1810.0], &["a", "b"], &Sets::single(2), 10),
            [1, 0],
            "no more folds than clubs"
        );
        assert!(folds_by_date(&[], &[], &Sets::default(), 10).is_empty());
    }

    #[test]
    fn a_sample_spans_the_dates() {
        let middle = [1850.0, 1810.0, 1850.0, 1830.0, 1890.0];
        let ids = ["b", "z", "a", "y", "c"];
        // In order: z 1810, y 1830, a 1850, b 1850, c 1890.
        assert_eq!(sampled_by_date(&middle, &ids, 1), [false, false, true, false, false]);
        assert_eq!(sampled_by_date(&middle, &ids, 2), [true, false, false, true, false]);
        assert_eq!(sampled_by_date(&middle, &ids, 5), [true; 5]);
        assert_eq!(sampled_by_date(&middle, &ids, 99), [true; 5]);
        assert!(sampled_by_date(&[], &[], 9).is_empty());
    }

    #[test]
    fn a_draw_takes_one_club_of_each_run_of_years() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let club = |year: i32| {
            let date = KnownDate::new(axis, year, year, Default::default()).unwrap();
            DatedClub::new(Club { id: year.to_string(), ..Club::default() }, date)
        };
        let clubs: Vec<DatedClub> = (0..40).map(|n| club(1800 + (n * 37) % 40)).collect();
        for seed in 0..5 {
            let drawn = thinned(&clubs, 0.25, seed);
            let mut runs: Vec<i32> = drawn.iter().map(|club| (club.made_from() - 1800) / 4).collect();
            runs.sort_unstable();
            assert_eq!(runs, (0..10).collect::<Vec<i32>>());
            assert_eq!(drawn, thinned(&clubs, 0.25, seed), "the same seed draws the same clubs");
        }
        assert_ne!(thinned(&clubs, 0.25, 0), thinned(&clubs, 0.25, 1));
    }
}
