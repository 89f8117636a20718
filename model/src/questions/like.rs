//! The dated clubs most like this one: what a practitioner would lay beside it.

use crate::evidence::asked::Asked;
use crate::evidence::on_shelf::OnShelf;
use crate::tables::shelf::Shelf;

/// Dated clubs that are shown.
pub const SHOWN: usize = 5;
/// A quarter of the mean distance of two normal readings.
const LEAST_FAR: f64 = 0.5;
/// With fewer dated clubs how near they are to one another is not known well enough.
const LEAST_CLUBS: usize = 50;
/// Votes that differ by no more than this share are alike.
const SAME_SHARE: f64 = 1e-9;
/// One club has all but the whole vote from this share on.
const NEARLY_ALL: f64 = 0.8;

/// The dated clubs most like one part of a club, and how near they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Likeness {
    /// The nearest of those that were read for some of the same clues, by the weight of their votes; ties by their ids.
    pub nearest: Vec<LikeClub>,
    /// Further clubs that are as like it as the last of the nearest.
    pub as_like: usize,
    /// Dated clubs that vote.
    pub n_clubs: usize,
    /// Whether the club stands on the shelf itself; it has no vote on itself.
    pub is_on_the_shelf: bool,
    /// Mean distance to the nearest, each clue by the relevance of how far readings are apart.
    pub distance: f64,
    /// The same from a dated club to the nearest other, that one in a hundred dated clubs has or passes.
    pub reach: f64,
}

/// One dated club, laid beside the club that is asked about.
#[derive(Debug, Clone, PartialEq)]
pub struct LikeClub {
    /// Its id.
    pub id: String,
    /// First year of its date.
    pub from: i32,
    /// Last year of its date.
    pub to: i32,
    /// Its share of all votes.
    pub share: f64,
    /// Clue by clue, in the order of the catalogue.
    pub compared: Vec<Compared>,
}

/// A clue on both clubs.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The clue's id.
    pub clue: String,
    /// What was read on the club that is asked about.
    pub own: String,
    /// What was read on the dated club, and whether that agrees: shares a level, or lies within half a standard
    /// deviation of the dated clubs. `None` where it was not read there.
    pub theirs: Option<(String, bool)>,
}

impl Likeness {
    /// The dated clubs most like the part that is asked about; `None` where there is no shelf for it, or no clue was
    /// read that clubs are laid beside one another by.
    #[must_use]
    pub fn of(asked: &Asked<'_>) -> Option<Self> {
        let weighed = asked.evidence().shelf.as_ref()?;
        let (shelf, own) = (asked.calibration().shelf()?, &weighed.evidence);
        let [ln_weights, _] = own.weights_and_shifts(weighed.all());
        let top = ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let votes: Vec<f64> =
            ln_weights.iter().zip(&own.laid.worths).map(|(ln, worth)| worth * (ln - top).exp()).collect();
        let total: f64 = votes.iter().sum();
        let shares = |club: &usize| own.clues.iter().any(|clue| own.laid.of_club(clue.clue, *club).is_some());
        let voting = (0..votes.len()).filter(|club| own.itself != Some(*club));
        let mut order: Vec<usize> = voting.filter(shares).collect();
        let id = |club: usize| &shelf.clubs[club].club.id;
        order.sort_by(|&a, &b| votes[b].total_cmp(&votes[a]).then_with(|| id(a).cmp(id(b))));
        let like = |&club: &usize| LikeClub {
            id: id(club).clone(),
            from: shelf.clubs[club].from,
            to: shelf.clubs[club].to,
            share: votes[club] / total,
            compared: compared(asked, own, shelf, club),
        };
        let as_last = |club: &&usize| votes[**club] >= votes[order[SHOWN - 1]] * (1.0 - SAME_SHARE);
        let relevance: f64 = own.clues.iter().map(|clue| own.laid.part.clues[clue.clue].how_far()).sum();
        let apart = |&club: &usize| own.clues.iter().map(|clue| clue.distances[club]).sum::<f64>();
        let nearest = order.iter().map(apart).fold(f64::INFINITY, f64::min);
        Some(Self {
            nearest: order.iter().take(SHOWN).map(like).collect(),
            as_like: order.iter().skip(SHOWN).take_while(as_last).count(),
            n_clubs: shelf.clubs.len() - usize::from(own.itself.is_some()),
            is_on_the_shelf: own.itself.is_some(),
            distance: if relevance > 0.0 && !order.is_empty() { nearest / relevance } else { 0.0 },
            reach: own.laid.part.reach,
        })
    }

    /// The one club that has nearly the whole vote, if there is one.
    #[must_use]
    pub fn one_for_all(&self) -> Option<&LikeClub> {
        self.nearest.first().filter(|club| club.share > NEARLY_ALL && self.n_clubs > 1)
    }

    /// Whether no dated club is near: the nearest is further off than it is to all but one in a hundred dated clubs,
    /// and further than a quarter of what two clubs are apart that have nothing to do with one another.
    #[must_use]
    pub fn is_far(&self) -> bool {
        self.n_clubs >= LEAST_CLUBS && self.distance > self.reach && self.distance > LEAST_FAR
    }
}

/// What agrees and what differs, clue by clue.
fn compared(asked: &Asked<'_>, own: &OnShelf, shelf: &Shelf, club: usize) -> Vec<Compared> {
    let catalogue = asked.calibration().catalogue();
    let text = |of: &crate::reading::club::Club, clue: &str| {
        let cell = of.cells.get(catalogue.clue_ix(clue)?)?;
        Some(cell.reading()?.text.clone())
    };
    let one = |laid: &crate::tables::laid_shelf::LaidClue| {
        let part = &own.laid.part.clues[laid.clue];
        let theirs = own
            .laid
            .of_club(laid.clue, club)
            .and_then(|theirs| Some((text(&shelf.clubs[club].club, &part.clue)?, part.scale.agree(&laid.own, theirs))));
        Compared { clue: part.clue.clone(), own: text(asked.club(), &part.clue).unwrap_or_default(), theirs }
    };
    let mut all: Vec<Compared> = own.clues.iter().map(one).collect();
    all.sort_by_key(|one| catalogue.clue_ix(&one.clue));
    all
}
