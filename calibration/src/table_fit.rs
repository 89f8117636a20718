//! Fits all tables on some of the clubs of a collection.

use crate::adjuster_fit::{Indicators, Shifts, fit_shifts};
use crate::collection_prior::as_collected;
use crate::date_spread::DateSpread;
use crate::fit_data::{ClueReadings, FitData};
use crate::kernels::Kernels;
use crate::level_fit::{LevelReading, fit_levels};
use crate::measured_fit::{LEAST_READINGS, MeasuredFit, MeasuredReading, fit_measured, set_aside_wild};
use crate::residual_correlation::shrunk_correlation;
use agewright_model::{
    Calibration, Clue, ClueKind, LevelAdjuster, LevelTable, MeasuredBlock, MeasuredRow, MeasuredTable, Origin, Part,
    Prior, PriorError,
};
use std::collections::BTreeSet;

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
    pub calibration: Calibration,
    pub omissions: Omissions,
}

/// A measured clue's own fit, on the way to its block.
struct MeasuredClue<'a> {
    clue: &'a Clue,
    fit: MeasuredFit,
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
    for (ix, (clue, readings)) in catalogue.clues.iter().zip(&data.readings).enumerate() {
        match readings {
            ClueReadings::Levels(_) if clue.adjusts => {}
            ClueReadings::Levels(readings) => match level_table(clue, readings, kernels, members) {
                Ok(table) => level_tables.push(table),
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
            ClueReadings::Measured(readings) => match measured_clue(readings, kernels, members) {
                Ok((fit, aside)) => {
                    omissions.set_aside.extend(aside.into_iter().map(|(reading, off)| (ix, reading, off)));
                    measured.push(MeasuredClue { clue, fit });
                }
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
        }
    }
    let blocks = Part::ALL.iter().filter_map(|&part| block(data, kernels, members, part, &measured)).collect();
    let own: Vec<usize> = (0..data.n_clubs()).filter(|&club| members[club]).collect();
    let own_dates: Vec<&DateSpread> = own.iter().map(|&club| &dates[club]).collect();
    let own_worths: Vec<f64> = own.iter().map(|&club| data.worths[club]).collect();
    let calibration = Calibration {
        name: String::new(),
        catalogue: catalogue.clone(),
        origin: Origin::default(),
        level_tables,
        blocks,
        priors: vec![Prior::flat(catalogue.axis), as_collected(catalogue.axis, &own_dates, &own_worths)?],
        default_prior: Prior::AS_COLLECTED.to_owned(),
    };
    Ok(Tables { calibration, omissions })
}

type NoTable = (usize, WhyLeftOut);

fn level_table(
    clue: &Clue,
    readings: &[LevelReading],
    kernels: &Kernels,
    members: &[bool],
) -> Result<LevelTable, NoTable> {
    let readings: Vec<LevelReading> = readings.iter().filter(|r| members[r.club]).cloned().collect();
    if readings.len() < LEAST_READINGS {
        return Err((readings.len(), WhyLeftOut::TooFew));
    }
    let seen: BTreeSet<&Vec<usize>> = readings.iter().map(|r| &r.levels).collect();
    let fit = fit_levels(kernels, &readings, clue.levels.len()).filter(|_| seen.len() > 1);
    let fit = fit.ok_or((readings.len(), WhyLeftOut::NeverVaries))?;
    Ok(LevelTable {
        clue: clue.id.clone(),
        clubs: readings.len(),
        bandwidth: fit.bandwidth,
        misread: clue.misread_at_least(),
        weight: 1.0,
        overall: fit.overall,
        rows: fit.rows,
    })
}

fn measured_clue(
    readings: &[MeasuredReading],
    kernels: &Kernels,
    members: &[bool],
) -> Result<(MeasuredFit, Vec<(MeasuredReading, f64)>), NoTable> {
    let readings: Vec<MeasuredReading> = readings.iter().filter(|r| members[r.club]).copied().collect();
    if readings.len() < LEAST_READINGS {
        return Err((readings.len(), WhyLeftOut::TooFew));
    }
    let (kept, aside) = set_aside_wild(kernels, &readings);
    match fit_measured(kernels, &kept) {
        Some(fit) => Ok((fit, aside)),
        None => Err((readings.len(), WhyLeftOut::NeverVaries)),
    }
}

/// Degrees of freedom of the predictive t: min(10, max(4, n - 1 - p)).
#[expect(clippy::cast_precision_loss, reason = "collections are small")]
fn degrees_of_freedom(n_clubs: usize, n_clues: usize) -> f64 {
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
    let indicators = Indicators::new(kernels, &level_adjusters(data, part, members), members);
    let worth = |club: usize| data.worths[club];
    let shifts: Vec<Shifts> = own
        .iter()
        .map(|m| {
            if indicators.is_empty() {
                Shifts { coefficients: Vec::new(), residuals: m.fit.residuals.clone() }
            } else {
                fit_shifts(&indicators, &m.fit.residuals, worth, None)
            }
        })
        .collect();
    let clubs: BTreeSet<usize> = shifts.iter().flat_map(|s| s.residuals.iter().map(|(club, _)| *club)).collect();
    let residuals: Vec<Vec<(usize, f64)>> = shifts.iter().map(|s| s.residuals.clone()).collect();
    let by_adjuster: Vec<Vec<Vec<f64>>> = shifts.iter().map(|s| indicators.split(&s.coefficients)).collect();
    let adjusters = indicators.adjusters.iter().enumerate().map(|(a, adjuster)| LevelAdjuster {
        clue: data.catalogue.clues[adjuster.clue].id.clone(),
        expected: indicators.expected(kernels, adjuster),
        shifts: by_adjuster.iter().map(|of_clue| of_clue[a].clone()).collect(),
    });
    Some(MeasuredBlock {
        part,
        degrees_of_freedom: degrees_of_freedom(clubs.len(), own.len()),
        weight: 1.0,
        correlation: shrunk_correlation(&residuals, worth),
        adjusters: adjusters.collect(),
        clues: own.iter().zip(&shifts).map(|(m, s)| measured_table(m, s, worth)).collect(),
    })
}

/// Level adjusters of a part with enough readings that vary: (clue, number of levels, readings).
fn level_adjusters<'a>(data: &'a FitData<'_>, part: Part, members: &[bool]) -> Vec<(usize, usize, &'a [LevelReading])> {
    let clues = data.catalogue.clues.iter().zip(&data.readings).enumerate();
    clues
        .filter(|(_, (clue, _))| clue.adjusts && clue.part == part && clue.kind == ClueKind::Levels)
        .filter_map(|(ix, (clue, readings))| match readings {
            ClueReadings::Levels(readings) => Some((ix, clue.levels.len(), readings.as_slice())),
            ClueReadings::Measured(_) => None,
        })
        .filter(|(_, _, readings)| {
            let own: Vec<&LevelReading> = readings.iter().filter(|r| members[r.club]).collect();
            own.len() >= LEAST_READINGS && own.iter().any(|r| r.levels != own[0].levels)
        })
        .collect()
}

fn measured_table(measured: &MeasuredClue<'_>, shifts: &Shifts, worth: impl Fn(usize) -> f64) -> MeasuredTable {
    let MeasuredClue { clue, fit, .. } = measured;
    let sd = fit.sd_of(&shifts.residuals, worth);
    let rows = fit.mean.iter().zip(&fit.clubs).map(|(&mean, &clubs)| MeasuredRow { clubs, mean, sd });
    MeasuredTable {
        clue: clue.id.clone(),
        scale: clue.scale,
        clubs: fit.residuals.len(),
        bandwidth: fit.bandwidth,
        misread: clue.misread_at_least(),
        adjusts: clue.adjusts,
        tolerance: clue.tolerance.unwrap_or(0.0),
        overall_mean: fit.overall_mean,
        overall_sd: fit.overall_sd,
        rows: rows.collect(),
    }
}
