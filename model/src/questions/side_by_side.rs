//! Clubs laid side by side: clue by clue, pair by pair, and which is the oldest.

use crate::answer::dating::DatingError;
use crate::answer::posterior::Posterior;
use crate::evidence::evidence::Evidence;
use crate::questions::which_is_older::{OlderThan, chances_of_oldest};
use crate::reading::catalogue::Part;
use crate::reading::club::Club;
use crate::tables::calibration::Calibration;

/// Several clubs compared; years of different clubs are taken as independent.
#[derive(Debug, Clone)]
pub struct SideBySide {
    /// Posterior of each club.
    pub posteriors: Vec<Posterior>,
    /// P(each is the oldest); sums to 1.
    pub oldest: Vec<f64>,
    /// Every pair, by places among the clubs, the first before the second.
    pub pairs: Vec<(usize, usize, OlderThan)>,
    /// Every clue that one of them was read for, in the order of the catalogue.
    pub clues: Vec<ClueSideBySide>,
}

/// One clue on several clubs.
#[derive(Debug, Clone, PartialEq)]
pub struct ClueSideBySide {
    /// The clue's id.
    pub clue: String,
    /// Reading of each club, where there is one that counts.
    pub readings: Vec<Option<String>>,
    /// P(each is the oldest) by this clue alone and the prior, among the clubs read for it; `None` where fewer than two
    /// are, or where the clue describes the club and is no evidence of date by itself.
    pub oldest_by_it: Option<Vec<Option<f64>>>,
}

/// Compares clubs.
///
/// # Errors
/// [`DatingError::Prior`] when the prior is unknown.
pub fn side_by_side(
    calibration: &Calibration,
    clubs: &[&Club],
    part: Part,
    prior: Option<&str>,
    without: &[usize],
) -> Result<SideBySide, DatingError> {
    let prior = calibration.prior(prior.unwrap_or(&calibration.default_prior))?;
    let evidence: Vec<Evidence> =
        clubs.iter().map(|club| Evidence::gather(calibration, club, part, without).0).collect();
    // Clubs are compared by their heads; a shaft's or a grip's own prior is not asked for.
    let date = |evidence: &Evidence, keep: &dyn Fn(usize) -> bool| {
        Posterior::new(evidence.axis, &[prior.ln_by_year(), &evidence.ln_likelihood(keep)])
    };
    let posteriors: Vec<Posterior> = evidence.iter().map(|evidence| date(evidence, &|_| true)).collect();
    let all: Vec<&Posterior> = posteriors.iter().collect();
    let mut pairs = Vec::new();
    for a in 0..clubs.len() {
        pairs.extend((a + 1..clubs.len()).map(|b| (a, b, OlderThan::of(&posteriors[a], &posteriors[b]))));
    }
    let read = |clue: &str| evidence.iter().any(|e| e.clues.iter().any(|used| used.id == clue));
    let clues = calibration.catalogue.clues.iter().filter(|clue| read(&clue.id)).map(|clue| {
        let place = |e: &Evidence| e.clues.iter().position(|used| used.id == clue.id);
        let readings = evidence.iter().map(|e| place(e).map(|i| e.clues[i].reading.clone())).collect();
        // Adjusters stay: they say what this reading means on such a club.
        let alone: Vec<Option<Posterior>> =
            evidence.iter().map(|e| place(e).map(|i| date(e, &|other| other == i || e.clues[other].adjusts))).collect();
        let known: Vec<&Posterior> = alone.iter().flatten().collect();
        let oldest_by_it = (known.len() > 1 && !clue.adjusts).then(|| {
            let mut chances = chances_of_oldest(&known).into_iter();
            alone.iter().map(|posterior| posterior.as_ref().and_then(|_| chances.next())).collect()
        });
        ClueSideBySide { clue: clue.id.clone(), readings, oldest_by_it }
    });
    let clues = clues.collect();
    Ok(SideBySide { oldest: chances_of_oldest(&all), pairs, clues, posteriors })
}
