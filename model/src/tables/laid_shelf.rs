//! The shelf of one part, its readings in their places, ready to be voted on.

use crate::numbers::axis::Axis;
use crate::numbers::normal_sums::{Fineness, NormalSums};
use crate::reading::catalogue::Catalogue;
use crate::reading::cell::Reading;
use crate::tables::prior::Prior;
use crate::tables::prior_scale::PriorScale;
use crate::tables::shelf::{PRIOR_SHARE, PartShelf, Shelf, ShelfClub, ShelfClue};
use crate::tables::shelf_scale::Placed;
use std::sync::OnceLock;

/// The shelf of one part, its readings in their places.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaidShelf {
    pub part: PartShelf,
    /// Reading of each clue on each club: `[clue][club]`.
    placed: Vec<Vec<Option<Placed>>>,
    /// Slope times feature of each clue on each club: `[clue][club]`.
    leans: Vec<Vec<f64>>,
    pub worths: Vec<f64>,
    pub votes: Vec<VotePlace>,
    /// Probability of each year by the prior as collected.
    pub prior: Vec<f64>,
    pub exact: NormalSums,
    edges: Vec<f64>,
    quick: OnceLock<NormalSums>,
    nothing_read: OnceLock<Vec<f64>>,
}

/// Where a club votes, with its share where its date is of several years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct VotePlace {
    pub club: usize,
    pub z: f64,
    pub share: f64,
}

/// A clue of a club to be dated, laid beside every club of the shelf.
#[derive(Debug, Clone)]
pub(crate) struct LaidClue {
    /// Its place among the part's clues.
    pub clue: usize,
    /// The reading in its place.
    pub own: Placed,
    /// -(1/2) sum over the clue's rows of relevance times distance, by club.
    pub ln_weights: Vec<f64>,
    /// How far each club is off, times the relevance of that; whether the readings are the same is left out.
    pub distances: Vec<f64>,
    /// How much later than each club the clue has it, in z, the allowance taken in.
    pub shifts: Vec<f64>,
}

impl LaidShelf {
    /// Lays out the shelf of a part, on the scale of the prior as collected.
    #[expect(clippy::cast_precision_loss, reason = "five years at the most")]
    pub fn new(catalogue: &Catalogue, shelf: &Shelf, part: &PartShelf, prior: &Prior) -> Self {
        let scale = PriorScale::of(prior);
        let place = |ix: usize, own: &ShelfClub, clue: usize| {
            part.clues[clue].scale.placed(&catalogue.clues()[ix], own.club.cells.get(ix)?.reading()?)
        };
        let column = |clue: usize| {
            let ix = catalogue.clue_ix(&part.clues[clue].clue);
            let of_club = |own: &ShelfClub| ix.and_then(|ix| place(ix, own, clue));
            shelf.clubs.iter().map(of_club).collect::<Vec<Option<Placed>>>()
        };
        let placed: Vec<Vec<Option<Placed>>> = (0..part.clues.len()).map(column).collect();
        let leans = placed.iter().enumerate().map(|(clue, column)| {
            column.iter().map(|own| own.as_ref().map_or(0.0, |own| lean(part, clue, own))).collect()
        });
        let axis = catalogue.axis();
        let votes = shelf.clubs.iter().enumerate().flat_map(|(club, own)| {
            let places: Vec<f64> = places_of(axis, &scale, own);
            let share = 1.0 / places.len() as f64;
            places.into_iter().map(move |z| VotePlace { club, z, share })
        });
        Self {
            leans: leans.collect(),
            placed,
            worths: shelf.clubs.iter().map(|own| own.worth).collect(),
            votes: votes.collect(),
            exact: NormalSums::new(&scale.edges, part.width, Fineness::Exact),
            edges: scale.edges,
            quick: OnceLock::new(),
            nothing_read: OnceLock::new(),
            prior: scale.by_year,
            part: part.clone(),
        }
    }

    /// Number of clubs on the shelf.
    pub fn n_clubs(&self) -> usize {
        self.worths.len()
    }

