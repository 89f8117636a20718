//! `agewright audit`: how good the answers are.

use super::chart::picture;
use super::fit::{fit_failure, with_marks};
use crate::Streams;
use crate::answers::AuditAnswer;
use crate::arguments::{AuditArguments, PlainFormat};
use crate::charts::draw_pit;
use crate::failure::Failure;
use crate::files::{
    TableOptions, check_may_write, read_catalogue_with_marks, read_collection, read_rules, read_text, write_whole,
};
use crate::terminal::{AuditText, audit_text, progress};
use agewright_calibration::{Audit, AuditPlan, DatedClub, FitSettings, Means, Rules, audit, n_fits, thinned};
use agewright_model::{Catalogue, Cell};

/// One point of the learning curve.
#[derive(Debug)]
pub struct CurvePoint {
    /// Clubs fitted on.
    pub clubs: usize,
    /// Means over all draws.
    pub means: Means,
    /// Lowest and highest CRPS among the draws; `None` for the whole collection, of which there is one.
    pub crps_range: Option<(f64, f64)>,
}

/// Scores of variants beside the audit itself.
#[derive(Debug, Default)]
pub struct Variants {
    /// Clue left out, and the model's means without it.
    pub each_clue: Vec<(String, Means)>,
    /// How the score grows with the number of clubs.
    pub learning_curve: Vec<CurvePoint>,
}

pub fn run(arguments: &AuditArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if let Some(path) = &arguments.chart {
        picture(path)?;
        check_may_write(path, arguments.force)?;
    }
    let source = read_text(&arguments.catalogue, streams)?;
    let (catalogue, marks) = read_catalogue_with_marks(&arguments.catalogue, &source, streams)?;
    let options = TableOptions { ignore: arguments.ignore.clone() };
    let source = read_text(&arguments.collection, streams)?;
    let clubs = read_collection(&source, &catalogue, &options)?.dated;
    let held_out = match &arguments.held_out {
        Some(path) => Some(read_collection(&read_text(path, streams)?, &catalogue, &options)?.dated),
        None => None,
    };
    let scored = held_out.as_ref().unwrap_or(&clubs);
    let scored_file =
        arguments.held_out.as_ref().map_or_else(|| source.name.clone(), |path| path.display().to_string());
    if scored.iter().all(|club| club.worth() <= 0.0) {
        return Err(Failure::Rejected(format!("{scored_file}: no dated club to audit")));
    }
    let opinions = scored.iter().filter(|club| club.worth() <= 0.0).count();
    if opinions > 0 {
        writeln!(streams.stderr, "note: {opinions} clubs of date grade 5 (own opinion) are not scored")?;
    }
    let both = held_out.iter().flatten().filter(|club| clubs.contains(club)).count();
    if both > 0 {
        writeln!(streams.stderr, "warning: {both} held-out clubs stand in the collection too; their scores flatter")?;
    }
    let rules = match &arguments.rules {
        Some(path) => Some(read_rules(&read_text(path, streams)?, &catalogue)?),
        None => None,
    };
    let rules = with_marks(rules, marks);
    let run = AuditRun {
        rules: rules.as_ref(),
        arguments,
        catalogue: &catalogue,
        collection: &source.name,
        held_out: held_out.as_deref(),
    };
    let result = run.audit(&catalogue, &clubs, "auditing")?;
    let variants = run.variants(&clubs, &result)?;
    match arguments.format {
        PlainFormat::Text => {
            let shown = AuditText {
                catalogue: &catalogue,
                audit: &result,
                variants: &variants,
                n_fitted: clubs.len(),
                held_out: held_out.is_some(),
            };
            write!(streams.stdout, "{}", audit_text(&shown))?;
        }
        PlainFormat::Json => {
            let line = serde_json::to_string(&AuditAnswer::new(&result, &variants))
                .map_err(|error| Failure::Failed(error.to_string()))?;
            writeln!(streams.stdout, "{line}")?;
        }
    }
    if let Some(path) = &arguments.chart {
        let pits: Vec<f64> = result.clubs.iter().map(|club| club.pit).collect();
        let svg = draw_pit(&pits).map_err(Failure::Failed)?;
        write_whole(path, &picture(path)?.bytes(&svg)?, arguments.force)?;
    }
    required(arguments, &result)
}

fn required(arguments: &AuditArguments, result: &Audit) -> Result<(), Failure> {
    let covered = result.means()[0].coverage[2];
    match arguments.require_coverage {
        Some(share) if covered < share => {
            let hint = if share > 1.0 { " (a share: write 0.95 for 95 %)" } else { "" };
            Err(Failure::Check(format!("the 95 % band holds {covered:.3} of the dates; {share} was required{hint}")))
        }
        _ => Ok(()),
    }
}

