//! Dates one part of one club: the answer, but for its account.

use crate::answer::band::Band;
use crate::answer::clue_standing::{ClueStanding, standings};
use crate::answer::conflict::{Conflict, conflict};
use crate::answer::draws::{DrawnAnswer, drawn_answer};
use crate::answer::out_of_step::{OutOfStep, out_of_step};
use crate::answer::posterior::Posterior;
use crate::answer::short_answer::ShortAnswer;
use crate::answer::two_witnesses::{WitnessesApart, witnesses_apart};
use crate::evidence::asked::Asked;
use crate::evidence::usable::UnusedClue;
use crate::reading::part::Part;
use crate::tables::prior::Prior;

/// The answer for one part of one club; how far each clue moved it is told by a [`crate::Ledger`].
/// ```
/// use agewright_model::{Asked, Dating, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("hosel_to_crease", "3 3/4 in"), ("nicking_regularity", "even"), ("pin_direction", "unreadable")];
/// let club = calibration.catalogue().club("iron", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let dating = Dating::of(&asked);
/// let [half, eighty, most] = &dating.bands[..] else { panic!("three bands") };
/// assert!(half.n_years() < eighty.n_years() && eighty.n_years() < most.n_years());
/// assert_eq!(dating.clues.len(), 2);
/// assert_eq!(dating.unused[0].clue, "pin_direction");
/// ```
#[derive(Debug, Clone)]
pub struct Dating {
    /// The part dated.
    pub part: Part,
    /// Name of the prior used.
    pub prior: String,
    /// What is known before any clue of its own: the prior by year.
    pub before: Posterior,
    /// Posterior by year.
    pub posterior: Posterior,
    /// The answer under the flat prior.
    pub flat: ShortAnswer,
    /// The answer under each other prior of the calibration, by its name.
    pub other_priors: Vec<(String, ShortAnswer)>,
    /// The 50, 80 and 95 % bands.
    pub bands: Vec<Band>,
    /// The clues that count, in the order of their ids.
    pub clues: Vec<ClueStanding>,
    /// The answer with other clubs in the collection, where the calibration has draws.
    pub drawn: Option<DrawnAnswer>,
    /// P(this shaft is later than the head, or this grip later than the shaft), where the calibration says how parts
    /// belong together.
    pub replaced: Option<f64>,
    /// Readings that gave no evidence.
    pub unused: Vec<UnusedClue>,
    /// Clues that the rest does not bear out.
    pub out_of_step: Vec<OutOfStep>,
    /// Measures against the other clues, where they speak for different times.
    pub conflict: Option<Conflict>,
    /// The tables against the dated clubs most like it, where they speak for different times.
    pub witnesses: Option<WitnessesApart>,
}

impl Dating {
    /// Answers what was asked.
    ///
    /// ln posterior(y) = sum over blocks of weight times ln mixture(y) + ln prior(y) - const.
    #[must_use]
    pub fn of(asked: &Asked<'_>) -> Self {
        let (evidence, prior) = (asked.evidence(), asked.prior());
        let under = |prior: &Prior| {
            let asked = asked.by_prior(prior);
            Posterior::of(asked.evidence(), asked.prior(), |_| true)
        };
        let posterior = Posterior::of(evidence, prior, |_| true);
        let clues = standings(evidence, prior, posterior.after());
        let priors = &asked.calibration().tables().priors;
        let others = priors.iter().filter(|other| other.name != prior.name && other.name != Prior::FLAT);
        Self {
            part: asked.part(),
            prior: prior.name.clone(),
            flat: ShortAnswer::of(&under(&Prior::flat(asked.axis()))),
            other_priors: others.map(|other| (other.name.clone(), ShortAnswer::of(&under(other)))).collect(),
            bands: posterior.bands(),
            drawn: drawn_answer(asked),
            replaced: asked.chance_replaced(),
            unused: asked.unused().to_vec(),
            out_of_step: out_of_step(&clues),
            conflict: conflict(evidence),
            witnesses: witnesses_apart(evidence, prior),
            clues,
            before: Posterior::of_prior(evidence.axis, prior),
            posterior,
        }
    }

    /// The band of a level (0.5, 0.8 or 0.95).
    #[must_use]
    pub fn band(&self, level: f64) -> Band {
        self.posterior.band(level)
    }

    /// How a clue (by its id) stands with the rest, if it counts.
    #[must_use]
    pub fn clue(&self, id: &str) -> Option<&ClueStanding> {
        self.clues.iter().find(|one| one.clue == id)
    }

    /// Middle year and 80 % band.
    #[must_use]
    pub fn short(&self) -> ShortAnswer {
        ShortAnswer::of(&self.posterior)
    }

    /// Whether any clue gave evidence.
    #[must_use]
    pub fn has_evidence(&self) -> bool {
        self.clues.iter().any(|clue| !clue.adjusts)
    }

    /// Whether there is evidence, and the 80 % band is split into two answers or more.
    #[must_use]
    pub fn has_two_answers(&self) -> bool {
        self.has_evidence() && !self.band(0.8).modes().is_empty()
    }
}
