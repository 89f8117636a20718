//! Where rules of thumb and dated clubs disagree by more than chance.

use crate::smooth::kernels::Kernels;
use crate::tables::block_fit::expected_shifts;
use crate::tables::fit_data::FitData;
use crate::tables::level_fit::{LevelReading, level_readings};
use crate::tables::measured_fit::{MeasuredReading, measured_readings};
use crate::tables::rules::{MeasuredRuleRows, Rules};
use agewright_model::{Clue, TableForm};
use statrs::distribution::{Binomial, ContinuousCDF, DiscreteCDF, Normal};

/// Chance below which a disagreement is told, over all rows (and levels) of a clue together.
const CHANCE: f64 = 0.01;
/// Rows with fewer clubs are passed over.
const LEAST_CLUBS: usize = 3;

/// A rule that the clubs of a row of years do not bear out.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleConflict {
    /// The clue's id.
    pub clue: String,
    /// The level concerned, for a level clue.
    pub level: Option<String>,
    /// First year of the row.
    pub from: i32,
    /// Last year of the row.
    pub to: i32,
    /// Clubs of the row that were read.
    pub clubs: usize,
    /// What the clubs show: a share, or a mean in the clue's unit.
    pub seen: f64,
    /// What the rule says.
    pub expected: f64,
}

/// Rows in which the clubs' counts or means lie where the rule would put them less than once in a hundred collections:
/// two-sided binomial test of each level (misreadings allowed for), normal test of each mean, Bonferroni over the rows.
pub(crate) fn rule_conflicts(data: &FitData<'_>, kernels: &Kernels, rules: &Rules) -> Vec<RuleConflict> {
    let mut found = Vec::new();
    for (ix, clue) in data.catalogue.clues().iter().enumerate() {
        match clue.kind.table_form() {
            TableForm::Shares => level_conflicts(&mut found, kernels, rules, clue, &level_readings(data, ix)),
            TableForm::Measures => {
                if let Some(rule) = rules.measured_rows(kernels.axis, &clue.id, clue.scale) {
                    let effects = expected_effects(data, kernels, rules, ix, clue.scale.measure(rule.overall().0));
                    measured_conflicts(&mut found, kernels, &rule, clue, &measured_readings(data, ix), &effects);
                }
            }
            TableForm::Known => {}
        }
    }
    found
}

/// What the rules' own effects, of levels and of other measures, expect of each club beyond the rule's mean.
fn expected_effects(data: &FitData<'_>, kernels: &Kernels, rules: &Rules, on: usize, usual: f64) -> Vec<f64> {
    let mut expected = expected_shifts(data, on, usual);
    for (by, clue) in data.catalogue.clues().iter().enumerate() {
        let Some(rule) = rules.measured_rows(kernels.axis, &clue.id, clue.scale) else { continue };
        let means = (usual, clue.scale.measure(rule.overall().0));
        if let Some(slope) = rules.slope(data.catalogue, on, by, means) {
            for r in measured_readings(data, by) {
                expected[r.club] += slope * (r.place - rule.mean_at(kernels.middle[r.club]));
            }
        }
    }
    expected
}

fn of_row<T>(kernels: &Kernels, readings: &[T], row: usize, club: impl Fn(&T) -> usize) -> Vec<usize> {
    let (from, to) = kernels.axis.row_years(row);
    let inside = |i: &usize| {
        let middle = kernels.middle[club(&readings[*i])];
        middle >= f64::from(from) && middle < f64::from(to) + 1.0
    };
    (0..readings.len()).filter(inside).collect()
}

#[expect(clippy::cast_precision_loss, reason = "counts of clubs")]
fn level_conflicts(
    found: &mut Vec<RuleConflict>,
    kernels: &Kernels,
    rules: &Rules,
    clue: &Clue,
    readings: &[LevelReading],
) {
    let Some(rule) = rules.level_rows(kernels.axis, &clue.id) else { return };
    let n_rows = kernels.axis.n_rows();
    for row in 0..n_rows {
        let mut own = of_row(kernels, readings, row, |r| r.club);
        // A reading of one of several levels counts for none.
        own.retain(|&i| readings[i].levels.len() == 1);
        if own.len() < LEAST_CLUBS {
            continue;
        }
        for (level, share) in rule.shares[row].iter().enumerate() {
            let count = own.iter().filter(|&&i| readings[i].levels == [level]).count();
            let expected = (1.0 - clue.misread) * share + clue.misread / clue.levels.len() as f64;
            let Ok(binomial) = Binomial::new(expected.clamp(0.0, 1.0), own.len() as u64) else { continue };
            let count_ = count as u64;
            let below = binomial.cdf(count_);
            let above = if count_ == 0 { 1.0 } else { binomial.sf(count_ - 1) };
            if 2.0 * below.min(above) < CHANCE / (n_rows * clue.levels.len()) as f64 {
                let (from, to) = kernels.axis.row_years(row);
                found.push(RuleConflict {
                    clue: clue.id.clone(),
                    level: Some(clue.levels[level].id.clone()),
                    from,
                    to,
                    clubs: own.len(),
                    seen: count as f64 / own.len() as f64,
                    expected: *share,
                });
            }
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts of clubs")]
fn measured_conflicts(
    found: &mut Vec<RuleConflict>,
    kernels: &Kernels,
    rule: &MeasuredRuleRows,
    clue: &Clue,
    readings: &[MeasuredReading],
    effects: &[f64],
) {
    let Ok(normal) = Normal::new(0.0, 1.0) else { return };
    let n_rows = kernels.axis.n_rows();
    for row in 0..n_rows {
        let own = of_row(kernels, readings, row, |r| r.club);
        if own.len() < LEAST_CLUBS {
            continue;
        }
        let n = own.len() as f64;
        let off = own
            .iter()
            .map(|&i| &readings[i])
            .map(|r| r.place - rule.mean_at(kernels.middle[r.club]) - effects[r.club])
            .sum::<f64>()
            / n;
        let chance = 2.0 * normal.cdf(-(off * n.sqrt() / rule.sd[row]).abs());
        if chance < CHANCE / n_rows as f64 {
            let (from, to) = kernels.axis.row_years(row);
            found.push(RuleConflict {
                clue: clue.id.clone(),
                level: None,
                from,
                to,
                clubs: own.len(),
                seen: clue.scale.measure(rule.mean[row] + off),
                expected: clue.scale.measure(rule.mean[row]),
            });
        }
    }
}
