//! What the answer hangs on: each clue dropped in turn, and each prior.

use crate::answer::ledger::WithoutClue;
use crate::answer::posterior::Posterior;
use crate::evidence::evidence::Evidence;
use crate::evidence::part_prior::part_prior;
use crate::reading::catalogue::Part;
use crate::reading::club::Club;
use crate::tables::calibration::Calibration;
use crate::tables::prior::Prior;

/// The answer with all clues, without each, and under each prior.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// With everything, under the prior asked for.
    pub all: WithoutClue,
    /// Without each clue: its id and the answer; the largest change of the median first, then of the band.
    pub clues: Vec<(String, WithoutClue)>,
    /// Under each prior of the calibration; the largest change first.
    pub priors: Vec<WithPrior>,
}

/// The answer under one prior.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WithPrior {
    /// Its name.
    pub name: String,
    /// Whether it is the one asked for.
    pub chosen: bool,
    /// The answer.
    pub answer: WithoutClue,
}

/// Years by which a median and the ends of an 80 % band differ, for ordering.
fn effect(a: &WithoutClue, b: &WithoutClue) -> (u32, u32) {
    (a.median.abs_diff(b.median), a.from.abs_diff(b.from) + a.to.abs_diff(b.to))
}

/// Drops each clue in turn, and takes each prior in turn.
///
/// # Errors
/// [`crate::DatingError::Prior`] when the prior is unknown.
pub fn sensitivity(
    calibration: &Calibration,
    club: &Club,
    part: Part,
    prior: Option<&str>,
    without: &[usize],
) -> Result<Sensitivity, crate::DatingError> {
    let named = calibration.prior(prior.unwrap_or(&calibration.default_prior))?;
    let of_part = |prior: &Prior| part_prior(calibration, club, part, prior, without);
    let chosen = of_part(named);
    let (evidence, _) = Evidence::gather(calibration, club, part, without);
    let answer = |ln_prior: &[f64], dropped: Option<usize>| {
        let ln = evidence.ln_likelihood(|clue| Some(clue) != dropped);
        WithoutClue::of(&Posterior::new(evidence.axis, &[ln_prior, &ln]))
    };
    let all = answer(chosen.ln_by_year(), None);
    let mut clues: Vec<(String, WithoutClue)> = evidence
        .clues
        .iter()
        .enumerate()
        .map(|(i, clue)| (clue.id.clone(), answer(chosen.ln_by_year(), Some(i))))
        .collect();
    clues.sort_by_key(|(_, without)| std::cmp::Reverse(effect(without, &all)));
    let mut priors: Vec<WithPrior> = calibration
        .priors
        .iter()
        .map(|p| WithPrior {
            name: p.name.clone(),
            chosen: p.name == chosen.name,
            answer: answer(of_part(p).ln_by_year(), None),
        })
        .collect();
    priors.sort_by_key(|p| std::cmp::Reverse(effect(&p.answer, &all)));
    Ok(Sensitivity { all, clues, priors })
}
