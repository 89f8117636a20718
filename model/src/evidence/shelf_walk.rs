//! The shelf's factors of the posterior, set after set: each vote made from that of the set before.

use crate::evidence::on_shelf::OnShelf;
use crate::evidence::weighed::{Factor, Weighed};
use crate::tables::shelf::PRIOR_SHARE;
use std::collections::BTreeMap;

/// A sum of weights below this is summed again from logarithms, so that nothing underflows.
const SMALL: f64 = 1e-200;
/// Clubs whose votes together are no more than this share of all are passed over.
const NEGLIGIBLE: f64 = 1e-6;

/// Goes from set to set of the clues of a shelf. Weights of clubs are products over clues, and shifts sums: a set that
/// shares its first clues with the one before is made from what these left.
pub(crate) struct ShelfWalk<'a> {
    shelf: &'a Weighed<OnShelf>,
    /// Factors of the clubs' weights by clue: the nearest club's is 1.
    factors: Vec<Vec<f64>>,
    /// Clues in the order that they come in, those that change least often first.
    order: Vec<usize>,
    /// Clues that are in, in that order.
    path: Vec<usize>,
    /// Weights and shifts by club with so many clues of the path in.
    levels: Vec<[Vec<f64>; 2]>,
    points: Vec<f64>,
    votes: Vec<f64>,
    /// ln of the votes of the adjusting clues alone, by their set.
    alike: BTreeMap<usize, Vec<f64>>,
    /// The last set that was asked for, and its factor with its ln.
    factor_of: usize,
    factor: Factor,
}

impl<'a> ShelfWalk<'a> {
    /// A walk that brings the clues in by this order of their places among all clues.
    pub fn new(shelf: &'a Weighed<OnShelf>, places: &[usize]) -> Self {
        let OnShelf { laid, clues, .. } = &shelf.evidence;
        let rank = |clue: &usize| places.iter().position(|place| *place == shelf.places[*clue]);
        let mut order: Vec<usize> = (0..clues.len()).collect();
        order.sort_by_key(rank);
        let factors = clues.iter().map(|clue| {
            let top = clue.ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            clue.ln_weights.iter().map(|ln| (ln - top).exp()).collect()
        });
        let mut start = [laid.worths.clone(), vec![0.0; laid.n_clubs()]];
        if let Some(own) = shelf.evidence.itself {
            start[0][own] = 0.0;
        }
        Self {
            shelf,
            factors: factors.collect(),
            order,
            path: Vec::new(),
            levels: vec![start; clues.len() + 1],
            points: laid.quick().room(),
            votes: vec![0.0; laid.prior.len()],
            alike: BTreeMap::new(),
            factor_of: 0,
            factor: Factor { ln: vec![0.0; laid.prior.len()], plain: vec![0.0; laid.prior.len()] },
        }
    }

    /// The factor of those of some clues (a set of places among all) that are on the shelf; nothing where none is that
    /// votes.
    pub fn factor(&mut self, places: usize) -> Option<&Factor> {
        let set = self.shelf.set_of(|place| places & (1 << place) != 0);
        if set & !self.shelf.evidence.adjusting == 0 {
            return None;
        }
        if set != self.factor_of {
            self.factor_of = set;
            self.make_factor(set);
        }
        Some(&self.factor)
    }

    /// The factor of a set and its ln: (W_S/W_A)^b; of all clues together by the exact sums.
    fn make_factor(&mut self, set: usize) {
        let weight = self.shelf.weight;
        if set == self.shelf.all() {
            self.factor.ln = self.shelf.ln_by_year(set).iter().map(|ln| weight * ln).collect();
        } else {
            let adjusting = set & self.shelf.evidence.adjusting;
            if !self.alike.contains_key(&adjusting) {
                self.vote(adjusting);
                self.alike.insert(adjusting, self.votes.iter().map(|vote| vote.ln()).collect());
            }
            self.vote(set);
            for ((ln, vote), alike) in self.factor.ln.iter_mut().zip(&self.votes).zip(&self.alike[&adjusting]) {
                *ln = weight * (vote.ln() - alike);
            }
        }
        let Factor { ln, plain } = &mut self.factor;
        plain.iter_mut().zip(ln).for_each(|(plain, ln)| *plain = ln.exp());
    }

    /// The vote of a set, by the quick sums.
    fn vote(&mut self, set: usize) {
        self.go_to(set);
        let laid = &self.shelf.evidence.laid;
        let [weights, shifts] = &self.levels[self.path.len()];
        let total: f64 = weights.iter().sum();
        if total < SMALL {
            self.votes = self.shelf.evidence.vote(set);
            return;
        }
        let quick = laid.quick();
        self.points.fill(0.0);
        #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
        let least = NEGLIGIBLE * total / laid.n_clubs() as f64;
        for vote in laid.votes.iter().filter(|vote| weights[vote.club] > least) {
            quick.add(&mut self.points, vote.z + shifts[vote.club], vote.share * weights[vote.club]);
        }
        quick.over_runs(&self.points, &mut self.votes);
        let share = (1.0 - PRIOR_SHARE) / total;
        self.votes.iter_mut().zip(&laid.prior).for_each(|(vote, p)| *vote = share * vote.max(0.0) + PRIOR_SHARE * p);
    }

    /// Brings in the clues of a set that are not in yet, and takes out those that are not of it.
    fn go_to(&mut self, set: usize) {
        let mut wanted = self.order.iter().filter(|clue| set & (1 << **clue) != 0);
        let mut depth = 0;
        let mut next = wanted.next();
        while let (Some(clue), Some(own)) = (next, self.path.get(depth))
            && clue == own
        {
            depth += 1;
            next = wanted.next();
        }
        self.path.truncate(depth);
        for &clue in next.into_iter().chain(wanted) {
            let (below, above) = self.levels.split_at_mut(self.path.len() + 1);
            let ([weights, shifts], [own_weights, own_shifts]) = (&below[self.path.len()], &mut above[0]);
            for ((own, weight), factor) in own_weights.iter_mut().zip(weights).zip(&self.factors[clue]) {
                *own = weight * factor;
            }
            let moves = &self.shelf.evidence.clues[clue].shifts;
            for ((own, shift), more) in own_shifts.iter_mut().zip(shifts).zip(moves) {
                *own = shift + more;
            }
            self.path.push(clue);
        }
    }
}