    /// Sums for the many sets of an account, made when they are first asked for.
    pub fn quick(&self) -> &NormalSums {
        self.quick.get_or_init(|| NormalSums::new(&self.edges, self.part.width, Fineness::Quick))
    }

    /// A reading of one of the part's clues (by its place in [`PartShelf::clues`]) in its place.
    pub fn placed(&self, catalogue: &Catalogue, clue: usize, reading: &Reading) -> Option<Placed> {
        let own = &self.part.clues[clue];
        own.scale.placed(catalogue.clue(&own.clue)?, reading)
    }

    /// Reading of a clue on a club of the shelf.
    pub fn of_club(&self, clue: usize, club: usize) -> Option<&Placed> {
        self.placed[clue][club].as_ref()
    }

    /// A reading laid beside every club.
    pub fn laid(&self, clue: usize, own: &Placed) -> LaidClue {
        let ShelfClue { scale, relevance, .. } = &self.part.clues[clue];
        let column = &self.placed[clue];
        // What lies further from all dated clubs than one that was not read is taken to be: it tells them from one
        // another still, and none of them from those that were not read.
        let excess = |row: usize| {
            let read = column.iter().flatten().map(|theirs| scale.distance(row, own, Some(theirs)));
            (read.fold(f64::INFINITY, f64::min) - scale.distance(row, own, None)).max(0.0)
        };
        let excesses: Vec<f64> = (0..relevance.len()).map(excess).collect();
        let apart = |theirs: &Option<Placed>| {
            let row = |(row, relevance): (usize, &f64)| {
                let excess = if theirs.is_some() { excesses[row] } else { 0.0 };
                relevance * (scale.distance(row, own, theirs.as_ref()) - excess)
            };
            -0.5 * relevance.iter().enumerate().map(row).sum::<f64>()
        };
        let own_lean = lean(&self.part, clue, own);
        let (last, how_far) = (relevance.len() - 1, self.part.clues[clue].how_far());
        LaidClue {
            clue,
            own: *own,
            ln_weights: column.iter().map(apart).collect(),
            distances: column.iter().map(|theirs| how_far * scale.distance(last, own, theirs.as_ref())).collect(),
            shifts: self.leans[clue].iter().map(|lean| self.part.allowance * (own_lean - lean)).collect(),
        }
    }

    /// The vote of all clubs alike, where nothing was read.
    pub fn vote_without_readings(&self) -> &[f64] {
        let zeros = || vec![0.0; self.n_clubs()];
        self.nothing_read.get_or_init(|| self.vote(&zeros(), &zeros()))
    }

    /// The vote by year: 0.95 sum_i w_i N(z_i + s_i, h) over the years, and 0.05 of the prior; from ln weights and
    /// shifts by club.
    pub fn vote(&self, ln_weights: &[f64], shifts: &[f64]) -> Vec<f64> {
        let top = ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> =
            ln_weights.iter().zip(&self.worths).map(|(ln, worth)| worth * (ln - top).exp()).collect();
        let total: f64 = weights.iter().sum();
        let mut points = self.exact.room();
        for vote in &self.votes {
            self.exact.add(&mut points, vote.z + shifts[vote.club], vote.share * weights[vote.club] / total);
        }
        let mut by_year = vec![0.0; self.prior.len()];
        self.exact.over_runs(&points, &mut by_year);
        by_year.iter().zip(&self.prior).map(|(vote, p)| (1.0 - PRIOR_SHARE) * vote.max(0.0) + PRIOR_SHARE * p).collect()
    }
}

/// Places in z of the years that stand for a club's date.
pub(crate) fn places_of(axis: Axis, scale: &PriorScale, club: &ShelfClub) -> Vec<f64> {
    club.years().into_iter().filter_map(|year| Some(scale.middle(axis.year_ix(year)?))).collect()
}

/// Slopes times the features of a reading.
fn lean(part: &PartShelf, clue: usize, placed: &Placed) -> f64 {
    let own = &part.clues[clue];
    own.scale.features(placed).iter().zip(&own.slopes).map(|(feature, slope)| feature * slope).sum()
}
