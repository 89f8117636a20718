//! Fits all tables on some of the clubs of a collection.

use crate::dated::date_spread::DateSpread;
use crate::smooth::kernels::Kernels;
use crate::tables::adjuster_fit::{Indicators, Shifts, fit_shifts};
use crate::tables::collection_prior::as_collected;
use crate::tables::fit_data::{ClueReadings, FitData};
use crate::tables::level_fit::{LevelReading, fit_levels};
use crate::tables::measured_fit::{LEAST_READINGS, MeasuredFit, MeasuredReading, fit_measured, set_aside_wild};
use crate::tables::method::FitMethod;
use crate::tables::residual_correlation::{Shrinkage, shrunk_correlation};
use crate::tables::rules::{LevelRuleRows, MeasuredRuleRows, Rules};
use agewright_model::tables::level_table::LevelTable;
use agewright_model::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::tables::prior::PriorError;
use agewright_model::{
    Calibration, CalibrationContents, CalibrationError, Clue, ClueKind, Origin, Part, Prior, TableSet,
};
use std::collections::BTreeSet;
use thiserror::Error;

/// Why a clue has no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyLeftOut {
    /// Fewer readings than a table needs.
    TooFew,
    /// All dated clubs read alike.
    NeverVaries,
}

/// What was left out of tables: (clue, readings, why), and what was set aside: (clue, reading, robust deviations).
#[derive(Debug, Clone, Default)]
pub(crate) struct Omissions {
    pub left_out: Vec<(usize, usize, WhyLeftOut)>,
    pub set_aside: Vec<(usize, MeasuredReading, f64)>,
}

/// Everything that is fitted at once, all weights 1.
pub(crate) struct Tables {
    pub set: TableSet,
    pub omissions: Omissions,
}

/// Why tables cannot be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
pub(crate) enum TableFitError {
    /// A prior could not be made.
    #[error(transparent)]
    Prior(#[from] PriorError),
    /// The fitted tables do not pass their own checks.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
}

impl Tables {
    /// Name of the prior that goes with these tables where nothing else is said.
    pub fn usual_prior(&self) -> &'static str {
        if self.set.prior(Prior::AS_COLLECTED).is_ok() { Prior::AS_COLLECTED } else { Prior::FLAT }
    }

    /// A calibration of these tables as they are.
    ///
    /// # Errors
    /// [`CalibrationError`] for tables that do not pass their checks.
    pub fn calibration(&self, data: &FitData<'_>) -> Result<Calibration, CalibrationError> {
        Calibration::new(CalibrationContents {
            name: String::new(),
            catalogue: data.catalogue.clone(),
            origin: Origin::default(),
            tables: self.set.clone(),
            marks: data.rules.map_or_else(Vec::new, |rules| rules.marks.clone()),
            parts: data.rules.and_then(|rules| rules.parts.clone()),
            default_prior: self.usual_prior().to_owned(),
            draws: Vec::new(),
        })
    }
}

/// A measured clue's own fit, on the way to its block.
struct MeasuredClue<'a> {
    ix: usize,
    clue: &'a Clue,
    fit: MeasuredFit,
    rule: Option<MeasuredRuleRows>,
}

impl MeasuredClue<'_> {
    /// Middle of the clue over all years in its own unit: where effects given in units are turned into its scale.
    fn usual_measure(&self) -> f64 {
        self.clue.scale.measure(self.fit.overall_mean)
    }
}

