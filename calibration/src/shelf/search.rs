//! One relevance for all worths, the allowance and the width: the best of a grid.

use crate::shelf::pairs::Pairs;
use rayon::prelude::*;

/// Powers of the square root of 2 that are tried as relevance.
const POWERS: std::ops::RangeInclusive<i32> = -8..=8;
/// Allowances that are tried.
const ALLOWANCES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// Mean and standard deviation of the ln relevance, and of the ln width, that the choice is drawn to.
pub(crate) const RELEVANCE: [f64; 2] = [-1.0, 1.5];
pub(crate) const WIDTH: [f64; 2] = [-1.049_822_124_498_677_7, 0.7];

/// A relevance, an allowance and a width, with their score.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Chosen {
    pub score: f64,
    pub relevance: f64,
    pub allowance: f64,
    pub width: f64,
}

/// The best of the grid by the leave-one-out score sum_i ln(0.95 sum_j w_ij N(z_i; z_j + g s_ij, h) + 0.05 phi(z_i)),
/// less ((ln rho + 1)/1.5)^2/2 and ((ln h - ln 0.35)/0.7)^2/2.
pub(crate) fn best_of_grid(pairs: &Pairs, worths: &[f64], widths: &[f64]) -> Chosen {
    let by_club: Vec<Vec<f64>> =
        (0..pairs.n_clubs).into_par_iter().map(|i| scores_of_club(pairs, i, worths, widths)).collect();
    let mut best: Option<Chosen> = None;
    let (n_widths, mut at) = (widths.len(), 0);
    for power in POWERS {
        let relevance = relevance_of(power);
        for allowance in ALLOWANCES {
            for &width in &widths[..n_widths] {
                let sum: f64 = by_club.iter().map(|scores| scores[at]).sum();
                let score = sum - pull(relevance.ln(), RELEVANCE) - pull(width.ln(), WIDTH);
                if best.is_none_or(|best| score > best.score) {
                    best = Some(Chosen { score, relevance, allowance, width });
                }
                at += 1;
            }
        }
    }
    best.unwrap_or(Chosen { score: 0.0, relevance: 1.0, allowance: 0.0, width: widths[0] })
}

fn relevance_of(power: i32) -> f64 {
    (f64::from(power) / 2.0).exp2()
}

/// ((value - mean)/sd)^2/2.
pub(crate) fn pull(value: f64, [mean, sd]: [f64; 2]) -> f64 {
    0.5 * ((value - mean) / sd).powi(2)
}

/// Worth times ln score of club i, in the order of the grid: relevances, allowances, widths.
fn scores_of_club(pairs: &Pairs, i: usize, worths: &[f64], widths: &[f64]) -> Vec<f64> {
    let others: Vec<usize> = (0..pairs.n_clubs).filter(|&j| pairs.may_vote(i, j)).collect();
    let summed = pairs.summed(i, worths);
    let nearest = others.iter().map(|&j| summed[j]).fold(f64::INFINITY, f64::min);
    let shifts = pairs.shifts(i);
    let kernels: Vec<Vec<f64>> = ALLOWANCES
        .iter()
        .flat_map(|allowance| widths.iter().map(move |width| (allowance, width)))
        .map(|(allowance, width)| others.iter().map(|&j| pairs.density(i, j, allowance * shifts[j], *width)).collect())
        .collect();
    // Weights of every second relevance are the squares of those two before.
    let mut last: [Vec<f64>; 2] = [Vec::new(), Vec::new()];
    let mut scores = Vec::new();
    for (place, power) in POWERS.enumerate() {
        let weights = &mut last[place % 2];
        if weights.is_empty() {
            let relevance = relevance_of(power);
            *weights = others.iter().map(|&j| pairs.worths[j].ln() - 0.5 * relevance * (summed[j] - nearest)).collect();
            weights.iter_mut().for_each(|ln| *ln = ln.exp());
        } else {
            for (weight, &j) in weights.iter_mut().zip(&others) {
                *weight = *weight * *weight / pairs.worths[j];
            }
        }
        let total: f64 = weights.iter().sum();
        for kernel in &kernels {
            let density = weights.iter().zip(kernel).map(|(weight, kernel)| weight * kernel).sum::<f64>() / total;
            scores.push(pairs.worths[i] * pairs.ln_mixture(i, density).0);
        }
    }
    scores
}
