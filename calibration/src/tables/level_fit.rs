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
/// Where a rule speaks, what its worth in clubs is multiplied by, for the strength of the pull to it.
const TIMES_WORTH: [f64; 5] = [0.25, 0.5, 1.0, 2.0, 4.0];

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
    let pull = rule.map_or(Pull::ToOverall, |rows| Pull::ToRule { rows, misread: clue.misread });
    let seen: BTreeSet<&Vec<usize>> = readings.iter().map(|r| &r.levels).collect();
    if matches!(pull, Pull::ToOverall) {
        enough_read(&readings.iter().map(|r| r.club).collect::<Vec<_>>(), &data.sets)?;
    }
    let varies = matches!(pull, Pull::ToRule { .. }) || seen.len() > 1;
    let fit = fit_levels(kernels, &readings, clue.levels.len(), &pull).filter(|_| varies);
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

/// Dirichlet-multinomial predictive share of a level: (count + strength p)/(total + strength), p the share it is pulled
/// to.
///
/// Source: J. E. Mosimann, On the compound multinomial distribution, 1962 (from memory).
/// ```
/// use agewright_calibration::tables::level_fit::predictive_share;
///
/// // Three of four clubs, drawn to one in two as if by four more: (3 + 4/2)/(4 + 4).
/// assert!((predictive_share(3.0, 4.0, 4.0, 0.5) - 0.625).abs() < 1e-15);
/// ```
#[must_use]
pub fn predictive_share(count: f64, total: f64, strength: f64, pulled_to: f64) -> f64 {
    (count + strength * pulled_to) / (total + strength)
}

/// What the shares of a row are pulled to.
#[derive(Debug, Clone)]
pub(crate) enum Pull {
    /// The overall shares.
    ToOverall,
    /// What a rule says of the row, by its worth there. Its shares r are those among clubs; among readings they are
    /// (1 - e) r + e q, q the overall shares, e the chance of misreading.
    ToRule { rows: LevelRuleRows, misread: f64 },
}

impl Pull {
    /// The strengths that are tried: in clubs, or in worths of the rule.
    fn strengths(&self) -> [f64; 5] {
        match self {
            Self::ToOverall => STRENGTHS,
            Self::ToRule { .. } => TIMES_WORTH,
        }
    }

    /// Predictive share of a level at a row, from counts there and the overall shares.
    fn share(&self, counts: [f64; 2], strength: f64, row: usize, level: usize, overall: &[f64]) -> f64 {
        let [count, total] = counts;
        match self {
            Self::ToOverall => predictive_share(count, total, strength, overall[level]),
            Self::ToRule { rows, misread } => {
                let as_read = (1.0 - misread) * rows.shares[row][level] + misread * overall[level];
                predictive_share(count, total, strength * rows.worth[row], as_read)
            }
        }
    }

    /// What a rule adds to the tallies of all years, averaged over the rows.
    #[expect(clippy::cast_precision_loss, reason = "rows are few")]
    fn add_to(&self, tallies: &mut [f64]) {
        let Self::ToRule { rows, .. } = self else { return };
        let n_rows = rows.worth.len() as f64;
        for (worth, shares) in rows.worth.iter().zip(&rows.shares) {
            tallies.iter_mut().zip(shares).for_each(|(tally, share)| *tally += worth * share / n_rows);
        }
    }
}

/// Kernel-weighted counts at every row.
struct Counts {
    n_levels: usize,
    /// Row by row, level by level.
    by_level: Vec<f64>,
    total: Vec<f64>,
}

impl Counts {
    fn at(&self, row: usize, level: usize) -> f64 {
        self.by_level[row * self.n_levels + level]
    }
}

