//! Rules of thumb: what the trade says, with a worth in clubs. Real clubs outvote them as they come in.

use agewright_model::numbers::between::between;
use agewright_model::reading::scale::Scale;
use agewright_model::tables::mark_use::MarkUse;
use agewright_model::tables::prior::{PriorError, PriorRow, Spread};
use agewright_model::tables::replacement::PartsModel;
use agewright_model::{Axis, Catalogue, Prior};
use std::collections::BTreeMap;

/// All rules of one source.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rules {
    /// Shares of levels, by clue.
    pub levels: BTreeMap<String, Vec<LevelRule>>,
    /// Means and spreads of measures, by clue.
    pub measured: BTreeMap<String, Vec<MeasuredRule>>,
    /// Effects of one clue on another.
    pub effects: Vec<Effect>,
    /// Named priors.
    pub priors: Vec<PriorRule>,
    /// How shaft and grip belong to the head.
    pub parts: Option<PartsModel>,
    /// Years of use of marks.
    pub marks: Vec<MarkUse>,
}

/// A named prior, as its rows are given.
#[derive(Debug, Clone, PartialEq)]
pub struct PriorRule {
    /// Its name.
    pub name: String,
    /// How the rows become years.
    pub spread: Spread,
    /// The rows.
    pub rows: Vec<PriorRow>,
    /// What clubs it is of, in a few words; may be empty.
    pub about: String,
    /// Whether it is the one for a whole collection.
    pub for_collections: bool,
}

impl PriorRule {
    /// The prior that it makes.
    ///
    /// # Errors
    /// [`PriorError`] for rows that make none.
    pub fn prior(&self, axis: Axis) -> Result<Prior, PriorError> {
        let prior = Prior::from_rows(axis, &self.name, self.spread, self.rows.clone())?;
        Ok(prior.described(&self.about, self.for_collections))
    }
}

/// Shares of a clue's levels in a run of years.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelRule {
    /// First year.
    pub from: i32,
    /// Last year, inclusive.
    pub to: i32,
    /// Worth in clubs.
    pub worth: f64,
    /// Share of each level in the order of the catalogue, summing to 1.
    pub shares: Vec<f64>,
}

/// Mean and spread of a measure at a year, in the clue's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredRule {
    /// The year.
    pub year: i32,
    /// Mean.
    pub mean: f64,
    /// Standard deviation between clubs.
    pub sd: f64,
    /// Worth in clubs.
    pub worth: f64,
}

/// A shift of one measured clue by another clue, in the unit of the first.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// The measured clue that is shifted.
    pub on: String,
    /// The clue that shifts it.
    pub by: String,
    /// By what of it.
    pub cause: Cause,
    /// The shift.
    pub shift: f64,
}

/// What of a clue causes a shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// A level, by its place.
    Level(usize),
    /// So many units of a measure.
    Per(f64),
}

/// A rule's shares at every row, with their worth.
#[derive(Debug, Clone)]
pub(crate) struct LevelRuleRows {
    pub worth: Vec<f64>,
    pub shares: Vec<Vec<f64>>,
}

/// A rule's mean and spread at every row and year, on the clue's scale, with their worth.
#[derive(Debug, Clone)]
pub(crate) struct MeasuredRuleRows {
    points: Vec<(f64, [f64; 3])>,
    pub mean: Vec<f64>,
    pub sd: Vec<f64>,
    pub worth: Vec<f64>,
}

impl MeasuredRuleRows {
    /// The rule's mean at a place in years, on the clue's scale.
    pub fn mean_at(&self, place: f64) -> f64 {
        between(&self.points, place, |v| v[0]).unwrap_or(0.0)
    }

    /// Mean and spread over all rows: where a misreading falls.
    #[expect(clippy::cast_precision_loss, reason = "rows are few")]
    pub fn overall(&self) -> (f64, f64) {
        let n = self.mean.len() as f64;
        let mean = self.mean.iter().sum::<f64>() / n;
        let variance = self.mean.iter().zip(&self.sd).map(|(m, s)| (m - mean).powi(2) + s * s).sum::<f64>() / n;
        (mean, variance.sqrt())
    }
}

impl Rules {
    pub(crate) fn level_rows(&self, axis: Axis, clue: &str) -> Option<LevelRuleRows> {
        let rules = self.levels.get(clue)?;
        let mut points: Vec<(f64, &LevelRule)> =
            rules.iter().map(|rule| (0.5 * (f64::from(rule.from) + f64::from(rule.to) + 1.0), rule)).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let n_levels = rules.first()?.shares.len();
        let centres: Vec<f64> = (0..axis.n_rows()).map(|row| axis.row_centre(row)).collect();
        let share = |centre: f64, level: usize| between(&points, centre, |rule| rule.shares[level]).unwrap_or(0.0);
        Some(LevelRuleRows {
            worth: centres.iter().filter_map(|&c| between(&points, c, |rule| rule.worth)).collect(),
            shares: centres.iter().map(|&c| (0..n_levels).map(|level| share(c, level)).collect()).collect(),
        })
    }

    pub(crate) fn measured_rows(&self, axis: Axis, clue: &str, scale: Scale) -> Option<MeasuredRuleRows> {
        let rules = self.measured.get(clue)?;
        let mut points: Vec<(f64, [f64; 3])> = rules
            .iter()
            .filter_map(|rule| {
                Some((
                    f64::from(rule.year) + 0.5,
                    [scale.place(rule.mean)?, scale.error(rule.sd, rule.mean), rule.worth],
                ))
            })
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        if points.is_empty() {
            return None;
        }
        let at = |row: usize, k: usize| between(&points, axis.row_centre(row), |v| v[k]);
        let rows = |k: usize| (0..axis.n_rows()).filter_map(|row| at(row, k)).collect();
        Some(MeasuredRuleRows { mean: rows(0), sd: rows(1), worth: rows(2), points })
    }

    /// Shift of a measured clue by each level of another, on the measured clue's scale at `mean` (in its unit); `None`
    /// without such an effect.
    pub(crate) fn level_effect(&self, catalogue: &Catalogue, on: usize, by: usize, mean: f64) -> Option<Vec<f64>> {
        let (on, by) = (&catalogue.clues()[on], &catalogue.clues()[by]);
        let mut shifts: Option<Vec<f64>> = None;
        for effect in self.effects.iter().filter(|effect| effect.on == on.id && effect.by == by.id) {
            if let Cause::Level(level) = effect.cause {
                let shifts = shifts.get_or_insert_with(|| vec![0.0; by.levels.len()]);
                shifts[level] += on.scale.error(effect.shift, mean);
            }
        }
        shifts
    }

    /// Slope of a measured clue on another, both on their scales at their means (in their units).
    pub(crate) fn slope(&self, catalogue: &Catalogue, on: usize, by: usize, means: (f64, f64)) -> Option<f64> {
        let (on, by) = (&catalogue.clues()[on], &catalogue.clues()[by]);
        let found = self.effects.iter().find(|effect| effect.on == on.id && effect.by == by.id)?;
        match found.cause {
            Cause::Per(per) => Some(on.scale.error(found.shift, means.0) / by.scale.error(per, means.1)),
            Cause::Level(_) => None,
        }
    }

    /// Whether any effect goes out from a clue's levels: its means are then those of a club without the effect.
    pub(crate) fn has_level_effect(&self, by: &str) -> bool {
        self.effects.iter().any(|effect| effect.by == by && matches!(effect.cause, Cause::Level(_)))
    }
}
