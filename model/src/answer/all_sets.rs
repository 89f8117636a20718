//! The sets of clues as bit masks: gone through block by block, in two halves, with the votes of the shelf on each.

use crate::evidence::block::Block;
use crate::evidence::evidence::Evidence;
use crate::evidence::shelf_walk::ShelfWalk;
use crate::evidence::weighed::{BySet, Factor, Weighed};
use std::cmp::Reverse;
use std::sync::OnceLock;

/// A sum of weights below this has to be summed again from logarithms, so that nothing underflows.
pub(crate) const SMALL: f64 = 1e-200;

/// Runs two pieces of work, at once where the caller has threads for it.
pub type Both<'a> = &'a (dyn Fn(&(dyn Fn() + Sync), &(dyn Fn() + Sync)) + Sync);

/// With fewer clues a second thread is not worth calling.
const LEAST_TO_SHARE: usize = 10;

/// The sets with, or without, one of the clues.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Half {
    place: usize,
    with: bool,
}

/// Something of every set, the sets without one of the clues and those with it gone through by `both`.
pub(crate) fn in_halves<T: Copy + Send + Sync>(
    evidence: &Evidence,
    both: Both<'_>,
    walk: impl Fn(Option<Half>) -> Vec<T> + Sync,
) -> Vec<T> {
    let smallest = evidence.blocks.iter().min_by_key(|block| block.places.len());
    let place = smallest.and_then(|block| block.places.first().copied());
    let Some(place) = place.filter(|_| evidence.n_clues() >= LEAST_TO_SHARE) else { return walk(None) };
    let halves = [OnceLock::new(), OnceLock::new()];
    let half = |with: bool| {
        halves[usize::from(with)].get_or_init(|| walk(Some(Half { place, with })));
    };
    both(&|| half(false), &|| half(true));
    let [without, with] = halves;
    let of = |found: OnceLock<Vec<T>>, with| found.into_inner().unwrap_or_else(|| walk(Some(Half { place, with })));
    let (mut all, with) = (of(without, false), of(with, true));
    for (set, (value, other)) in all.iter_mut().zip(with).enumerate() {
        if set & (1 << place) != 0 {
            *value = other;
        }
    }
    all
}

/// The blocks of some evidence in the order that their sets are gone through: the largest outermost, since each of its
/// factors is then made once and never stored; what speaks of the year of making innermost, since it has no part in the
/// votes of the shelf.
pub(crate) fn in_order(evidence: &Evidence) -> Vec<&Weighed<Block>> {
    let mut blocks: Vec<&Weighed<Block>> = evidence.blocks.iter().collect();
    blocks.sort_by_key(|block| (Reverse(block.places.len()), !block.evidence.is_fashion()));
    blocks
}

/// The votes of the shelf, where there is one, for set after set.
pub(crate) struct Votes<'a>(Option<ShelfWalk<'a>>);

impl<'a> Votes<'a> {
    /// For sets that are gone through block by block, the first the slowest, and within a block by its mask.
    pub fn new(evidence: &'a Evidence, blocks: &[&Weighed<Block>]) -> Self {
        let places: Vec<usize> = blocks.iter().flat_map(|block| block.places.iter().rev().copied()).collect();
        Self(evidence.shelf.as_ref().map(|shelf| ShelfWalk::new(shelf, &places)))
    }

    /// What the votes on a set of clues multiply the posterior by; nothing where there are none.
    pub fn of(&mut self, set: usize) -> Option<&Factor> {
        self.0.as_mut()?.factor(set)
    }
}

/// Whether a set of a block's clues is of a half of all sets.
pub(crate) fn is_of(half: Option<Half>, block: &Weighed<Block>, mask: usize) -> bool {
    let own = half.and_then(|half| Some((block.places.iter().position(|place| *place == half.place)?, half.with)));
    own.is_none_or(|(bit, with)| (mask & (1 << bit) != 0) == with)
}

/// The factors of each block, with the set of clues that each is of.
pub(crate) fn factors_of(blocks: &[&Weighed<Block>], half: Option<Half>) -> Vec<Vec<(usize, Factor)>> {
    let of_block = |block: &&Weighed<Block>| {
        let own = block.factors().enumerate().filter(|(mask, _)| is_of(half, block, *mask));
        own.map(|(mask, factor)| (spread(mask, &block.places), factor)).collect()
    };
    blocks.iter().map(of_block).collect()
}

/// Bits of a block's own mask, moved to the places of its clues among all.
pub(crate) fn spread(mask: usize, clues: &[usize]) -> usize {
    clues.iter().enumerate().filter(|(i, _)| mask & (1 << i) != 0).fold(0, |all, (_, &clue)| all | (1 << clue))
}