struct AuditRun<'a> {
    arguments: &'a AuditArguments,
    catalogue: &'a Catalogue,
    rules: Option<&'a Rules>,
    collection: &'a str,
    held_out: Option<&'a [DatedClub]>,
}

/// Shares of the collection that the learning curve fits on, and draws of each.
const CURVE: [f64; 3] = [0.125, 0.25, 0.5];
const CURVE_DRAWS: u64 = 6;
/// A share with fewer clubs tells nothing.
const LEAST_CURVE: usize = 8;

impl AuditRun<'_> {
    fn plan(&self) -> AuditPlan<'_> {
        match (self.held_out, self.arguments.leave_one_out) {
            (Some(clubs), _) => AuditPlan::HeldOut(clubs),
            (None, true) => AuditPlan::LeaveOneOut,
            (None, false) => AuditPlan::Folds(usize::from(self.arguments.folds)),
        }
    }

    fn audit(&self, catalogue: &Catalogue, clubs: &[DatedClub], what: &'static str) -> Result<Audit, Failure> {
        let bar = progress(what, n_fits(clubs.len(), self.plan()));
        let settings =
            FitSettings { prior: self.arguments.prior.clone(), rules: self.rules.cloned(), ..FitSettings::default() };
        let result = audit(catalogue, clubs, &settings, self.plan(), self.arguments.seed, &|| bar.inc(1));
        bar.finish();
        result.map_err(|error| fit_failure(&error, self.collection))
    }

    fn variants(&self, clubs: &[DatedClub], whole: &Audit) -> Result<Variants, Failure> {
        let mut variants = Variants::default();
        if self.arguments.each_clue {
            for (ix, clue) in self.catalogue.clues.iter().enumerate() {
                let blind = |club: &DatedClub| club.with_cell(ix, Cell::NotExamined);
                let fewer: Vec<DatedClub> = clubs.iter().map(blind).collect();
                let held: Option<Vec<DatedClub>> = self.held_out.map(|held| held.iter().map(blind).collect());
                let run = AuditRun { held_out: held.as_deref(), ..*self };
                let means = run.audit(self.catalogue, &fewer, "without each clue")?.means()[0];
                variants.each_clue.push((clue.id.clone(), means));
            }
        }
        if self.arguments.learning_curve {
            variants.learning_curve = self.learning_curve(clubs, whole)?;
        }
        Ok(variants)
    }

    /// Fits on draws of a share of the clubs and dates all the others (or the held-out ones) by each; the whole
    /// collection stands last, as audited.
    fn learning_curve(&self, clubs: &[DatedClub], whole: &Audit) -> Result<Vec<CurvePoint>, Failure> {
        let mut points = Vec::new();
        let settings =
            FitSettings { prior: self.arguments.prior.clone(), rules: self.rules.cloned(), ..FitSettings::default() };
        let bar = progress("with fewer clubs", CURVE.len() * usize::try_from(CURVE_DRAWS).unwrap_or(0));
        for share in CURVE {
            let mut scored = Vec::new();
            let mut crps = Vec::new();
            let mut n_clubs = 0;
            for draw in 0..CURVE_DRAWS {
                let fewer = thinned(clubs, share, self.arguments.seed.wrapping_add(draw));
                n_clubs = fewer.len();
                if n_clubs < LEAST_CURVE {
                    continue;
                }
                let others: Vec<DatedClub> = clubs.iter().filter(|club| !fewer.contains(club)).cloned().collect();
                let plan = AuditPlan::HeldOut(self.held_out.unwrap_or(&others));
                let one = audit(self.catalogue, &fewer, &settings, plan, self.arguments.seed, &|| bar.inc(1))
                    .map_err(|error| fit_failure(&error, self.collection))?;
                crps.push(one.means()[0].crps);
                scored.extend(one.clubs);
            }
            if !crps.is_empty() {
                let low = crps.iter().copied().fold(f64::INFINITY, f64::min);
                let high = crps.iter().copied().fold(0.0, f64::max);
                let means = Means::of(scored.iter().map(|club| &club.model));
                points.push(CurvePoint { clubs: n_clubs, means, crps_range: Some((low, high)) });
            }
        }
        bar.finish();
        points.push(CurvePoint { clubs: clubs.len(), means: whole.means()[0], crps_range: None });
        Ok(points)
    }
}
