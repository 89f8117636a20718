//! Relevances of all rows, the allowance and the width together, refined by the leave-one-out score.

use crate::shelf::pairs::{Pairs, Votes};
use crate::shelf::search::{Chosen, RELEVANCE, WIDTH, pull};
use crate::shelf::width::MOST_WIDTH;
use crate::smooth::bounded_search::{Patience, least_in_box};
use rayon::prelude::*;

/// With fewer clubs the grid's best stays.
const LEAST_CLUBS: usize = 36;
/// Where ln relevances are kept.
const LN_RELEVANCES: [f64; 2] = [-6.0, 5.0];
const PATIENCE: Patience = Patience { steps: 40, slope: 1e-5, gain: 1e-9 };

/// Relevances by row, with an allowance and a width.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refined {
    pub relevances: Vec<f64>,
    pub allowance: f64,
    pub width: f64,
    pub score: f64,
}

/// The best that is found near the grid's choice, from 36 clubs: relevances are held to it by a rein of standard
/// deviation 1.2 n^2/(n^2 + 150^2) in ln, that loosens with the number n of clubs.
///
/// Maximises sum_i ln(0.95 p_i + 0.05 phi(z_i)) - sum_r (l_r - mean l)^2/(2 tau^2) - ((mean ln B + 1)/1.5)^2/2 -
/// ((ln h - ln 0.35)/0.7)^2/2 with l_r = ln B_r less its start.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
pub(crate) fn refined(pairs: &Pairs, n_clubs: usize, worths: &[f64], chosen: Chosen, least_width: f64) -> Refined {
    let start: Vec<f64> = worths.iter().map(|worth| (worth * chosen.relevance).ln()).collect();
    let unrefined = || Refined {
        relevances: start.iter().map(|ln| ln.exp()).collect(),
        allowance: chosen.allowance,
        width: chosen.width,
        score: chosen.score,
    };
    if n_clubs < LEAST_CLUBS {
        return unrefined();
    }
    let n = n_clubs as f64;
    let rein = 1.2 * n * n / (n * n + 150.0 * 150.0);
    let mut bounds = vec![LN_RELEVANCES; start.len()];
    bounds.extend([[0.0, 1.0], [least_width.ln(), MOST_WIDTH.ln()]]);
    let mut first = start.clone();
    first.extend([chosen.allowance, chosen.width.ln()]);
    let found = least_in_box(&first, &bounds, PATIENCE, |at| negative_score(pairs, at, &start, rein));
    let (ln_relevances, rest) = found.at.split_at(start.len());
    Refined {
        relevances: ln_relevances.iter().map(|ln| ln.exp()).collect(),
        allowance: rest[0],
        width: rest[1].exp(),
        score: -found.value,
    }
}

/// The score with its sign turned, and its slopes, at ln relevances, an allowance and a ln width.
#[expect(clippy::cast_precision_loss, reason = "rows are few")]
pub(crate) fn negative_score(pairs: &Pairs, at: &[f64], start: &[f64], rein: f64) -> (f64, Vec<f64>) {
    let n_rows = start.len();
    let relevances: Vec<f64> = at[..n_rows].iter().map(|ln| ln.exp()).collect();
    let (allowance, width) = (at[n_rows], at[n_rows + 1].exp());
    let by_club: Vec<(f64, Vec<f64>)> =
        (0..pairs.n_clubs).into_par_iter().map(|i| score_of_club(pairs, i, &relevances, allowance, width)).collect();
    let (mut score, mut slopes) = (0.0, vec![0.0; n_rows + 2]);
    for (own, own_slopes) in by_club {
        score += own;
        slopes.iter_mut().zip(own_slopes).for_each(|(sum, slope)| *sum += slope);
    }
    let moves: Vec<f64> = at[..n_rows].iter().zip(start).map(|(ln, start)| ln - start).collect();
    let mean_move = moves.iter().sum::<f64>() / n_rows as f64;
    let mean = at[..n_rows].iter().sum::<f64>() / n_rows as f64;
    score -= moves.iter().map(|own| (own - mean_move).powi(2)).sum::<f64>() / (2.0 * rein * rein);
    score -= pull(mean, RELEVANCE) + pull(at[n_rows + 1], WIDTH);
    for (slope, own) in slopes.iter_mut().zip(&moves) {
        *slope -= (own - mean_move) / (rein * rein) + (mean - RELEVANCE[0]) / RELEVANCE[1].powi(2) / n_rows as f64;
    }
    slopes[n_rows + 1] -= (at[n_rows + 1] - WIDTH[0]) / WIDTH[1].powi(2);
    (-score, slopes.iter().map(|slope| -slope).collect())
}

