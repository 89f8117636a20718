//! Fits the table of a level clue: smoothed shares of its levels through time.

use crate::smooth::kernels::Kernels;
use crate::smooth::score_weights::score_weights;
use crate::tables::fit_data::FitData;
use crate::tables::omissions::{NoTable, WhyLeftOut, enough_read};
use crate::tables::rules::LevelRuleRows;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::{Reading, Seen};
use std::collections::{BTreeMap, BTreeSet};

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

/// Readings of a level clue, in the order of the clubs.
pub(crate) fn level_readings(data: &FitData<'_>, clue: usize) -> Vec<LevelReading> {
    let levels = |(club, worth, reading): (usize, f64, &Reading)| match &reading.seen {
        Seen::Levels(levels) => Some(LevelReading { club, worth, levels: levels.clone() }),
        _ => None,
    };
    data.read(clue).filter_map(levels).collect()
}

/// The table of a level clue on the clubs for which `members` holds, or why it has none.
pub(crate) fn level_table(
    data: &FitData<'_>,
    ix: usize,
    kernels: &Kernels,
    members: &[bool],
) -> Result<LevelTable, NoTable> {
    let clue = &data.catalogue.clues()[ix];
    let mut readings = level_readings(data, ix);
    readings.retain(|r| members[r.club]);
    let rule: Option<LevelRuleRows> = data.rules.and_then(|rules| rules.level_rows(data.catalogue.axis(), &clue.id));
    let rule = rule.map(|rule| as_read(rule, &readings, clue.misread));
    let seen: BTreeSet<&Vec<usize>> = readings.iter().map(|r| &r.levels).collect();
    if rule.is_none() {
        enough_read(&readings.iter().map(|r| r.club).collect::<Vec<_>>(), &data.sets)?;
    }
    let varies = rule.is_some() || seen.len() > 1;
    let fit = fit_levels(kernels, &readings, clue.levels.len(), rule.as_ref()).filter(|_| varies);
    let fit = fit.ok_or((readings.len(), WhyLeftOut::NeverVaries))?;
    Ok(LevelTable {
        clue: clue.id.clone(),
        clubs: readings.len(),
        bandwidth: fit.bandwidth,
        weight: 1.0,
        overall: fit.overall,
        rows: fit.rows,
    })
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
/// ```
/// use agewright_calibration::tables::level_fit::predictive_share;
///
/// // Three of four clubs, drawn to one in two as if by four more: (3 + 4/2)/(4 + 4).
/// assert!((predictive_share(3.0, 4.0, 4.0, 0.5) - 0.625).abs() < 1e-15);
/// ```
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
    let left_out = left_out_sets(kernels, readings, &tallies);
    for (h, counts) in counts.iter().enumerate() {
        let own: Vec<Counts> = left_out.iter().map(|set| count(kernels, &set.readings, n_levels, h)).collect();
        for strength in STRENGTHS {
            let of_set = |(set, own): (&LeftOutSet, &Counts)| left_out_score(kernels, set, own, counts, strength);
            scores.push(left_out.iter().zip(&own).map(of_set).sum());
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

/// A rule's shares, which are those among clubs, as they are among readings: (1 - e) r + e q, q the overall shares of
/// rule and readings, e the chance of misreading.
#[expect(clippy::cast_precision_loss, reason = "rows are few")]
fn as_read(mut rule: LevelRuleRows, readings: &[LevelReading], misread: f64) -> LevelRuleRows {
    let n_rows = rule.worth.len() as f64;
    let Some(n_levels) = rule.shares.first().map(Vec::len) else { return rule };
    let mut tallies = tally(readings, n_levels);
    for (worth, shares) in rule.worth.iter().zip(&rule.shares) {
        tallies.iter_mut().zip(shares).for_each(|(tally, share)| *tally += worth * share / n_rows);
    }
    let overall = frequencies(&tallies);
    for share in &mut rule.shares {
        share.iter_mut().zip(&overall).for_each(|(share, q)| *share = (1.0 - misread) * *share + misread * q);
    }
    rule
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

/// Readings of clubs that are left out together, and the overall shares without them.
struct LeftOutSet {
    readings: Vec<LevelReading>,
    overall: Vec<f64>,
}

fn left_out_sets(kernels: &Kernels, readings: &[LevelReading], tallies: &[f64]) -> Vec<LeftOutSet> {
    let mut by_set: BTreeMap<usize, Vec<LevelReading>> = BTreeMap::new();
    for reading in readings {
        by_set.entry(kernels.sets.set_of(reading.club)).or_default().push(reading.clone());
    }
    let left_out = |readings: Vec<LevelReading>| {
        let own = tally(&readings, tallies.len());
        let others: Vec<f64> = tallies.iter().zip(own).map(|(all, own)| (all - own).max(0.0)).collect();
        LeftOutSet { readings, overall: frequencies(&others) }
    };
    by_set.into_values().map(left_out).collect()
}

/// Sum over the clubs of a set of worth times ln of the probability of its reading at its own date, the kernels of the
/// whole set taken out.
fn left_out_score(kernels: &Kernels, set: &LeftOutSet, own: &Counts, counts: &Counts, strength: f64) -> f64 {
    let score = |reading: &LevelReading| {
        let at_row = |&(row, row_share): &(usize, f64)| {
            let total = (counts.total[row] - own.total[row]).max(0.0);
            let share = |&k: &usize| {
                let count = (counts.by_level[row][k] - own.by_level[row][k]).max(0.0);
                predictive_share(count, total, strength, set.overall[k])
            };
            row_share * reading.levels.iter().map(share).sum::<f64>()
        };
        reading.worth * kernels.row_shares[reading.club].iter().map(at_row).sum::<f64>().ln()
    };
    set.readings.iter().map(score).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::date_spread::DateSpread;
    use crate::dated::sets::{Sets, sets_of};
    use agewright_model::Axis;

    fn kernels() -> Kernels {
        let axis = Axis::new(1800, 1860, 10).unwrap();
        let dates = [(3, 1), (12, 4), (17, 1), (30, 10), (44, 1), (55, 2)];
        let spread = |&(first_ix, n): &(usize, usize)| DateSpread { first_ix, share: vec![1.0 / n as f64; n] };
        Kernels::new(axis, &dates.iter().map(spread).collect::<Vec<_>>(), &[0.7, 2.0])
    }

    fn readings() -> Vec<LevelReading> {
        let levels = [vec![0], vec![0, 1], vec![1], vec![0], vec![2, 1], vec![2]];
        let worths = [1.0, 1.0, 0.7, 1.0, 0.4, 1.0];
        let one = |(club, (levels, worth))| LevelReading { club, worth, levels };
        levels.into_iter().zip(worths).enumerate().map(one).collect()
    }

    /// By brute force: counted again from all readings but those of the set of the one scored, for each one in turn.
    #[test]
    fn the_left_out_score_counts_all_readings_but_those_of_the_set() {
        let readings = readings();
        for sets in [Sets::single(6), sets_of(&[0, 1, 0, 2, 2, 0])] {
            let kernels = kernels().with_sets(sets);
            for h in 0..2 {
                let mut want = 0.0;
                for reading in &readings {
                    let mates = kernels.sets.mates(reading.club);
                    let rest: Vec<_> = readings.iter().filter(|r| !mates.contains(&r.club)).cloned().collect();
                    let (counts, overall) = (count(&kernels, &rest, 3, h), frequencies(&tally(&rest, 3)));
                    let share = |row: usize, k: usize| {
                        predictive_share(counts.by_level[row][k], counts.total[row], 2.0, overall[k])
                    };
                    let at = |row: usize| reading.levels.iter().map(|&k| share(row, k)).sum::<f64>();
                    let rows = kernels.row_shares[reading.club].iter();
                    want += reading.worth * rows.map(|&(row, part)| part * at(row)).sum::<f64>().ln();
                }
                let counts = count(&kernels, &readings, 3, h);
                let left_out = left_out_sets(&kernels, &readings, &tally(&readings, 3));
                let score = |set: &LeftOutSet| {
                    left_out_score(&kernels, set, &count(&kernels, &set.readings, 3, h), &counts, 2.0)
                };
                let got: f64 = left_out.iter().map(score).sum();
                assert!((got - want).abs() < 1e-9, "{got}, not {want}");
            }
        }
    }

    #[test]
    fn shares_sum_to_one_lean_on_the_overall_and_follow_the_clubs() {
        let fit = fit_levels(&kernels(), &readings(), 3, None).unwrap();
        for row in &fit.rows {
            assert!((row.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12 && row.shares.iter().all(|p| *p > 0.0));
        }
        assert!(fit.rows[0].shares[0] > fit.rows[5].shares[0] && fit.rows[0].shares[2] < fit.rows[5].shares[2]);
        // (n + 1/2)/(sum n + 3/2) with n = 2.5, 1.4, 1.2.
        let want = [3.0 / 6.6, 1.9 / 6.6, 1.7 / 6.6];
        assert!(fit.overall.iter().zip(want).all(|(got, want)| (got - want).abs() < 1e-12), "{:?}", fit.overall);
        assert!(fit_levels(&kernels(), &[], 3, None).is_none());
    }

    /// A rule worth a thousand clubs is what the table says; it counts in every row by its worth there.
    #[test]
    fn a_rule_counts_as_so_many_clubs() {
        let rule = LevelRuleRows { shares: vec![vec![0.2, 0.3, 0.5]; 6], worth: vec![1e9; 6] };
        let fit = fit_levels(&kernels(), &readings(), 3, Some(&rule)).unwrap();
        for row in &fit.rows {
            assert!(row.shares.iter().zip([0.2, 0.3, 0.5]).all(|(got, want)| (got - want).abs() < 1e-6));
            assert!(row.clubs < 6.0, "a rule is no club: {}", row.clubs);
        }
    }
}
