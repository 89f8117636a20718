//! What more clubs would buy, and what each clue is worth: audits on fewer clubs, and without each clue.

use crate::audit::audit::{Audit, AuditPlan, audit};
use crate::audit::audit_scores::Means;
use crate::dated::dated_club::DatedClub;
use crate::dated::folds::thinned;
use crate::fit::fit::{FitError, FitSettings};
use agewright_model::{Catalogue, Cell};

/// One point of a learning curve.
#[derive(Debug, Clone, PartialEq)]
pub struct CurvePoint {
    /// Clubs fitted on.
    pub clubs: usize,
    /// Means over all draws.
    pub means: Means,
    /// Lowest and highest CRPS among the draws; `None` for the whole collection, of which there is one.
    pub crps_range: Option<(f64, f64)>,
}

/// Scores of variants beside an audit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AuditVariants {
    /// Clue left out, and the model's means without it.
    pub each_clue: Vec<(String, Means)>,
    /// How the score grows with the number of clubs.
    pub learning_curve: Vec<CurvePoint>,
}

/// What is audited, and how.
#[derive(Debug, Clone, Copy)]
pub struct AuditOf<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The dated clubs.
    pub clubs: &'a [DatedClub],
    /// Clubs to be scored in the place of folds.
    pub held_out: Option<&'a [DatedClub]>,
    /// How calibrations are fitted.
    pub settings: &'a FitSettings,
    /// Seed of the randomised PIT and of the draws.
    pub seed: u64,
}

/// Shares of the collection that the learning curve fits on, and draws of each.
const CURVE: [f64; 3] = [0.125, 0.25, 0.5];
const CURVE_DRAWS: u64 = 6;
/// Number of fits that a learning curve makes.
pub const CURVE_FITS: usize = 18;
/// A share with fewer clubs tells nothing.
const LEAST_CURVE: usize = 8;

/// Fits on draws of a share of the clubs and dates all the others (or the held-out ones) by each; the whole collection,
/// as audited, stands last. `done` is told after each fit.
///
/// # Errors
/// [`FitError`] when a fit fails.
pub fn learning_curve(of: AuditOf<'_>, whole: &Audit, done: &(dyn Fn() + Sync)) -> Result<Vec<CurvePoint>, FitError> {
    let mut points = Vec::new();
    for share in CURVE {
        points.extend(curve_point(of, share, done)?);
    }
    points.push(CurvePoint { clubs: of.clubs.len(), means: whole.means()[0], crps_range: None });
    Ok(points)
}

fn curve_point(of: AuditOf<'_>, share: f64, done: &(dyn Fn() + Sync)) -> Result<Option<CurvePoint>, FitError> {
    let mut scored = Vec::new();
    let mut crps = Vec::new();
    let mut n_clubs = 0;
    for draw in 0..CURVE_DRAWS {
        let fewer = thinned(of.clubs, share, of.seed.wrapping_add(draw));
        n_clubs = fewer.len();
        if n_clubs < LEAST_CURVE {
            continue;
        }
        let others: Vec<DatedClub> = of.clubs.iter().filter(|club| !fewer.contains(club)).cloned().collect();
        let plan = AuditPlan::HeldOut(of.held_out.unwrap_or(&others));
        let one = audit(of.catalogue, &fewer, of.settings, plan, of.seed, done)?;
        crps.push(one.means()[0].crps);
        scored.extend(one.clubs);
    }
    let low = crps.iter().copied().fold(f64::INFINITY, f64::min);
    let high = crps.iter().copied().fold(0.0, f64::max);
    let means = Means::of(scored.iter().map(|club| &club.model));
    Ok((!crps.is_empty()).then_some(CurvePoint { clubs: n_clubs, means, crps_range: Some((low, high)) }))
}

/// The model's means without each clue in turn, by the clue's id in the order of the catalogue.
///
/// # Errors
/// [`FitError`] when a fit fails.
pub fn without_each_clue(
    of: AuditOf<'_>,
    plan: AuditPlan<'_>,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<(String, Means)>, FitError> {
    let one = |(ix, clue): (usize, &agewright_model::Clue)| {
        let blind = |club: &DatedClub| club.with_cell(ix, Cell::NotExamined);
        let fewer: Vec<DatedClub> = of.clubs.iter().map(blind).collect();
        let held: Option<Vec<DatedClub>> = of.held_out.map(|held| held.iter().map(blind).collect());
        let plan = held.as_deref().map_or(plan, AuditPlan::HeldOut);
        Ok((clue.id.clone(), audit(of.catalogue, &fewer, of.settings, plan, of.seed, done)?.means()[0]))
    };
    of.catalogue.clues().iter().enumerate().map(one).collect()
}
