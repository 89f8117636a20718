//! Fits a whole calibration from a catalogue and dated clubs.

use crate::collection_prior::as_collected;
use crate::date_spread::DateSpread;
use crate::dated_club::DatedClub;
use crate::kernels::Kernels;
use crate::level_fit::{LevelReading, fit_levels};
use crate::measured_fit::{LEAST_READINGS, MeasuredFit, MeasuredReading, fit_measured, set_aside_wild};
use crate::residual_correlation::shrunk_correlation;
use agewright_model::{
    Calibration, CalibrationError, Catalogue, Clue, ClueKind, DOUBTFUL_MISREAD, LevelTable, MeasuredBlock, MeasuredRow,
    MeasuredTable, Origin, Part, Prior, PriorError, Reading, Seen,
};
use rayon::prelude::*;
use std::collections::BTreeSet;
use thiserror::Error;

/// What a fit is asked for.
#[derive(Debug, Clone, Default)]
pub struct FitSettings {
    /// Name of the calibration.
    pub name: String,
    /// Where everything came from; the number of clubs and their years are filled in.
    pub origin: Origin,
    /// Name of the prior to use by default; `None` for as-collected.
    pub prior: Option<String>,
}

/// A fitted calibration and what was seen on the way.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The calibration.
    pub calibration: Calibration,
    /// What was left out and set aside.
    pub report: FitReport,
}

/// What a fit left out and set aside.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FitReport {
    /// Dated clubs that counted.
    pub clubs: usize,
    /// Clubs whose date grade is worth nothing.
    pub worthless: usize,
    /// Clues without a table.
    pub left_out: Vec<LeftOut>,
    /// Readings too wild to fit on.
    pub set_aside: Vec<SetAside>,
    /// Rows of years with no dated club: first and last year of each.
    pub empty_rows: Vec<(i32, i32)>,
}

/// A clue without a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The clue's id.
    pub clue: String,
    /// Dated clubs with a reading.
    pub readings: usize,
    /// Why.
    pub why: WhyLeftOut,
}

/// Why a clue has no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyLeftOut {
    /// Fewer readings than a table needs.
    TooFew,
    /// All dated clubs read alike.
    NeverVaries,
}

/// A reading too wild to fit on.
#[derive(Debug, Clone, PartialEq)]
pub struct SetAside {
    /// The club's id.
    pub club: String,
    /// The clue's id.
    pub clue: String,
    /// The reading as written.
    pub reading: String,
    /// Robust standard deviations off the line.
    pub deviations: f64,
}

/// Why no calibration can be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum FitError {
    /// No dated club counts.
    #[error("no dated club to fit on: fill made_from and made_to (clubs of date grade 5 do not count)")]
    NoDatedClub,
    /// No clue has enough readings.
    #[error(
        "no clue has enough dated readings for a table: each needs {LEAST_READINGS} clubs or more that do not all read alike"
    )]
    NoTable,
    /// The prior asked for does not exist.
    #[error("there is no prior \"{name}\"")]
    Prior {
        /// The name asked for.
        name: String,
        /// The names there are.
        allowed: Vec<String>,
    },
    /// A prior could not be made.
    #[error(transparent)]
    PriorRows(#[from] PriorError),
    /// The fitted tables do not pass their own checks.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
}

