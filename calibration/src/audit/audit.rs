//! The audit: dated clubs dated as if their date were not known, and scored.

use crate::audit::audit_scores::{AuditScores, LEAST_TESTING, Means, ScoredDate};
use crate::audit::plain_product::PlainProduct;
use crate::audit::scores::{log_score, randomised_pit};
use crate::dated::dated_club::DatedClub;
use crate::dated::folds::folds_by_date;
use crate::dated::sets::Sets;
use crate::fit::fit::{FitError, FitSettings, fit};
use crate::tables::method::FitMethod;
use agewright_model::{Asked, Calibration, Catalogue, Posterior};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

/// Which clubs are dated by tables fitted on which others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AuditPlan<'a> {
    /// Each fold by a fit without it; the clubs of a set are in one fold.
    Folds(usize),
    /// Each club by a fit without it and its set.
    LeaveOneOut,
    /// These clubs by one fit on the collection, without the clubs of their sets.
    HeldOut(&'a [DatedClub]),
}

/// One club as audited.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditedClub {
    /// Its id.
    pub id: String,
    /// First year of its date.
    pub made_from: i32,
    /// Last year of its date.
    pub made_to: i32,
    /// Median of the posterior.
    pub median: i32,
    /// First and last year of the 95 % band.
    pub band_95: (i32, i32),
    /// Randomised probability integral transform at a year of its date, drawn as the answer has them within it.
    pub pit: f64,
    /// Scores of the model.
    pub model: AuditScores,
    /// Scores of the prior alone.
    pub prior: AuditScores,
    /// Scores of the plain product of clues.
    pub product: AuditScores,
    /// Scores of the two witnesses, each by itself, where they were asked for and there is a shelf.
    pub witnesses: Option<Witnesses>,
}

/// The two witnesses of the model, each by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Witnesses {
    /// Scores of a fit without a shelf.
    pub tables: AuditScores,
    /// Scores of the votes of the dated clubs: the prior times W_S/W_A.
    pub shelf: AuditScores,
}

/// A club that the rest does not bear out, and the clue without which its date would be most likely.
#[derive(Debug, Clone, PartialEq)]
pub struct Surprise {
    /// Place of the club among those audited.
    pub club: usize,
    /// Log score with all clues.
    pub log_score: f64,
    /// The clue and the log score without it, where leaving one out helps.
    pub clue: Option<(String, f64)>,
}

/// The result of an audit.
#[derive(Debug, Clone, PartialEq)]
pub struct Audit {
    /// Clubs in the order of the collection.
    pub clubs: Vec<AuditedClub>,
    /// Most surprising first.
    pub surprises: Vec<Surprise>,
}

impl Audit {
    /// Means of the model, the prior alone and the plain product.
    #[must_use]
    pub fn means(&self) -> [Means; 3] {
        [
            Means::of(self.clubs.iter().map(|club| &club.model)),
            Means::of(self.clubs.iter().map(|club| &club.prior)),
            Means::of(self.clubs.iter().map(|club| &club.product)),
        ]
    }

    /// Means of the tables alone and of the shelf alone, where they were asked for and every fit had a shelf.
    #[must_use]
    pub fn means_of_witnesses(&self) -> Option<[Means; 2]> {
        let all: Vec<&Witnesses> = self.clubs.iter().map(|club| club.witnesses.as_ref()).collect::<Option<_>>()?;
        Some([Means::of(all.iter().map(|own| &own.tables)), Means::of(all.iter().map(|own| &own.shelf))])
    }

    /// The PIT of the clubs whose dates test the bands, where there are enough of them; otherwise of all.
    #[must_use]
    pub fn pits(&self) -> Vec<f64> {
        let testing: Vec<f64> = self.clubs.iter().filter(|club| club.model.tests_bands).map(|club| club.pit).collect();
        if testing.len() >= LEAST_TESTING { testing } else { self.clubs.iter().map(|club| club.pit).collect() }
    }
}

/// Surprising clubs named.
const SURPRISES: usize = 10;

/// Audits a collection: everything is fitted again without the clubs that are dated. Clubs whose date is of own opinion
/// (grade 5) are neither fitted on nor scored; all others are scored alike. `seed` fixes the randomised PIT;
/// `done` is told after each fit. Fits run in parallel; the result does not depend on threads.
///
/// # Errors
/// [`FitError`] when a fit fails.
pub fn audit(
    catalogue: &Catalogue,
    clubs: &[DatedClub],
    settings: &FitSettings,
    plan: AuditPlan<'_>,
    seed: u64,
    done: &(dyn Fn() + Sync),
) -> Result<Audit, FitError> {
    audit_by(&|clubs| Models::fit(catalogue, clubs, settings), clubs, plan, seed, done)
}