/// Worth times ln score of club i, and its slopes.
fn score_of_club(pairs: &Pairs, i: usize, relevances: &[f64], allowance: f64, width: f64) -> (f64, Vec<f64>) {
    let n_rows = relevances.len();
    let summed = pairs.summed(i, relevances);
    let others: Vec<usize> = (0..pairs.n_clubs).filter(|&j| pairs.may_vote(i, j)).collect();
    let nearest = others.iter().map(|&j| summed[j]).fold(f64::INFINITY, f64::min);
    let mut weights: Vec<f64> =
        others.iter().map(|&j| pairs.worths[j] * (-0.5 * (summed[j] - nearest)).exp()).collect();
    let total: f64 = weights.iter().sum();
    weights.iter_mut().for_each(|weight| *weight /= total);
    let votes: Vec<Votes> = others.iter().map(|&j| pairs.votes(i, j, allowance, width)).collect();
    let density: f64 = weights.iter().zip(&votes).map(|(weight, vote)| weight * vote.density).sum();
    let (ln, by_density) = pairs.ln_mixture(i, density);
    let worth = pairs.worths[i];
    let mut slopes = vec![0.0; n_rows + 2];
    let pulls: Vec<f64> = weights.iter().zip(&votes).map(|(weight, vote)| weight * (vote.density - density)).collect();
    for (row, slope) in slopes.iter_mut().take(n_rows).enumerate() {
        let distances = pairs.distances(row, i);
        let sum: f64 = pulls.iter().zip(&others).map(|(pull, &j)| pull * distances[j]).sum();
        *slope = -0.5 * worth * by_density * relevances[row] * sum;
    }
    let shifts = pairs.shifts(i);
    let square = width * width;
    for ((weight, vote), &j) in weights.iter().zip(&votes).zip(&others) {
        slopes[n_rows] += worth * by_density * weight * vote.by_place * shifts[j] / square;
        slopes[n_rows + 1] += worth * by_density * weight * (vote.by_square / square - vote.density);
    }
    (worth * ln, slopes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::dated_club::DatedClub;
    use crate::shelf::allowance::Allowance;
    use crate::shelf::side_by_side::SideBySide;
    use crate::tables::fit_data::FitData;
    use crate::tables::method::FitMethod;
    use agewright_model::reading::known_date::DateGrade;
    use agewright_model::tables::prior_scale::PriorScale;
    use agewright_model::{Axis, Catalogue, Clue, ClueKind, KnownDate, Level, Part, Prior};

    /// The slopes against differences of the score itself: clubs of one year and of several, of all grades, in sets,
    /// with a measure whose readings repeat.
    #[test]
    fn the_slopes_are_those_of_the_score() {
        let levels = ["coarse", "fine"].map(Level::plain).to_vec();
        let teeth = Clue { levels, misread: 0.05, ..Clue::new("teeth", ClueKind::Levels, Part::Head) };
        let hosel = Clue { misread: 0.02, ..Clue::new("hosel", ClueKind::Measured, Part::Head) };
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let catalogue = Catalogue::new("small", axis, vec![teeth, hosel]).unwrap();
        let dated = |n: i32| {
            let year = 1805 + (n * 37) % 90;
            let word = if (n * 7) % 11 + year / 10 - 180 < 10 { "coarse" } else { "fine" };
            let length = format!("{:.1}", 5.0 - 0.02 * f64::from(year - 1800) + 0.1 * f64::from(n % 3));
            let club = catalogue.club(&format!("{n:02}"), &[("teeth", word), ("hosel", &length)]).unwrap();
            let grade = DateGrade::new(1 + u8::try_from(n % 4).unwrap()).unwrap();
            let club = DatedClub::new(club, KnownDate::new(axis, year, year + n % 3, grade).unwrap());
            if n % 6 == 0 { club.of_set("lot") } else { club }
        };
        let clubs: Vec<DatedClub> = (0..40).map(dated).collect();
        let method = FitMethod::default();
        let data = FitData::new(&catalogue, clubs.iter().collect(), None, &method);
        let side = SideBySide::new(&data, &[true; 40], Part::Head, &PriorScale::of(&Prior::flat(axis))).unwrap();
        let pairs = Pairs::new(&side, &Allowance::fit(&side));
        assert_eq!(pairs.n_rows(), 3, "same or not, how far, teeth");
        let (start, at) = ([0.1, -0.3, 0.4], [0.5, -0.9, 0.2, 0.6, -1.2]);
        let (_, slopes) = negative_score(&pairs, &at, &start, 0.4);
        for k in 0..5 {
            let moved = |by: f64| {
                let mut at = at;
                at[k] += by;
                negative_score(&pairs, &at, &start, 0.4).0
            };
            let want = (moved(1e-5) - moved(-1e-5)) / 2e-5;
            assert!((slopes[k] - want).abs() < 1e-5 * want.abs().max(1.0), "{k}: {}, by differences {want}", slopes[k]);
        }
    }
}
