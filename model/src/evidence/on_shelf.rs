//! The votes of the dated clubs most like this one, as evidence: every set of clues has a vote of its own.

use crate::evidence::usable::Usable;
use crate::evidence::weighed::{BySet, Weighed};
use crate::numbers::ln_sums::ln_product;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::laid_shelf::{LaidClue, LaidShelf};
use crate::tables::shelf::Shelf;
use std::sync::Arc;

/// Readings by which a club without an id is known again.
const LEAST_TO_KNOW: usize = 5;

/// The readings of a part laid beside every club of the shelf.
///
/// The evidence of a set is ln W_S(y)/W_A(y): W_S the vote by the set's clues, W_A that by the adjusting ones among
/// them. Like is laid beside like, and an adjuster is no evidence by itself.
#[derive(Debug, Clone)]
pub(crate) struct OnShelf {
    pub laid: Arc<LaidShelf>,
    pub clues: Vec<LaidClue>,
    /// The adjusting ones, as a set.
    pub adjusting: usize,
    /// The club itself, where it stands on the shelf: it has no vote on itself.
    pub itself: Option<usize>,
}

impl OnShelf {
    /// Of a part's readings with their places among all clues that count; `None` where there is no shelf for the part,
    /// or nothing was read that clubs are laid beside one another by. The club itself, where it stands on the shelf, is
    /// known by its `id` and readings.
    pub fn of(calibration: &Calibration, part: Part, id: &str, usable: &[Usable<'_>]) -> Option<Weighed<Self>> {
        let laid = calibration.laid_shelf(part)?;
        let (mut places, mut clues, mut adjusting) = (Vec::new(), Vec::new(), 0);
        for (place, one) in usable.iter().enumerate() {
            let Some(clue) = laid.part.clues.iter().position(|own| own.clue == one.clue.id) else { continue };
            let Some(placed) = laid.placed(calibration.catalogue(), clue, one.reading) else { continue };
            if one.clue.adjusts {
                adjusting |= 1 << clues.len();
            }
            places.push(place);
            clues.push(laid.laid(clue, &placed));
        }
        let itself = itself(calibration.shelf()?, laid, id, &clues);
        if laid.n_clubs() == usize::from(itself.is_some()) {
            return None;
        }
        let evidence = Self { laid: Arc::clone(laid), clues, adjusting, itself };
        (!places.is_empty()).then_some(Weighed { places, weight: laid.part.weight, evidence })
    }

    /// ln weights and shifts by club of a set of clues.
    pub fn weights_and_shifts(&self, set: usize) -> [Vec<f64>; 2] {
        let zeros = vec![0.0; self.laid.n_clubs()];
        let mut start = zeros.clone();
        if let Some(own) = self.itself {
            start[own] = f64::NEG_INFINITY;
        }
        let kept = || self.clues.iter().enumerate().filter(|(clue, _)| set & (1 << clue) != 0).map(|(_, clue)| clue);
        let weights = std::iter::once(start.as_slice()).chain(kept().map(|clue| clue.ln_weights.as_slice()));
        let shifts = std::iter::once(zeros.as_slice()).chain(kept().map(|clue| clue.shifts.as_slice()));
        [ln_product(&weights.collect::<Vec<_>>()), ln_product(&shifts.collect::<Vec<_>>())]
    }

    /// The vote of a set of clues, by year.
    pub fn vote(&self, set: usize) -> Vec<f64> {
        if set == 0 && self.itself.is_none() {
            return self.laid.vote_without_readings().to_vec();
        }
        let [ln_weights, shifts] = self.weights_and_shifts(set);
        self.laid.vote(&ln_weights, &shifts)
    }
}

/// The club of this id and these readings among those of the shelf: one of the same id whose readings are the same as
/// far as both have them; where clubs have lost their ids, one with the same readings throughout, five or more.
fn itself(shelf: &Shelf, laid: &LaidShelf, id: &str, clues: &[LaidClue]) -> Option<usize> {
    let read = |club: usize, clue: usize| laid.of_club(clue, club);
    let is_same = |club: &usize| clues.iter().all(|own| read(*club, own.clue).is_none_or(|theirs| *theirs == own.own));
    if !shelf.anonymous {
        return shelf.clubs.iter().position(|own| own.club.id == id).filter(is_same);
    }
    let n_read = |club: usize| (0..laid.part.clues.len()).filter(|&clue| read(club, clue).is_some()).count();
    let has_all = |club: &usize| {
        n_read(*club) == clues.len() && clues.iter().all(|own| read(*club, own.clue).is_some_and(|t| *t == own.own))
    };
    (0..laid.n_clubs()).find(has_all).filter(|_| clues.len() >= LEAST_TO_KNOW)
}

impl BySet for OnShelf {
    fn n_years(&self) -> usize {
        self.laid.prior.len()
    }

    fn ln_by_year(&self, set: usize) -> Vec<f64> {
        let adjusting = set & self.adjusting;
        if set == adjusting {
            return vec![0.0; self.n_years()];
        }
        let (all, alike) = (self.vote(set), self.vote(adjusting));
        all.iter().zip(alike).map(|(all, alike)| (all / alike).ln()).collect()
    }

    /// Votes tell nothing of misreadings: the tables do.
    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        Vec::new()
    }
}