/// The same with tables and shelf scored each alone, for which every fit is made once more, without a shelf.
///
/// # Errors
/// [`FitError`] when a fit fails.
pub fn audit_with_witnesses(
    catalogue: &Catalogue,
    clubs: &[DatedClub],
    settings: &FitSettings,
    plan: AuditPlan<'_>,
    seed: u64,
    done: &(dyn Fn() + Sync),
) -> Result<Audit, FitError> {
    let models = |clubs: &[DatedClub]| Models::fit(catalogue, clubs, settings)?.with_tables(catalogue, clubs, settings);
    audit_by(&models, clubs, plan, seed, done)
}

fn audit_by(
    models: &(dyn Fn(&[DatedClub]) -> Result<Models, FitError> + Sync),
    clubs: &[DatedClub],
    plan: AuditPlan<'_>,
    seed: u64,
    done: &(dyn Fn() + Sync),
) -> Result<Audit, FitError> {
    // A date of own opinion is no truth to be scored against.
    let mut counted: Vec<DatedClub> = clubs.iter().filter(|club| club.worth() > 0.0).cloned().collect();
    let held_out: Vec<DatedClub>;
    let plan = match plan {
        AuditPlan::HeldOut(clubs) => {
            held_out = clubs.iter().filter(|club| club.worth() > 0.0).cloned().collect();
            counted.retain(|club| !is_mate_of(club, &held_out));
            AuditPlan::HeldOut(&held_out)
        }
        other => other,
    };
    // With all clubs in one set there is none to fit on.
    if !matches!(plan, AuditPlan::HeldOut(_)) && counted.len() > 1 && Sets::of(counted.iter()).len() == 1 {
        return Err(FitError::OneSet);
    }
    let rounds = rounds(&counted, plan);
    let outcomes: Vec<Vec<(usize, AuditedClub, Surprise)>> = rounds
        .into_par_iter()
        .map(|(fit_on, dated)| {
            let models = models(&fit_on)?;
            let scored = dated.into_iter().map(|(place, club)| audited(&models, &club, place, seed)).collect();
            done();
            scored
        })
        .collect::<Result<_, FitError>>()?;
    let mut all: Vec<(usize, AuditedClub, Surprise)> = outcomes.into_iter().flatten().collect();
    all.sort_by_key(|(place, _, _)| *place);
    let mut surprises: Vec<Surprise> = all.iter().map(|(_, _, surprise)| surprise.clone()).collect();
    surprises.sort_by(|a, b| a.log_score.total_cmp(&b.log_score).then_with(|| a.club.cmp(&b.club)));
    surprises.truncate(SURPRISES);
    Ok(Audit { clubs: all.into_iter().map(|(_, club, _)| club).collect(), surprises })
}

/// Whether a club is of the set of one of those held out: then it is no part of the fit.
#[must_use]
pub fn is_mate_of(club: &DatedClub, held_out: &[DatedClub]) -> bool {
    club.set.is_some() && held_out.iter().any(|other| other.set == club.set)
}

/// Number of fits that an audit makes of some clubs.
#[must_use]
pub fn n_fits(clubs: &[DatedClub], plan: AuditPlan<'_>) -> usize {
    let n_sets = Sets::of(clubs.iter().filter(|club| club.worth() > 0.0)).len();
    match plan {
        AuditPlan::Folds(n) => n.clamp(2, n_sets.max(2)),
        AuditPlan::LeaveOneOut => n_sets,
        AuditPlan::HeldOut(_) => 1,
    }
}

type Round = (Vec<DatedClub>, Vec<(usize, DatedClub)>);

fn rounds(clubs: &[DatedClub], plan: AuditPlan<'_>) -> Vec<Round> {
    if let AuditPlan::HeldOut(held_out) = plan {
        return vec![(clubs.to_vec(), held_out.iter().cloned().enumerate().collect())];
    }
    let (n_folds, sets) = (n_fits(clubs, plan), Sets::of(clubs.iter()));
    let middle: Vec<f64> =
        clubs.iter().map(|club| f64::midpoint(f64::from(club.made_from()), f64::from(club.made_to()))).collect();
    let ids: Vec<&str> = clubs.iter().map(|club| club.club.id.as_str()).collect();
    let fold = folds_by_date(&middle, &ids, &sets, n_folds);
    let of_fold = |out: usize| {
        let placed = || clubs.iter().cloned().enumerate();
        let rest = placed().filter(|(place, _)| fold[*place] != out).map(|(_, club)| club).collect();
        (rest, placed().filter(|(place, _)| fold[*place] == out).collect())
    };
    (0..n_folds.min(sets.len())).map(of_fold).collect()
}