/// Fits a calibration. Clues are fitted in parallel and gathered in order: the result does not depend on threads.
///
/// # Errors
/// [`FitError`] when nothing can be fitted or the prior asked for does not exist.
pub fn fit(catalogue: &Catalogue, clubs: &[DatedClub], settings: &FitSettings) -> Result<Fit, FitError> {
    let axis = catalogue.axis;
    let counted: Vec<&DatedClub> = clubs.iter().filter(|club| club.worth() > 0.0).collect();
    if counted.is_empty() {
        return Err(FitError::NoDatedClub);
    }
    let dates: Vec<DateSpread> = counted.iter().map(|club| DateSpread::even(axis, club)).collect();
    let kernels = Kernels::new(axis, &dates);
    let outcomes: Vec<Outcome> =
        (0..catalogue.clues.len()).into_par_iter().map(|ix| fit_clue(catalogue, ix, &counted, &kernels)).collect();
    let mut report = FitReport { clubs: counted.len(), worthless: clubs.len() - counted.len(), ..FitReport::default() };
    let mut level_tables = Vec::new();
    let mut measured: Vec<(usize, MeasuredFit)> = Vec::new();
    for (ix, outcome) in outcomes.into_iter().enumerate() {
        match outcome {
            Outcome::Levels(table) => level_tables.push(table),
            Outcome::Measured { fit, set_aside } => {
                report.set_aside.extend(set_aside);
                measured.push((ix, fit));
            }
            Outcome::LeftOut(left_out) => report.left_out.push(left_out),
            Outcome::NoEvidence => {}
        }
    }
    if level_tables.is_empty() && measured.is_empty() {
        return Err(FitError::NoTable);
    }
    let worths: Vec<f64> = counted.iter().map(|club| club.worth()).collect();
    let blocks = Part::ALL.iter().filter_map(|&part| block(catalogue, part, &measured, &worths)).collect();
    report.empty_rows = empty_rows(catalogue, &counted);
    let priors = vec![Prior::flat(axis), as_collected(axis, &dates.iter().collect::<Vec<_>>(), &worths)?];
    let default_prior = settings.prior.clone().unwrap_or_else(|| Prior::AS_COLLECTED.to_owned());
    if priors.iter().all(|prior| prior.name != default_prior) {
        let allowed = priors.iter().map(|prior| prior.name.clone()).collect();
        return Err(FitError::Prior { name: default_prior, allowed });
    }
    let mut calibration = Calibration {
        name: settings.name.clone(),
        catalogue: catalogue.clone(),
        origin: origin(settings, &counted),
        level_tables,
        blocks,
        priors,
        default_prior,
    };
    calibration.check()?;
    Ok(Fit { calibration, report })
}

fn origin(settings: &FitSettings, clubs: &[&DatedClub]) -> Origin {
    let first = clubs.iter().map(|club| club.made_from()).min();
    let last = clubs.iter().map(|club| club.made_to()).max();
    Origin { clubs: clubs.len(), dated: first.zip(last).map(|(first, last)| [first, last]), ..settings.origin.clone() }
}

enum Outcome {
    Levels(LevelTable),
    Measured { fit: MeasuredFit, set_aside: Vec<SetAside> },
    LeftOut(LeftOut),
    NoEvidence,
}

/// A doubtful reading counts for the chance that it is right.
fn worth_of(club: &DatedClub, reading: &Reading) -> f64 {
    if reading.doubtful { club.worth() * (1.0 - DOUBTFUL_MISREAD) } else { club.worth() }
}

fn fit_clue(catalogue: &Catalogue, ix: usize, clubs: &[&DatedClub], kernels: &Kernels) -> Outcome {
    let clue = &catalogue.clues[ix];
    if clue.adjusts {
        return Outcome::NoEvidence;
    }
    let readings = clubs.iter().enumerate().filter_map(|(club, dated)| {
        let reading = dated.club.cells.get(ix)?.reading()?;
        Some((club, worth_of(dated, reading), reading))
    });
    match clue.kind {
        ClueKind::Measured => fit_measured_clue(clue, &readings.collect::<Vec<_>>(), clubs, kernels),
        _ => fit_level_clue(clue, &readings.collect::<Vec<_>>(), kernels),
    }
}

fn fit_level_clue(clue: &Clue, readings: &[(usize, f64, &Reading)], kernels: &Kernels) -> Outcome {
    let readings: Vec<LevelReading> = readings
        .iter()
        .filter_map(|&(club, worth, reading)| match &reading.seen {
            Seen::Levels(levels) => Some(LevelReading { club, worth, levels: levels.clone() }),
            Seen::Measure { .. } => None,
        })
        .collect();
    let left_out = |why| Outcome::LeftOut(LeftOut { clue: clue.id.clone(), readings: readings.len(), why });
    if readings.len() < LEAST_READINGS {
        return left_out(WhyLeftOut::TooFew);
    }
    let seen: BTreeSet<&Vec<usize>> = readings.iter().map(|r| &r.levels).collect();
    let Some(fit) = fit_levels(kernels, &readings, clue.levels.len()).filter(|_| seen.len() > 1) else {
        return left_out(WhyLeftOut::NeverVaries);
    };
    Outcome::Levels(LevelTable {
        clue: clue.id.clone(),
        clubs: readings.len(),
        bandwidth: fit.bandwidth,
        misread: clue.misread_at_least(),
        weight: 1.0,
        overall: fit.overall,
        rows: fit.rows,
    })
}

