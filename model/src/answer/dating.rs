//! Dates one part of one club: the whole answer.

use crate::answer::band::Band;
use crate::answer::conflict::{Conflict, conflict};
use crate::answer::draws::{DrawnAnswer, drawn_answer};
use crate::answer::ledger::{Ledger, Orders, WithoutClue};
use crate::answer::out_of_step::{OutOfStep, out_of_step};
use crate::answer::posterior::Posterior;
use crate::evidence::evidence::Evidence;
use crate::evidence::part_prior::{chance_replaced, part_prior};
use crate::reading::catalogue::Part;
use crate::reading::club::Club;
use crate::tables::calibration::Calibration;
use crate::tables::prior::Prior;
use thiserror::Error;

/// A reading of the part that gives no evidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnusedClue {
    /// The clue's id.
    pub clue: String,
    /// Why.
    pub why: WhyUnused,
}

/// Why a reading gives no evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyUnused {
    /// Worn or covered.
    Unreadable,
    /// Known later work.
    Altered,
    /// Left out on request.
    LeftOut,
    /// A description of the club (type, loft) that is no evidence of date by itself.
    Adjusts,
    /// The calibration has no table for it: too few dated clubs.
    NoTable,
}

/// What a dating is asked for.
#[derive(Clone, Copy)]
pub struct DatingOptions<'a> {
    /// Name of the prior; `None` for the calibration's own choice.
    pub prior: Option<&'a str>,
    /// Clues to leave out, by place in the catalogue.
    pub without: &'a [usize],
    /// Up to this many clues the ledger is exact; [`crate::EXACT_CLUES`] unless only the posterior is wanted.
    pub exact_up_to: usize,
    /// Orders of the clues, asked for only where there are too many clues for all sets.
    pub orders: Orders<'a>,
}

/// The whole answer for one part of one club.
#[derive(Debug, Clone)]
pub struct Dating {
    /// The part dated.
    pub part: Part,
    /// Name of the prior used.
    pub prior: String,
    /// Posterior by year.
    pub posterior: Posterior,
    /// Median under the flat prior.
    pub flat_median: i32,
    /// The answer under each other prior of the calibration, by its name.
    pub other_priors: Vec<(String, WithoutClue)>,
    /// The 50, 80 and 95 % bands.
    pub bands: Vec<Band>,
    /// The account.
    pub ledger: Ledger,
    /// The answer with other clubs in the collection, where the calibration has draws.
    pub drawn: Option<DrawnAnswer>,
    /// P(this shaft is later than the head, or this grip later than the shaft), where the calibration says how parts belong
    /// together.
    pub replaced: Option<f64>,
    /// Readings that gave no evidence.
    pub unused: Vec<UnusedClue>,
    /// Clues that the rest does not bear out.
    pub out_of_step: Vec<OutOfStep>,
    /// Measures against the other clues, where they speak for different times.
    pub conflict: Option<Conflict>,
}

/// The priors of a part's years that an answer is given under.
#[derive(Clone, Copy)]
struct Priors<'a> {
    used: &'a Prior,
    flat: &'a Prior,
    others: &'a [Prior],
}

/// Why a club cannot be dated.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DatingError {
    /// The calibration has no prior of this name.
    #[error("the calibration has no prior \"{name}\"")]
    Prior {
        /// The name asked for.
        name: String,
        /// The names there are.
        allowed: Vec<String>,
    },
}

impl Dating {
    /// Dates a part of a club from the clues that speak of that part.
    ///
    /// ln posterior(y) = sum over blocks of weight times ln mixture(y) + ln prior(y) - const.
    ///
    /// # Errors
    /// [`DatingError::Prior`] when the prior is unknown.
    pub fn of(
        calibration: &Calibration,
        club: &Club,
        part: Part,
        options: DatingOptions<'_>,
    ) -> Result<Self, DatingError> {
        let named = calibration.prior(options.prior.unwrap_or(&calibration.default_prior))?;
        let of_part = |prior: &Prior| part_prior(calibration, club, part, prior, options.without);
        let prior = of_part(named);
        let (evidence, unused) = Evidence::gather(calibration, club, part, options.without);
        let drawn = drawn_answer(calibration, club, part, &prior.name, options.without);
        let others = calibration.priors.iter().filter(|other| other.name != named.name && other.name != Prior::FLAT);
        let others: Vec<Prior> = others.map(of_part).collect();
        let flat = of_part(&Prior::flat(calibration.catalogue.axis));
        let replaced = chance_replaced(calibration, club, part, named, options.without);
        let priors = Priors { used: &prior, flat: &flat, others: &others };
        Ok(Self { drawn, replaced, ..Self::from_evidence(&evidence, priors, part, unused, options) })
    }

    fn from_evidence(
        evidence: &Evidence,
        Priors { used: prior, flat, others }: Priors<'_>,
        part: Part,
        unused: Vec<UnusedClue>,
        options: DatingOptions<'_>,
    ) -> Self {
        let ln_likelihood = evidence.ln_likelihood(|_| true);
        let posterior = Posterior::new(evidence.axis, &[prior.ln_by_year(), &ln_likelihood]);
        let ledger = Ledger::new(evidence, prior, &posterior, options.exact_up_to, options.orders);
        Self {
            part,
            prior: prior.name.clone(),
            other_priors: others
                .iter()
                .map(|other| {
                    let answer = Posterior::new(evidence.axis, &[other.ln_by_year(), &ln_likelihood]);
                    (other.name.clone(), WithoutClue::of(&answer))
                })
                .collect(),
            flat_median: Posterior::new(evidence.axis, &[flat.ln_by_year(), &ln_likelihood]).median(),
            bands: posterior.bands(),
            out_of_step: out_of_step(&ledger),
            conflict: conflict(evidence),
            ledger,
            drawn: None,
            replaced: None,
            unused,
            posterior,
        }
    }

    /// The band of a level (0.5, 0.8 or 0.95).
    #[must_use]
    pub fn band(&self, level: f64) -> Band {
        self.posterior.band(level)
    }

    /// Whether any clue gave evidence.
    #[must_use]
    pub fn has_evidence(&self) -> bool {
        self.ledger.entries.iter().any(|entry| !entry.adjusts)
    }
}
