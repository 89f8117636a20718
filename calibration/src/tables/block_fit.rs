//! Fits the measured clues of a part together, with what shifts them.

use crate::smooth::kernels::Kernels;
use crate::tables::adjuster_fit::{AdjusterReadings, Indicators, Shifts, fit_shifts};
use crate::tables::fit_data::FitData;
use crate::tables::level_fit::{LevelReading, level_readings};
use crate::tables::measured_fit::{MeasuredFit, MeasuredReading, fit_measured, measured_readings, set_aside_wild};
use crate::tables::method::FitMethod;
use crate::tables::omissions::{LEAST_READINGS, NoTable, WhyLeftOut, enough_read};
use crate::tables::residual_correlation::{Shrinkage, shrunk_correlation};
use crate::tables::rules::{MeasuredRuleRows, Rules};
use crate::tables::well_read::{Overall, Residual, well_read_sd};
use agewright_model::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::{Clue, Part, TableForm};
use std::collections::BTreeSet;

/// A measured clue's own fit, on the way to its block.
pub(crate) struct MeasuredClue<'a> {
    ix: usize,
    clue: &'a Clue,
    fit: MeasuredFit,
    rule: Option<MeasuredRuleRows>,
    /// The readings that were kept, in the order of the fit's residuals.
    kept: Vec<MeasuredReading>,
}

/// The spread about the mean is kept at or above this share of the overall spread.
const LEAST_SD_SHARE: f64 = 0.01;

impl MeasuredClue<'_> {
    /// Middle of the clue over all years in its own unit: where effects given in units are turned into its scale.
    fn usual_measure(&self) -> f64 {
        self.clue.scale.measure(self.fit.overall_mean)
    }

    /// Weight of a club's reading, less for a doubtful one; 0 where there is none.
    fn worth(&self, club: usize) -> f64 {
        let own = self.kept.binary_search_by_key(&club, |reading| reading.club);
        own.map_or(0.0, |ix| self.kept[ix].worth)
    }

    /// Spread of residuals about the mean, of measures that were read right.
    fn sd(&self, residuals: &[(usize, f64)]) -> f64 {
        let of_reading = |((reading, &(_, off)), &within_date): ((&MeasuredReading, &(usize, f64)), &f64)| Residual {
            off,
            within_date,
            worth: reading.worth,
            place: reading.place,
        };
        let all = self.kept.iter().zip(residuals).zip(&self.fit.within_dates).map(of_reading);
        let (mean, sd) = (self.fit.overall_mean, self.fit.overall_sd);
        well_read_sd(&all.collect::<Vec<_>>(), Overall { mean, sd, misread: self.clue.misread }, LEAST_SD_SHARE * sd)
    }
}

/// A measured clue's own fit on the clubs for which `members` holds, with the readings set aside as wild and by how
/// many robust deviations; or why it has none.
pub(crate) fn measured_clue<'a>(
    data: &FitData<'a>,
    ix: usize,
    kernels: &Kernels,
    members: &[bool],
) -> Result<(MeasuredClue<'a>, Vec<(MeasuredReading, f64)>), NoTable> {
    let clue = &data.catalogue.clues()[ix];
    let mut readings = measured_readings(data, ix);
    readings.retain(|r| members[r.club]);
    let rule = data.rules.and_then(|rules| rules.measured_rows(data.catalogue.axis(), &clue.id, clue.scale));
    if rule.is_none() {
        enough_read(&readings.iter().map(|r| r.club).collect::<Vec<_>>(), &data.sets)?;
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
            Ok((MeasuredClue { ix, clue, fit, rule, kept }, aside))
        }
        None => Err((readings.len(), WhyLeftOut::NeverVaries)),
    }
}

/// What the rules' effects of levels expect of a measured clue, by club; 0 where the level is not known.
#[expect(clippy::cast_precision_loss, reason = "levels are few")]
pub(crate) fn expected_shifts(data: &FitData<'_>, on: usize, usual: f64) -> Vec<f64> {
    let mut shifts = vec![0.0; data.n_clubs()];
    for by in 0..data.catalogue.clues().len() {
        let effect = data.rules.and_then(|rules| rules.level_effect(data.catalogue, on, by, usual));
        let Some(effect) = effect else { continue };
        for r in level_readings(data, by) {
            shifts[r.club] += r.levels.iter().map(|&level| effect[level]).sum::<f64>() / r.levels.len() as f64;
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

/// The measured clues of a part as one block; `None` where it has none.
pub(crate) fn block(
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
    // Two readings of one club weigh together as the club does, each less where it is doubtful.
    let worth = |j: usize, k: usize, club: usize| {
        let club_worth = data.worths[club].max(f64::MIN_POSITIVE);
        own[j].worth(club) * own[k].worth(club) / club_worth
    };
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
    fit_shifts(
        indicators,
        &measured.fit.residuals,
        |club| measured.worth(club),
        expected.as_deref(),
        &centred,
        &data.sets,
    )
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

/// Level adjusters of a part with enough readings that vary.
fn level_adjusters(data: &FitData<'_>, part: Part, members: &[bool]) -> Vec<AdjusterReadings> {
    let is_ruled = |clue: &Clue| data.rules.is_some_and(|rules| rules.has_level_effect(&clue.id));
    let adjusts = |clue: &Clue| clue.adjusts && clue.part == part && clue.kind.table_form() == TableForm::Shares;
    let clues = data.catalogue.clues().iter().enumerate().filter(|(_, clue)| adjusts(clue));
    let gathered = clues.filter_map(|(ix, clue)| {
        let readings = level_readings(data, ix);
        let own: Vec<&LevelReading> = readings.iter().filter(|r| members[r.club]).collect();
        let varies = own.len() >= LEAST_READINGS && own.iter().any(|r| r.levels != own[0].levels);
        let n_levels = clue.levels.len();
        (varies || is_ruled(clue)).then_some(AdjusterReadings { clue: ix, n_levels, readings })
    });
    gathered.collect()
}

fn measured_table(data: &FitData<'_>, measured: &MeasuredClue<'_>, shifts: &Shifts) -> MeasuredTable {
    let MeasuredClue { clue, fit, rule, .. } = measured;
    let sd = measured.sd(&shifts.residuals);
    let total: f64 = measured.kept.iter().map(|reading| reading.worth).sum();
    // A line through clubs of few years leads anywhere in others, but no clue means what no club can measure.
    let [low, high] = clue.range.map_or([f64::NEG_INFINITY, f64::INFINITY], |[low, high]| {
        [clue.scale.place(low).unwrap_or(f64::NEG_INFINITY), clue.scale.place(high).unwrap_or(f64::INFINITY)]
    });
    let rows = fit.mean.iter().zip(&fit.clubs).enumerate().map(|(row, (&mean, &clubs))| MeasuredRow {
        clubs: if data.method.plug_in { KNOWN_EXACTLY } else { clubs },
        mean: mean.clamp(low, high),
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
