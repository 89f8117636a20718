//! Fits the table of a level clue: smoothed shares of its levels through time.

use crate::smooth::kernels::Kernels;
use crate::smooth::score_weights::score_weights;
use crate::tables::rules::LevelRuleRows;
use agewright_model::tables::level_table::LevelRow;

/// Strengths of the pull to the overall shares, in clubs.
const STRENGTHS: [f64; 5] = [0.5, 1.0, 2.0, 4.0, 8.0];

/// One dated club's reading of a level clue.
#[derive(Debug, Clone)]
pub(crate) struct LevelReading {
    pub club: usize,
    pub worth: f64,
    /// Levels named.
    pub levels: Vec<usize>,
}

/// A fitted level table.
#[derive(Debug, Clone)]
pub(crate) struct LevelFit {
    pub overall: Vec<f64>,
    pub rows: Vec<LevelRow>,
    /// Weighted mean bandwidth in years.
    pub bandwidth: f64,
}

/// Dirichlet-multinomial predictive share of a level: (count + strength q)/(total + strength), q its overall share.
///
/// Source: J. E. Mosimann, On the compound multinomial distribution, 1962 (from memory).
#[must_use]
pub fn predictive_share(count: f64, total: f64, strength: f64, overall: f64) -> f64 {
    (count + strength * overall) / (total + strength)
}

/// Kernel-weighted counts at every row.
struct Counts {
    by_level: Vec<Vec<f64>>,
    total: Vec<f64>,
}

/// Geometric mean over bandwidths and strengths of P_rk = (C_rk + a q_k)/(T_r + a), weighted by exp(leave-one-out log
/// score) and renormalised. A rule adds its shares times its worth to the counts of every row, not smeared by the
/// kernel; it is never scored. `None` with neither reading nor rule.
pub(crate) fn fit_levels(
    kernels: &Kernels,
    readings: &[LevelReading],
    n_levels: usize,
    rule: Option<&LevelRuleRows>,
) -> Option<LevelFit> {
    if readings.is_empty() && rule.is_none() {
        return None;
    }
    let mut tallies: Vec<f64> = tally(readings, n_levels);
    let mut counts: Vec<Counts> = (0..kernels.n_bandwidths()).map(|h| count(kernels, readings, n_levels, h)).collect();
    let own_clubs: Vec<Vec<f64>> = counts.iter().map(|counts| counts.total.clone()).collect();
    if let Some(rule) = rule {
        add_rule(rule, &mut tallies, &mut counts);
    }
    let mut scores = Vec::with_capacity(kernels.n_bandwidths() * STRENGTHS.len());
    for (h, counts) in counts.iter().enumerate() {
        for strength in STRENGTHS {
            scores.push(left_out_score(kernels, readings, &tallies, counts, h, strength));
        }
    }
    let weights = score_weights(&scores);
    let overall = frequencies(&tallies);
    let rows = (0..kernels.axis.n_rows())
        .map(|row| {
            let mut ln_shares = vec![0.0; n_levels];
            let mut clubs = 0.0;
            for (weight, (h, strength)) in weights.iter().zip(pairs(kernels)) {
                let counts = &counts[h];
                clubs += weight * own_clubs[h][row];
                for (k, ln_share) in ln_shares.iter_mut().enumerate() {
                    let share = predictive_share(counts.by_level[row][k], counts.total[row], strength, overall[k]);
                    *ln_share += weight * share.ln();
                }
            }
            LevelRow { clubs, shares: agewright_model::numbers::ln_sums::normalised_from_ln(&ln_shares) }
        })
        .collect();
    let bandwidth = weights.iter().zip(pairs(kernels)).map(|(weight, (h, _))| weight * kernels.bandwidths[h]).sum();
    Some(LevelFit { overall, rows, bandwidth })
}

/// Adds a rule to the counts of every row and, averaged over the rows, to the tallies.
#[expect(clippy::cast_precision_loss, reason = "rows are few")]
fn add_rule(rule: &LevelRuleRows, tallies: &mut [f64], counts: &mut [Counts]) {
    let n_rows = rule.worth.len() as f64;
    for (row, (worth, shares)) in rule.worth.iter().zip(&rule.shares).enumerate() {
        for (k, share) in shares.iter().enumerate() {
            tallies[k] += worth * share / n_rows;
            for counts in counts.iter_mut() {
                counts.by_level[row][k] += worth * share;
            }
        }
        for counts in counts.iter_mut() {
            counts.total[row] += worth;
        }
    }
}

fn pairs(kernels: &Kernels) -> impl Iterator<Item = (usize, f64)> {
    (0..kernels.n_bandwidths()).flat_map(|h| STRENGTHS.into_iter().map(move |strength| (h, strength)))
}

/// Part of a reading that falls to each level it names.
#[expect(clippy::cast_precision_loss, reason = "levels are few")]
fn part(reading: &LevelReading) -> f64 {
    reading.worth / reading.levels.len() as f64
}

fn tally(readings: &[LevelReading], n_levels: usize) -> Vec<f64> {
    let mut tallies = vec![0.0; n_levels];
    for reading in readings {
        for &k in &reading.levels {
            tallies[k] += part(reading);
        }
    }
    tallies
}

/// q_k = (n_k + 1/2)/(n + K/2).
#[expect(clippy::cast_precision_loss, reason = "levels are few")]
fn frequencies(tallies: &[f64]) -> Vec<f64> {
    let total: f64 = tallies.iter().sum::<f64>() + tallies.len() as f64 / 2.0;
    tallies.iter().map(|n| (n + 0.5) / total).collect()
}

fn count(kernels: &Kernels, readings: &[LevelReading], n_levels: usize, h: usize) -> Counts {
    let n_rows = kernels.axis.n_rows();
    let mut counts = Counts { by_level: vec![vec![0.0; n_levels]; n_rows], total: vec![0.0; n_rows] };
    for reading in readings {
        for (row, kernel) in kernels.at[h][reading.club].iter().enumerate() {
            counts.total[row] += kernel * reading.worth;
            for &k in &reading.levels {
                counts.by_level[row][k] += kernel * part(reading);
            }
        }
    }
    counts
}

/// Sum over clubs of worth times ln of the probability of its reading at its own date, its own kernel taken out.
fn left_out_score(
    kernels: &Kernels,
    readings: &[LevelReading],
    tallies: &[f64],
    counts: &Counts,
    h: usize,
    strength: f64,
) -> f64 {
    let mut score = 0.0;
    let mut others = tallies.to_vec();
    for reading in readings {
        for &k in &reading.levels {
            others[k] = tallies[k] - part(reading);
        }
        let overall = frequencies(&others);
        let kernel = &kernels.at[h][reading.club];
        let mut probability = 0.0;
        for &(row, row_share) in &kernels.row_shares[reading.club] {
            let total = counts.total[row] - kernel[row] * reading.worth;
            let share: f64 = reading
                .levels
                .iter()
                .map(|&k| {
                    predictive_share(
                        (counts.by_level[row][k] - kernel[row] * part(reading)).max(0.0),
                        total,
                        strength,
                        overall[k],
                    )
                })
                .sum();
            probability += row_share * share;
        }
        score += reading.worth * probability.ln();
        for &k in &reading.levels {
            others[k] = tallies[k];
        }
    }
    score
}
