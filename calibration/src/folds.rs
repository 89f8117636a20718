//! Folds of a collection.

/// Fold of each club: clubs in the order of their dates are dealt out in turn, so that every fold spans the years.
///
/// `middle` holds the middle of each club's date; ties keep the order given. There are `min(n_folds, clubs)` folds.
#[must_use]
pub fn folds_by_date(middle: &[f64], n_folds: usize) -> Vec<usize> {
    let n_folds = n_folds.clamp(1, middle.len().max(1));
    let mut order: Vec<usize> = (0..middle.len()).collect();
    order.sort_by(|&a, &b| middle[a].total_cmp(&middle[b]));
    let mut fold = vec![0; middle.len()];
    for (rank, club) in order.into_iter().enumerate() {
        fold[club] = rank % n_folds;
    }
    fold
}
