//! What each clue alone tells of the date, as a shelf of its own: where the search for relevances starts.

use crate::shelf::pairs::Pairs;

/// Width of a vote while clues are tried alone.
const WIDTH: f64 = 0.35;
/// Added to the gain of a clue over the mean of all: none is worth nothing.
const FLOOR: f64 = 0.4;
const PRIOR_SHARE: f64 = 0.1;

/// Starting worths of the rows, from each clue's gain: the highest mean leave-one-out log score over the prior of the
/// clue alone, at relevances 1, 4 and 16, and never less than 0. Gains over their mean plus 0.4, brought to a geometric
/// mean of 1, each shared evenly among the clue's rows.
#[expect(clippy::cast_precision_loss, reason = "clues are few")]
pub(crate) fn starting_worths(pairs: &Pairs) -> Vec<f64> {
    let n_clues = pairs.clue_of_row.iter().max().map_or(0, |last| last + 1);
    let rows = |clue: usize| (0..pairs.clue_of_row.len()).filter(move |&row| pairs.clue_of_row[row] == clue);
    let kernel = pairs.kernel(WIDTH);
    let gains: Vec<f64> = (0..n_clues).map(|clue| gain(pairs, &rows(clue).collect::<Vec<_>>(), &kernel)).collect();
    let mean = (gains.iter().sum::<f64>() / n_clues as f64).max(1e-9);
    let raised: Vec<f64> = gains.iter().map(|gain| gain / mean + FLOOR).collect();
    let geometric = (raised.iter().map(|worth| worth.ln()).sum::<f64>() / n_clues as f64).exp();
    pairs.clue_of_row.iter().map(|&clue| raised[clue] / geometric / rows(clue).count() as f64).collect()
}

/// Gain of one clue, its rows averaged.
#[expect(clippy::cast_precision_loss, reason = "rows are two at the most")]
fn gain(pairs: &Pairs, rows: &[usize], kernel: &[f64]) -> f64 {
    let n = pairs.n_clubs;
    let mut scores = [0.0; 3];
    for i in 0..n {
        let (mut sums, mut totals) = ([0.0; 3], [0.0; 3]);
        for j in (0..n).filter(|&j| pairs.may_vote(i, j)) {
            let distance = rows.iter().map(|&row| pairs.distances(row, i)[j]).sum::<f64>() / rows.len() as f64;
            let first = (-0.5 * distance).exp();
            let fourth = first.powi(4);
            for (at, weight) in [first, fourth, fourth.powi(4)].into_iter().enumerate() {
                sums[at] += pairs.worths[j] * weight * kernel[i * n + j];
                totals[at] += pairs.worths[j] * weight;
            }
        }
        let prior = pairs.densities[i];
        for at in 0..3 {
            let mixture = (1.0 - PRIOR_SHARE) * sums[at] / totals[at].max(1e-300) + PRIOR_SHARE * prior;
            scores[at] += pairs.worths[i] * (mixture / prior).ln();
        }
    }
    let total: f64 = pairs.worths.iter().sum();
    scores.into_iter().map(|score| score / total).fold(0.0, f64::max)
}
