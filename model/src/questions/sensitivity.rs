//! What the answer hangs on: each clue dropped in turn, and each prior.

use crate::answer::posterior::Posterior;
use crate::answer::short_answer::ShortAnswer;
use crate::evidence::asked::Asked;
use crate::tables::prior::Prior;

/// The answer with all clues, without each, and under each prior.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// With everything, under the prior asked for.
    pub all: ShortAnswer,
    /// Without each clue: its id and the answer; the largest change of the median first, then of the band.
    pub clues: Vec<(String, ShortAnswer)>,
    /// Under each prior of the calibration; the largest change first.
    pub priors: Vec<WithPrior>,
}

/// The answer under one prior.
#[derive(Debug, Clone, PartialEq)]
pub struct WithPrior {
    /// Its name.
    pub name: String,
    /// Whether it is the one asked for.
    pub chosen: bool,
    /// The answer.
    pub answer: ShortAnswer,
}

/// Years by which a median and the ends of an 80 % band differ, for ordering.
fn effect(a: &ShortAnswer, b: &ShortAnswer) -> (u32, u32) {
    (a.median.abs_diff(b.median), a.from.abs_diff(b.from) + a.to.abs_diff(b.to))
}

/// Drops each clue in turn, and takes each prior in turn.
/// ```
/// use agewright_model::{Asked, Part, sensitivity};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("hosel_to_crease", "5 1/4 in"), ("face_scoring", "stamped_lines")];
/// let club = calibration.catalogue().club("odd", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let hangs_on = sensitivity(&asked);
/// // Without the late scoring a hosel so long is early; without the hosel the scoring is late.
/// let without = |clue: &str| hangs_on.clues.iter().find(|(id, _)| id == clue).unwrap().1.median;
/// assert!(without("face_scoring") < hangs_on.all.median && hangs_on.all.median < without("hosel_to_crease"));
/// assert!(hangs_on.priors.iter().any(|prior| prior.chosen));
/// ```
#[must_use]
pub fn sensitivity(asked: &Asked<'_>) -> Sensitivity {
    let answer = |asked: &Asked<'_>, dropped: Option<usize>| {
        ShortAnswer::of(&Posterior::of(asked.evidence(), asked.prior(), |clue| Some(clue) != dropped))
    };
    let all = answer(asked, None);
    let without = |(place, id): (usize, &str)| (id.to_owned(), answer(asked, Some(place)));
    let mut clues: Vec<(String, ShortAnswer)> =
        asked.evidence().clue_ids().into_iter().enumerate().map(without).collect();
    clues.sort_by_key(|(_, without)| std::cmp::Reverse(effect(without, &all)));
    let under = |prior: &Prior| WithPrior {
        name: prior.name.clone(),
        chosen: prior.name == asked.prior().name,
        answer: answer(&asked.by_prior(prior), None),
    };
    let mut priors: Vec<WithPrior> = asked.calibration().tables().priors.iter().map(under).collect();
    priors.sort_by_key(|p| std::cmp::Reverse(effect(&p.answer, &all)));
    Sensitivity { all, clues, priors }
}
