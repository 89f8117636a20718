//! Folds of a collection, and smaller draws of it.

use crate::dated::dated_club::DatedClub;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// Fold of each club: clubs in the order of their dates are dealt out in turn, so that every fold spans the years.
///
/// `middle` holds the middle of each club's date, `ids` its id, by which ties are dealt. There are `min(n_folds,
/// clubs)` folds.
#[must_use]
pub fn folds_by_date(middle: &[f64], ids: &[&str], n_folds: usize) -> Vec<usize> {
    let n_folds = n_folds.clamp(1, middle.len().max(1));
    let mut order: Vec<usize> = (0..middle.len()).collect();
    order.sort_by(|&a, &b| middle[a].total_cmp(&middle[b]).then_with(|| ids[a].cmp(ids[b])));
    let mut fold = vec![0; middle.len()];
    for (rank, club) in order.into_iter().enumerate() {
        fold[club] = rank % n_folds;
    }
    fold
}

/// A seeded draw of a share of the clubs, spread over the years: of clubs in the order of their dates, one in each run
/// of 1/share; in the order given.
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clubs are few"
)]
pub fn thinned(clubs: &[DatedClub], share: f64, seed: u64) -> Vec<DatedClub> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut order: Vec<usize> = (0..clubs.len()).collect();
    order.sort_by_key(|&club| i64::from(clubs[club].made_from()) + i64::from(clubs[club].made_to()));
    let n = (clubs.len() as f64 * share.clamp(0.0, 1.0)).round() as usize;
    let mut chosen: Vec<usize> = (0..n)
        .map(|k| {
            let (first, behind) = (k * clubs.len() / n, (k + 1) * clubs.len() / n);
            order[random.random_range(first..behind)]
        })
        .collect();
    chosen.sort_unstable();
    chosen.into_iter().map(|club| clubs[club].clone()).collect()
}