fn fit_measured_clue(
    clue: &Clue,
    readings: &[(usize, f64, &Reading)],
    clubs: &[&DatedClub],
    kernels: &Kernels,
) -> Outcome {
    let placed: Vec<MeasuredReading> = readings
        .iter()
        .filter_map(|&(club, worth, reading)| match reading.seen {
            Seen::Measure { value, .. } => Some(MeasuredReading { club, worth, place: clue.scale.place(value)? }),
            Seen::Levels(_) => None,
        })
        .collect();
    let left_out = |why| Outcome::LeftOut(LeftOut { clue: clue.id.clone(), readings: placed.len(), why });
    if placed.len() < LEAST_READINGS {
        return left_out(WhyLeftOut::TooFew);
    }
    let (kept, aside) = set_aside_wild(kernels, &placed);
    let Some(fit) = fit_measured(kernels, &kept) else {
        return left_out(WhyLeftOut::NeverVaries);
    };
    let text = |club: usize| readings.iter().find(|(c, _, _)| *c == club).map_or("", |(_, _, r)| r.text.as_str());
    let set_aside = aside
        .iter()
        .map(|(reading, deviations)| SetAside {
            club: clubs[reading.club].club.id.clone(),
            clue: clue.id.clone(),
            reading: text(reading.club).to_owned(),
            deviations: *deviations,
        })
        .collect();
    Outcome::Measured { fit, set_aside }
}

/// Degrees of freedom of the predictive t: min(10, max(4, n - 1 - p)).
#[expect(clippy::cast_precision_loss, reason = "collections are small")]
fn degrees_of_freedom(n_clubs: usize, n_clues: usize) -> f64 {
    (n_clubs as f64 - 1.0 - n_clues as f64).clamp(4.0, 10.0)
}

fn block(catalogue: &Catalogue, part: Part, fits: &[(usize, MeasuredFit)], worths: &[f64]) -> Option<MeasuredBlock> {
    let own: Vec<(&Clue, &MeasuredFit)> =
        fits.iter().map(|(ix, fit)| (&catalogue.clues[*ix], fit)).filter(|(clue, _)| clue.part == part).collect();
    if own.is_empty() {
        return None;
    }
    let measured: BTreeSet<usize> =
        own.iter().flat_map(|(_, fit)| fit.residuals.iter().map(|(club, _)| *club)).collect();
    let residuals: Vec<Vec<(usize, f64)>> = own.iter().map(|(_, fit)| fit.residuals.clone()).collect();
    Some(MeasuredBlock {
        part,
        degrees_of_freedom: degrees_of_freedom(measured.len(), own.len()),
        weight: 1.0,
        correlation: shrunk_correlation(&residuals, |club| worths[club]),
        clues: own.into_iter().map(|(clue, fit)| measured_table(clue, fit)).collect(),
    })
}

fn measured_table(clue: &Clue, fit: &MeasuredFit) -> MeasuredTable {
    let rows = fit.mean.iter().zip(&fit.clubs).map(|(&mean, &clubs)| MeasuredRow { clubs, mean, sd: fit.sd });
    MeasuredTable {
        clue: clue.id.clone(),
        scale: clue.scale,
        clubs: fit.residuals.len(),
        bandwidth: fit.bandwidth,
        misread: clue.misread_at_least(),
        tolerance: clue.tolerance.unwrap_or(0.0),
        overall_mean: fit.overall_mean,
        overall_sd: fit.overall_sd,
        rows: rows.collect(),
    }
}

fn empty_rows(catalogue: &Catalogue, clubs: &[&DatedClub]) -> Vec<(i32, i32)> {
    let axis = catalogue.axis;
    (0..axis.n_rows())
        .map(|row| axis.row_years(row))
        .filter(|(from, to)| !clubs.iter().any(|club| club.made_from() <= *to && club.made_to() >= *from))
        .collect()
}