/// What the clubs of one round are dated by.
struct Models {
    whole: Calibration,
    plain: PlainProduct,
    /// The tables without the shelf, where they were asked for and there is one.
    tables: Option<Calibration>,
}

impl Models {
    fn fit(catalogue: &Catalogue, clubs: &[DatedClub], settings: &FitSettings) -> Result<Self, FitError> {
        let whole = fit(catalogue, clubs, settings)?.calibration;
        Ok(Self { plain: PlainProduct::new(&whole)?, whole, tables: None })
    }

    fn with_tables(self, catalogue: &Catalogue, clubs: &[DatedClub], settings: &FitSettings) -> Result<Self, FitError> {
        if self.whole.shelf().is_none() {
            return Ok(self);
        }
        let method = FitMethod { shelf: false, ..settings.method.clone() };
        let tables = fit(catalogue, clubs, &FitSettings { method, draws: 0, ..settings.clone() })?.calibration;
        Ok(Self { tables: Some(tables), ..self })
    }

    /// Scores of tables and shelf, each alone, on a club of the model's main part.
    fn witnesses(
        &self,
        asked: &Asked<'_>,
        dated: &DatedClub,
        date: &ScoredDate,
    ) -> Result<Option<Witnesses>, FitError> {
        let Some(tables) = &self.tables else { return Ok(None) };
        let by_tables = Asked::new(tables, &dated.club, asked.part(), None, &[])?;
        let by_tables = Posterior::of(by_tables.evidence(), by_tables.prior(), |_| true).within_the_axis();
        let votes = asked.evidence().ln_of_shelf().unwrap_or_else(|| vec![0.0; asked.axis().n_years()]);
        let by_votes = Posterior::new(asked.axis(), &[asked.prior().ln_by_year(), &votes]);
        Ok(Some(Witnesses { tables: AuditScores::of(&by_tables, date), shelf: AuditScores::of(&by_votes, date) }))
    }
}

fn audited(
    models: &Models,
    dated: &DatedClub,
    place: usize,
    seed: u64,
) -> Result<(usize, AuditedClub, Surprise), FitError> {
    let Models { whole: calibration, plain, .. } = models;
    let part = calibration.main_part();
    let (from, to) = (dated.made_from(), dated.made_to());
    let asked = Asked::new(calibration, &dated.club, part, None, &[])?;
    // Clubs of known date are of the years of the axis.
    let posterior = Posterior::of(asked.evidence(), asked.prior(), |_| true).within_the_axis();
    let product = plain.posterior(&dated.club, part, asked.prior())?;
    let alone = Posterior::new(asked.axis(), &[asked.prior().ln_by_year()]);
    // Each club has a stream of its own, so that its draw does not hang on who else is audited before it.
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    random.set_stream(stream_of(&dated.club.id));
    let date = ScoredDate::new(&posterior, from, to);
    let year = date.truth.year_at(random.random());
    let band = posterior.band(0.95);
    let scores = AuditScores::of(&posterior, &date);
    let surprise = Surprise {
        club: place,
        log_score: scores.log_score,
        clue: clue_most_out_of_step(&asked, dated, scores.log_score),
    };
    let club = AuditedClub {
        id: dated.club.id.clone(),
        made_from: from,
        made_to: to,
        median: posterior.median(),
        band_95: (band.from(), band.to()),
        pit: randomised_pit(&posterior, year, random.random()),
        model: scores,
        prior: AuditScores::of(&alone, &date),
        product: AuditScores::of(&product, &date),
        witnesses: models.witnesses(&asked, dated, &date)?,
    };
    Ok((place, club, surprise))
}

/// A stream of random numbers for an id: its FNV-1a hash (G. Fowler, L. C. Noll and K.-P. Vo, constants from memory).
fn stream_of(id: &str) -> u64 {
    id.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// The clue without which the club's own date would be most likely, if leaving one out helps at all.
fn clue_most_out_of_step(asked: &Asked<'_>, dated: &DatedClub, whole: f64) -> Option<(String, f64)> {
    let evidence = asked.evidence();
    let without = |out: usize| {
        let posterior = Posterior::of(evidence, asked.prior(), |clue| clue != out).within_the_axis();
        log_score(&posterior, dated.made_from(), dated.made_to())
    };
    let scored = evidence.clue_ids().into_iter().enumerate().map(|(out, id)| (id.to_owned(), without(out)));
    scored.filter(|(_, score)| *score > whole).max_by(|a, b| a.1.total_cmp(&b.1))
}