/// Fits every table on the clubs for which `members` holds, dated by `dates`.
///
/// # Errors
/// [`PriorError`] cannot occur for dates on the axis; it is passed on rather than hidden.
pub(crate) fn fit_tables(
    data: &FitData<'_>,
    dates: &[DateSpread],
    kernels: &Kernels,
    members: &[bool],
) -> Result<Tables, PriorError> {
    let catalogue = data.catalogue;
    let mut omissions = Omissions::default();
    let mut level_tables = Vec::new();
    let mut measured = Vec::new();
    for (ix, (clue, readings)) in catalogue.clues().iter().zip(&data.readings).enumerate() {
        if clue.kind.is_known() {
            continue;
        }
        match readings {
            ClueReadings::Levels(_) if clue.adjusts => {}
            ClueReadings::Levels(readings) => match level_table(data, clue, readings, kernels, members) {
                Ok(table) => level_tables.push(table),
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
            ClueReadings::Measured(readings) => match measured_clue(data, ix, readings, kernels, members) {
                Ok((clue, aside)) => {
                    omissions.set_aside.extend(aside.into_iter().map(|(reading, off)| (ix, reading, off)));
                    measured.push(clue);
                }
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
        }
    }
    let blocks = Part::ALL.iter().filter_map(|&part| block(data, kernels, members, part, &measured)).collect();
    let own: Vec<usize> = (0..data.n_clubs()).filter(|&club| members[club]).collect();
    let own_dates: Vec<&DateSpread> = own.iter().map(|&club| &dates[club]).collect();
    let own_worths: Vec<f64> = own.iter().map(|&club| data.worths[club]).collect();
    let mut priors = vec![Prior::flat(catalogue.axis())];
    if !own.is_empty() {
        priors.push(as_collected(catalogue.axis(), &own_dates, &own_worths)?);
    }
    for rule in data.rules.iter().flat_map(|rules| &rules.priors) {
        priors.push(rule.prior(catalogue.axis())?);
    }
    Ok(Tables { set: TableSet { levels: level_tables, blocks, priors }, omissions })
}

type NoTable = (usize, WhyLeftOut);

fn level_table(
    data: &FitData<'_>,
    clue: &Clue,
    readings: &[LevelReading],
    kernels: &Kernels,
    members: &[bool],
) -> Result<LevelTable, NoTable> {
    let readings: Vec<LevelReading> = readings.iter().filter(|r| members[r.club]).cloned().collect();
    let rule: Option<LevelRuleRows> = data.rules.and_then(|rules| rules.level_rows(data.catalogue.axis(), &clue.id));
    let seen: BTreeSet<&Vec<usize>> = readings.iter().map(|r| &r.levels).collect();
    if rule.is_none() && readings.len() < LEAST_READINGS {
        return Err((readings.len(), WhyLeftOut::TooFew));
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

fn measured_clue<'a>(
    data: &FitData<'a>,
    ix: usize,
    readings: &[MeasuredReading],
    kernels: &Kernels,
    members: &[bool],
) -> Result<(MeasuredClue<'a>, Vec<(MeasuredReading, f64)>), NoTable> {
    let clue = &data.catalogue.clues()[ix];
    let readings: Vec<MeasuredReading> = readings.iter().filter(|r| members[r.club]).copied().collect();
    let rule = data.rules.and_then(|rules| rules.measured_rows(data.catalogue.axis(), &clue.id, clue.scale));
    if rule.is_none() && readings.len() < LEAST_READINGS {
        return Err((readings.len(), WhyLeftOut::TooFew));
    }
    let (kept, aside) =
        if data.method.plug_in { (readings.clone(), Vec::new()) } else { set_aside_wild(kernels, &readings) };
    // A rule's means are those of a club without its effects: what effects a rule expects is taken off before the mean
    // is fitted, and given back to the residuals that the effects themselves are fitted on.
    let expected = rule.as_ref().map(|rule| expected_shifts(data, ix, clue.scale.measure(rule.overall().0)));
    let expected = |club: usize| expected.as_ref().map_or(0.0, |shifts| shifts[club]);
    let bare: Vec<MeasuredReading> =
        kept.iter().map(|r| MeasuredReading { place: r.place - expected(r.club), ..*r }).collect();
    match fit_measured(kernels, &bare, rule.as_ref(), data.method) {
        Some(mut fit) => {
            for (club, residual) in &mut fit.residuals {
                *residual += expected(*club);
            }
            Ok((MeasuredClue { ix, clue, fit, rule }, aside))
        }
        None => Err((readings.len(), WhyLeftOut::NeverVaries)),
    }
}

/// What the rules' effects of levels expect of a measured clue, by club; 0 where the level is not known.
#[expect(clippy::cast_precision_loss, reason = "levels are few")]
pub(crate) fn expected_shifts(data: &FitData<'_>, on: usize, usual: f64) -> Vec<f64> {
    let mut shifts = vec![0.0; data.n_clubs()];
    for (by, readings) in data.readings.iter().enumerate() {
        let effect = data.rules.and_then(|rules| rules.level_effect(data.catalogue, on, by, usual));
        if let (Some(effect), ClueReadings::Levels(readings)) = (effect, readings) {
            for r in readings {
                shifts[r.club] += r.levels.iter().map(|&level| effect[level]).sum::<f64>() / r.levels.len() as f64;
            }
        }
    }
    shifts
}

/// Degrees of freedom from rules alone.
const RULES_DEGREES_OF_FREEDOM: f64 = 8.0;
/// Rows of a plug-in fit are taken as known from this many clubs.
const KNOWN_EXACTLY: f64 = 1e12;
/// No rule makes one measure follow from another more closely than this.
const MOST_EXPECTED: f64 = 0.8;

/// Degrees of freedom of the predictive t: min(10, max(4, n - 1 - p)); 8 where rules alone speak.
#[expect(clippy::cast_precision_loss, reason = "collections are small")]
fn degrees_of_freedom(n_clubs: usize, n_clues: usize, method: &FitMethod) -> f64 {
    if method.plug_in {
        return f64::INFINITY;
    }
    if n_clubs == 0 {
        return RULES_DEGREES_OF_FREEDOM;
    }
    (n_clubs as f64 - 1.0 - n_clues as f64).clamp(4.0, 10.0)
}

fn block(
    data: &FitData<'_>,
    kernels: &Kernels,
    members: &[bool],
    part: Part,
    fits: &[MeasuredClue<'_>],
) -> Option<MeasuredBlock> {
    let own: Vec<&MeasuredClue<'_>> = fits.iter().filter(|m| m.clue.part == part).collect();
    if own.is_empty() {
        return None;
    }
    let adjusters = level_adjusters(data, part, members);
    let indicators = Indicators::new(kernels, &adjusters, members);
    let worth = |club: usize| data.worths[club];
    let shifts: Vec<Shifts> = own.iter().map(|m| shifts_of(data, m, &indicators)).collect();
    let clubs: BTreeSet<usize> = shifts.iter().flat_map(|s| s.residuals.iter().map(|(club, _)| *club)).collect();
    let residuals: Vec<Vec<(usize, f64)>> = shifts.iter().map(|s| s.residuals.clone()).collect();
    let by_adjuster: Vec<Vec<Vec<f64>>> = shifts.iter().map(|s| indicators.split(&s.coefficients)).collect();
    let adjusters = indicators.adjusters.iter().enumerate().map(|(a, adjuster)| LevelAdjuster {
        clue: data.catalogue.clues()[adjuster.clue].id.clone(),
        expected: indicators.expected(kernels, adjuster),
        shifts: by_adjuster.iter().map(|of_clue| of_clue[a].clone()).collect(),
        centred: own.iter().map(|m| centred(data, m, &indicators)[a]).collect(),
    });
    let tables: Vec<MeasuredTable> = own.iter().zip(&shifts).map(|(m, s)| measured_table(data, m, s)).collect();
    Some(MeasuredBlock {
        part,
        degrees_of_freedom: degrees_of_freedom(clubs.len(), own.len(), data.method),
        weight: 1.0,
        correlation: shrunk_correlation(
            &residuals,
            worth,
            |j, k| expected_correlation(data, (own[j], &tables[j]), (own[k], &tables[k])),
            if data.method.plug_in { Shrinkage::Off } else { Shrinkage::On },
        ),
        adjusters: adjusters.collect(),
        clues: tables,
    })
}

/// Shifts of one measured clue by the level adjusters, towards what rules expect of them.
fn shifts_of(data: &FitData<'_>, measured: &MeasuredClue<'_>, indicators: &Indicators) -> Shifts {
    if indicators.is_empty() {
        return Shifts { coefficients: Vec::new(), residuals: measured.fit.residuals.clone() };
    }
    let expected = data.rules.map(|rules| {
        let of_adjuster = |by: usize| {
            let effect = rules.level_effect(data.catalogue, measured.ix, by, measured.usual_measure());
            effect.unwrap_or_else(|| vec![0.0; data.catalogue.clues()[by].levels.len()])
        };
        indicators.adjusters.iter().flat_map(|adjuster| of_adjuster(adjuster.clue)).collect::<Vec<f64>>()
    });
    let centred = centred(data, measured, indicators);
    fit_shifts(indicators, &measured.fit.residuals, |club| data.worths[club], expected.as_deref(), &centred)
}

/// Whether each adjuster is centred for a measured clue: not where the clue's mean is a rule's and the rules tell the
/// adjuster's effect on it, for that mean is of a club without the effect.
fn centred(data: &FitData<'_>, measured: &MeasuredClue<'_>, indicators: &Indicators) -> Vec<bool> {
    let told = |by: usize| {
        let effect = |rules: &Rules| rules.level_effect(data.catalogue, measured.ix, by, measured.usual_measure());
        measured.rule.is_some() && data.rules.is_some_and(|rules| effect(rules).is_some())
    };
    indicators.adjusters.iter().map(|adjuster| !told(adjuster.clue)).collect()
}

/// Correlation that a rule's slope of one measure on another amounts to: slope times the ratio of their spreads.
fn expected_correlation(
    data: &FitData<'_>,
    (a, a_table): (&MeasuredClue<'_>, &MeasuredTable),
    (b, b_table): (&MeasuredClue<'_>, &MeasuredTable),
) -> f64 {
    let Some(rules) = data.rules else { return 0.0 };
    let spread = |table: &MeasuredTable| table.rows.iter().map(|row| row.sd).sum::<f64>();
    let ratio = spread(b_table) / spread(a_table);
    let of = |x: &MeasuredClue<'_>, y: &MeasuredClue<'_>| {
        rules.slope(data.catalogue, x.ix, y.ix, (x.usual_measure(), y.usual_measure()))
    };
    let forwards = of(a, b).map(|slope| slope * ratio);
    let backwards = of(b, a).map(|slope| slope / ratio);
    forwards.or(backwards).unwrap_or(0.0).clamp(-MOST_EXPECTED, MOST_EXPECTED)
}

/// Level adjusters of a part with enough readings that vary: (clue, number of levels, readings).
fn level_adjusters<'a>(data: &'a FitData<'_>, part: Part, members: &[bool]) -> Vec<(usize, usize, &'a [LevelReading])> {
    let clues = data.catalogue.clues().iter().zip(&data.readings).enumerate();
    let is_ruled = |ix: usize| data.rules.is_some_and(|rules| rules.has_level_effect(&data.catalogue.clues()[ix].id));
    clues
        .filter(|(_, (clue, _))| clue.adjusts && clue.part == part && clue.kind == ClueKind::Levels)
        .filter_map(|(ix, (clue, readings))| match readings {
            ClueReadings::Levels(readings) => Some((ix, clue.levels.len(), readings.as_slice())),
            ClueReadings::Measured(_) => None,
        })
        .filter(|&(ix, _, readings)| {
            let own: Vec<&LevelReading> = readings.iter().filter(|r| members[r.club]).collect();
            let varies = own.len() >= LEAST_READINGS && own.iter().any(|r| r.levels != own[0].levels);
            varies || is_ruled(ix)
        })
        .collect()
}

fn measured_table(data: &FitData<'_>, measured: &MeasuredClue<'_>, shifts: &Shifts) -> MeasuredTable {
    let MeasuredClue { clue, fit, rule, .. } = measured;
    let worth = |club: usize| data.worths[club];
    let sd = fit.sd_of(&shifts.residuals, worth);
    let total: f64 = shifts.residuals.iter().map(|(club, _)| worth(*club)).sum();
    let rows = fit.mean.iter().zip(&fit.clubs).enumerate().map(|(row, (&mean, &clubs))| MeasuredRow {
        clubs: if data.method.plug_in { KNOWN_EXACTLY } else { clubs },
        mean,
        sd: rule.as_ref().map_or(sd, |rule| sd_with_rule(rule, row, sd, total)),
    });
    MeasuredTable {
        clue: clue.id.clone(),
        clubs: fit.residuals.len(),
        bandwidth: fit.bandwidth,
        overall_mean: fit.overall_mean,
        overall_sd: fit.overall_sd,
        rows: rows.collect(),
    }
}

/// sd^2 = (n s^2 + W sd_rule^2)/(n + W), s following the rule's profile over the rows.
#[expect(clippy::cast_precision_loss, reason = "rows are few")]
fn sd_with_rule(rule: &MeasuredRuleRows, row: usize, sd: f64, clubs: f64) -> f64 {
    let usual = (rule.sd.iter().map(|s| s * s).sum::<f64>() / rule.sd.len() as f64).sqrt();
    let own = sd * rule.sd[row] / usual;
    let worth = rule.worth[row];
    if clubs + worth > 0.0 {
        ((clubs * own * own + worth * rule.sd[row].powi(2)) / (clubs + worth)).sqrt()
    } else {
        rule.sd[row]
    }
}
