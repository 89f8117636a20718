//! The years that a shaft or a grip may be of, before its own clues are read: from the head, and what it is fixed to.

use crate::evidence::evidence::{Evidence, sort_by_id, usable_readings};
use crate::evidence::joined_parts::{PartsEvidence, Usable};
use crate::numbers::ln_sums::normalised_from_ln;
use crate::reading::catalogue::Part;
use crate::reading::club::Club;
use crate::tables::calibration::Calibration;
use crate::tables::prior::Prior;

/// The prior of a part's years: for the head the one given; for shaft and grip, where the calibration says how parts belong
/// together, what the head's own clues and the chance of a replacement leave open.
pub(crate) fn part_prior(
    calibration: &Calibration,
    club: &Club,
    part: Part,
    prior: &Prior,
    without: &[usize],
) -> Prior {
    match Together::of(calibration, club, prior, without) {
        Some(together) if part == Part::Shaft => {
            Prior::from_weights(&prior.name, &together.parts.shaft_prior(&together.head))
        }
        Some(together) if part == Part::Grip => {
            Prior::from_weights(&prior.name, &together.parts.grip_prior(&together.head))
        }
        _ => prior.clone(),
    }
}

/// P(the shaft is later than the head) and P(the grip is later than the shaft), by all clues; `None` for the head, and
/// where the calibration does not say how parts belong together.
pub(crate) fn chance_replaced(
    calibration: &Calibration,
    club: &Club,
    part: Part,
    prior: &Prior,
    without: &[usize],
) -> Option<f64> {
    let together = Together::of(calibration, club, prior, without)?;
    let [shaft, grip] = together.parts.replaced(&together.head);
    match part {
        Part::Head => None,
        Part::Shaft => Some(shaft),
        Part::Grip => Some(grip),
    }
}

/// The head's years by its own clues, and what is fixed to it.
struct Together {
    head: Vec<f64>,
    parts: PartsEvidence,
}

impl Together {
    fn of(calibration: &Calibration, club: &Club, prior: &Prior, without: &[usize]) -> Option<Self> {
        let model = calibration.parts.as_ref()?;
        let (own, _) = usable_readings(calibration, club, Part::Head, without);
        let ln_head = Evidence::build(calibration, Part::Head, &own).ln_likelihood(|_| true);
        let ln: Vec<f64> = ln_head.iter().zip(prior.ln_by_year()).map(|(l, p)| l + p).collect();
        let fixed = [Part::Shaft, Part::Grip];
        let mut fixed: Vec<Usable<'_>> =
            fixed.iter().flat_map(|&part| usable_readings(calibration, club, part, without).0).collect();
        sort_by_id(calibration, &mut fixed);
        Some(Self { head: normalised_from_ln(&ln), parts: PartsEvidence::new(calibration, model, &fixed) })
    }
}