/// Geometric mean over bandwidths and strengths of P_rk = (C_rk + a p_rk)/(T_r + a), weighted by exp(leave-one-out log
/// score) and renormalised. Without a rule p is the overall share and a a number of clubs; where a rule speaks, p is
/// the rule's own share at the row and a so many times its worth. `None` with neither reading nor rule.
pub(crate) fn fit_levels(
    kernels: &Kernels,
    readings: &[LevelReading],
    n_levels: usize,
    pull: &Pull,
) -> Option<LevelFit> {
    if readings.is_empty() && matches!(pull, Pull::ToOverall) {
        return None;
    }
    let mut tallies: Vec<f64> = tally(readings, n_levels);
    pull.add_to(&mut tallies);
    let counts: Vec<Counts> = (0..kernels.n_bandwidths()).map(|h| count(kernels, readings, n_levels, h)).collect();
    let mut scores = Vec::with_capacity(kernels.n_bandwidths() * STRENGTHS.len());
    let left_out = left_out_sets(kernels, readings, &tallies);
    for (h, counts) in counts.iter().enumerate() {
        let own: Vec<Counts> = left_out.iter().map(|set| count(kernels, &set.readings, n_levels, h)).collect();
        for strength in pull.strengths() {
            let at = Tried { pull, strength, counts };
            scores.push(left_out.iter().zip(&own).map(|(set, own)| left_out_score(kernels, set, own, &at)).sum());
        }
    }
    let weights = score_weights(&scores);
    let overall = frequencies(&tallies);
    let pairs: Vec<(usize, f64)> =
        (0..counts.len()).flat_map(|h| pull.strengths().map(|strength| (h, strength))).collect();
    let rows = (0..kernels.axis.n_rows())
        .map(|row| {
            let mut ln_shares = vec![0.0; n_levels];
            let mut clubs = 0.0;
            for (weight, &(h, strength)) in weights.iter().zip(&pairs).filter(|(weight, _)| **weight > 0.0) {
                let (counts, total) = (&counts[h], &counts[h].total);
                clubs += weight * total[row];
                for (k, ln_share) in ln_shares.iter_mut().enumerate() {
                    let share = pull.share([counts.at(row, k), total[row]], strength, row, k, &overall);
                    *ln_share += weight * share.ln();
                }
            }
            LevelRow { clubs, shares: agewright_model::numbers::ln_sums::normalised_from_ln(&ln_shares) }
        })
        .collect();
    let bandwidth = weights.iter().zip(&pairs).map(|(weight, &(h, _))| weight * kernels.bandwidths[h]).sum();
    Some(LevelFit { overall, rows, bandwidth })
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
    let mut counts = Counts { n_levels, by_level: vec![0.0; n_rows * n_levels], total: vec![0.0; n_rows] };
    for reading in readings {
        for (row, kernel) in kernels.at[h][reading.club].iter().enumerate() {
            counts.total[row] += kernel * reading.worth;
            for &k in &reading.levels {
                counts.by_level[row * n_levels + k] += kernel * part(reading);
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

/// One bandwidth and strength as tried: the counts of all readings by it, and the pull.
struct Tried<'a> {
    pull: &'a Pull,
    strength: f64,
    counts: &'a Counts,
}

/// Sum over the clubs of a set of worth times ln of the probability of its reading at its own date, the kernels of the
/// whole set taken out.
fn left_out_score(kernels: &Kernels, set: &LeftOutSet, own: &Counts, tried: &Tried<'_>) -> f64 {
    let counts = tried.counts;
    let score = |reading: &LevelReading| {
        let at_row = |&(row, row_share): &(usize, f64)| {
            let total = (counts.total[row] - own.total[row]).max(0.0);
            let share = |&k: &usize| {
                let count = (counts.at(row, k) - own.at(row, k)).max(0.0);
                tried.pull.share([count, total], tried.strength, row, k, &set.overall)
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
                    let share =
                        |row: usize, k: usize| predictive_share(counts.at(row, k), counts.total[row], 2.0, overall[k]);
                    let at = |row: usize| reading.levels.iter().map(|&k| share(row, k)).sum::<f64>();
                    let rows = kernels.row_shares[reading.club].iter();
                    want += reading.worth * rows.map(|&(row, part)| part * at(row)).sum::<f64>().ln();
                }
                let counts = count(&kernels, &readings, 3, h);
                let left_out = left_out_sets(&kernels, &readings, &tally(&readings, 3));
                let tried = Tried { pull: &Pull::ToOverall, strength: 2.0, counts: &counts };
                let score =
                    |set: &LeftOutSet| left_out_score(&kernels, set, &count(&kernels, &set.readings, 3, h), &tried);
                let got: f64 = left_out.iter().map(score).sum();
                assert!((got - want).abs() < 1e-9, "{got}, not {want}");
            }
        }
    }

    #[test]
    fn shares_sum_to_one_lean_on_the_overall_and_follow_the_clubs() {
        let fit = fit_levels(&kernels(), &readings(), 3, &Pull::ToOverall).unwrap();
        for row in &fit.rows {
            assert!((row.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12 && row.shares.iter().all(|p| *p > 0.0));
        }
        assert!(fit.rows[0].shares[0] > fit.rows[5].shares[0] && fit.rows[0].shares[2] < fit.rows[5].shares[2]);
        // (n + 1/2)/(sum n + 3/2) with n = 2.5, 1.4, 1.2.
        let want = [3.0 / 6.6, 1.9 / 6.6, 1.7 / 6.6];
        assert!(fit.overall.iter().zip(want).all(|(got, want)| (got - want).abs() < 1e-12), "{:?}", fit.overall);
        assert!(fit_levels(&kernels(), &[], 3, &Pull::ToOverall).is_none());
    }

    fn rule(worth: f64, misread: f64) -> Pull {
        Pull::ToRule { rows: LevelRuleRows { shares: vec![vec![0.2, 0.3, 0.5]; 6], worth: vec![worth; 6] }, misread }
    }

    /// A rule worth a thousand million clubs is what the table says.
    #[test]
    fn a_rule_counts_as_so_many_clubs() {
        let fit = fit_levels(&kernels(), &readings(), 3, &rule(1e9, 0.0)).unwrap();
        for row in &fit.rows {
            assert!(row.shares.iter().zip([0.2, 0.3, 0.5]).all(|(got, want)| (got - want).abs() < 1e-6));
            assert!(row.clubs < 6.0, "a rule is no club: {}", row.clubs);
        }
    }

    /// Where a rule alone speaks it is taken at its word, misreadings at e among it, whatever other rows say: no row is
    /// pulled to all years.
    #[test]
    fn a_rule_alone_is_taken_at_its_word() {
        let steep: Vec<Vec<f64>> = (0..6).map(|row| if row < 3 { vec![0.8, 0.2] } else { vec![0.01, 0.99] }).collect();
        let rows = LevelRuleRows { shares: steep.clone(), worth: vec![2.0; 6] };
        let fit = fit_levels(&kernels(), &[], 2, &Pull::ToRule { rows, misread: 0.1 }).unwrap();
        for (row, rule) in fit.rows.iter().zip(&steep) {
            for (k, share) in row.shares.iter().enumerate() {
                assert!((share - (0.9 * rule[k] + 0.1 * fit.overall[k])).abs() < 1e-12, "{row:?}");
            }
        }
    }

    /// Clubs outvote a rule where they stand; a row with no club within reach stays the rule's own.
    #[test]
    fn clubs_outvote_a_rule_where_they_stand_and_nowhere_else() {
        let axis = Axis::new(1800, 1860, 10).unwrap();
        let dates: Vec<DateSpread> = (0..20).map(|n| DateSpread { first_ix: n % 10, share: vec![1.0] }).collect();
        let kernels = Kernels::new(axis, &dates, &[0.7]);
        let all_first: Vec<LevelReading> =
            (0..20).map(|club| LevelReading { club, worth: 1.0, levels: vec![0] }).collect();
        let fit = fit_levels(&kernels, &all_first, 3, &rule(2.0, 0.0)).unwrap();
        assert!(fit.rows[0].shares[0] > 0.9, "{:?}", fit.rows[0]);
        assert!((fit.rows[5].shares[0] - 0.2).abs() < 1e-6, "{:?}", fit.rows[5]);
    }
}
