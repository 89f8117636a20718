//! Posterior mean and entropy, or the odds of two periods, for every set of clues, in one walk.

use crate::evidence::block::Block;
use crate::evidence::evidence::Evidence;
use crate::evidence::shelf_walk::ShelfWalk;
use crate::evidence::weighed::{BySet, Factor, Weighed};
use crate::numbers::ln_sums::ln_sum;
use crate::numbers::shared_lag::SharedLag;
use std::ops::Range;
use std::sync::OnceLock;

/// Mean year and entropy of the posterior for each set of clues; the set is the index, a bit mask.
pub(crate) struct SubsetValues {
    pub mean: Vec<f64>,
    pub bits: Vec<f64>,
}

/// A product below this is summed again from its logarithms, so that nothing underflows.
const SMALL: f64 = 1e-200;

/// Runs two pieces of work, at once where the caller has threads for it.
pub type Both<'a> = &'a (dyn Fn(&(dyn Fn() + Sync), &(dyn Fn() + Sync)) + Sync);

/// With fewer clues a second thread is not worth calling.
const LEAST_TO_SHARE: usize = 10;

/// The sets with, or without, one of the clues.
#[derive(Debug, Clone, Copy)]
struct Half {
    place: usize,
    with: bool,
}

/// Something of every set, the sets without one of the clues and those with it gone through by `both`.
fn in_halves<T: Copy + Send + Sync>(
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

/// Walks all 2^n sets and keeps mean and entropy of each.
pub(crate) fn walk_all_sets(evidence: &Evidence, ln_prior: &[f64], both: Both<'_>) -> SubsetValues {
    let from = f64::from(evidence.axis.from());
    let values = in_halves(evidence, both, |half| {
        let mut values = vec![[0.0; 2]; 1 << evidence.n_clues()];
        visit_all_sets(evidence, ln_prior, half, |set, plain, ln| {
            let (mut mean, mut bits, total) = moments(plain, ln);
            if total < SMALL {
                let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let shifted: Vec<f64> = ln.iter().map(|v| v - top).collect();
                let again: Vec<f64> = shifted.iter().map(|v| v.exp()).collect();
                (mean, bits, _) = moments(&again, &shifted);
            }
            values[set] = [from + mean, bits];
        });
        values
    });
    let (mean, bits) = values.into_iter().map(|[mean, bits]| (mean, bits)).unzip();
    SubsetValues { mean, bits }
}

/// ln of the odds of one run of places on the axis over another, for each set of clues (the index, a bit mask).
pub(crate) fn ln_odds_of_all_sets(
    evidence: &Evidence,
    ln_prior: &[f64],
    [over, under]: [&Range<usize>; 2],
    both: Both<'_>,
) -> Vec<f64> {
    in_halves(evidence, both, |half| {
        let mut odds = vec![0.0; 1 << evidence.n_clues()];
        visit_all_sets(evidence, ln_prior, half, |set, plain, ln| {
            let ln_total = |run: &Range<usize>| {
                let total: f64 = plain[run.clone()].iter().sum();
                if total < SMALL { ln_sum(&ln[run.clone()]) } else { total.ln() }
            };
            odds[set] = ln_total(over) - ln_total(under);
        });
        odds
    })
}

/// Walks all 2^n sets, or one half of them; `keep` is given each set with its unnormalised posterior, as it is and in
/// ln. Products are carried along beside their logarithms: one multiplication and one addition a year and set, in place
/// of an exponential each; where the product runs out of range (below [`SMALL`]) the logarithms must take over.
///
/// Clues of fashion first: their product is by the year of fashion, and the lag that they share carries it to the years
/// of making, once for each set of them; then the prior, marks and numbers.
fn visit_all_sets(
    evidence: &Evidence,
    ln_prior: &[f64],
    half: Option<Half>,
    mut keep: impl FnMut(usize, &[f64], &[f64]),
) {
    let n_years = ln_prior.len();
    let prior = Factor::new(ln_prior, 1.0);
    let is_plain = evidence.lag.without_lag().is_some();
    let mut blocks: Vec<&Weighed<Block>> = evidence.blocks.iter().collect();
    // The largest block outermost: each of its factors is then made once and never stored. What speaks of the year of
    // making innermost: it has no part in the votes of the shelf.
    blocks.sort_by_key(|block| (std::cmp::Reverse(block.places.len()), !block.evidence.is_fashion()));
    let mut votes = Votes::new(evidence, &blocks, n_years);
    if is_plain && evidence.joined.is_none() {
        return visit_sets_of(&blocks, &prior, half, &mut |set, plain, ln| {
            let (plain, ln) = votes.times(set, plain, ln);
            keep(set, plain, ln);
        });
    }
    let (fashion, making): (Vec<_>, Vec<_>) = blocks.into_iter().partition(|block| block.evidence.is_fashion());
    let making = factors_of(&making, half);
    let mut buffers = Buffers::new(n_years, making.len());
    let mut room = Lagging { plain: vec![0.0; n_years], ln: vec![0.0; n_years], padded: Vec::new() };
    let mut of_lag = |fixed: usize, lag: &SharedLag, set: usize, plain: &[f64], ln: &[f64]| {
        let mut start = buffers.take();
        let (plain, ln) = votes.times(set, plain, ln);
        // Nothing read says nothing of any year.
        if fixed == 0 && (set == 0 || is_plain) {
            multiply(&mut start, &prior, plain, ln);
        } else {
            room.carry(lag, plain, ln);
            multiply(&mut start, &prior, &room.plain, &room.ln);
        }
        descend(&making, fixed | set, &start.0, &start.1, &mut buffers, &mut keep);
        buffers.give_back(start);
    };
    let Some(joined) = &evidence.joined else {
        let nothing = Factor::new(&vec![0.0; n_years], 1.0);
        return visit_sets_of(&fashion, &nothing, half, &mut |set, plain, ln| of_lag(0, &evidence.lag, set, plain, ln));
    };
    let fashion = factors_of(&fashion, half);
    let (ones, zeros) = (vec![1.0; n_years], vec![0.0; n_years]);
    let mut of_fashion = Buffers::new(n_years, fashion.len());
    for mask in 0..1_usize << joined.places.len() {
        let (fixed, lag) = (spread(mask, &joined.places), joined.weighed(&evidence.lag, mask));
        let mut of_set = |set: usize, plain: &[f64], ln: &[f64]| of_lag(fixed, &lag, set, plain, ln);
        descend(&fashion, 0, &ones, &zeros, &mut of_fashion, &mut of_set);
    }
}

/// The votes of the shelf, where there is one, over the product of all else of fashion.
struct Votes<'a> {
    walk: Option<ShelfWalk<'a>>,
    plain: Vec<f64>,
    ln: Vec<f64>,
}

impl<'a> Votes<'a> {
    /// For sets that are gone through block by block, the first the slowest, and within a block by its mask.
    fn new(evidence: &'a Evidence, blocks: &[&Weighed<Block>], n_years: usize) -> Self {
        let places: Vec<usize> = blocks.iter().flat_map(|block| block.places.iter().rev().copied()).collect();
        let walk = evidence.shelf.as_ref().map(|shelf| ShelfWalk::new(shelf, &places));
        Self { walk, plain: vec![0.0; n_years], ln: vec![0.0; n_years] }
    }

    /// The product of a set of clues with the votes of the same.
    fn times<'b>(&'b mut self, set: usize, plain: &'b [f64], ln: &'b [f64]) -> (&'b [f64], &'b [f64]) {
        let Some(walk) = &mut self.walk else { return (plain, ln) };
        self.plain.copy_from_slice(plain);
        self.ln.copy_from_slice(ln);
        walk.multiply(set, &mut self.plain, &mut self.ln);
        (&self.plain, &self.ln)
    }
}

/// Room for a likelihood by the year of making.
struct Lagging {
    plain: Vec<f64>,
    ln: Vec<f64>,
    padded: Vec<f64>,
}

impl Lagging {
    /// Carries a likelihood by the year of fashion to the years of making.
    fn carry(&mut self, lag: &SharedLag, plain: &[f64], ln: &[f64]) {
        lag.blur(plain, &mut self.padded, &mut self.plain);
        if self.plain.iter().all(|v| *v > SMALL) {
            self.ln.iter_mut().zip(&self.plain).for_each(|(ln, plain)| *ln = plain.ln());
            return;
        }
        self.ln = lag.blurred_ln(ln);
        self.plain.iter_mut().zip(&self.ln).for_each(|(plain, ln)| *plain = ln.exp());
    }
}

/// Goes through all sets of the clues of some blocks, starting from a likelihood or a prior.
fn visit_sets_of(
    blocks: &[&Weighed<Block>],
    start: &Factor,
    half: Option<Half>,
    keep: &mut impl FnMut(usize, &[f64], &[f64]),
) {
    let Some((outer, inner)) = blocks.split_first() else {
        return keep(0, &start.plain, &start.ln);
    };
    let inner = factors_of(inner, half);
    let mut buffers = Buffers::new(start.ln.len(), inner.len() + 1);
    for (mask, factor) in outer.factors().enumerate().filter(|(mask, _)| is_of(half, outer, *mask)) {
        let mut first = buffers.take();
        multiply(&mut first, &factor, &start.plain, &start.ln);
        descend(&inner, spread(mask, &outer.places), &first.0, &first.1, &mut buffers, keep);
        buffers.give_back(first);
    }
}

/// Whether a set of a block's clues is of a half of all sets.
fn is_of(half: Option<Half>, block: &Weighed<Block>, mask: usize) -> bool {
    let own = half.and_then(|half| Some((block.places.iter().position(|place| *place == half.place)?, half.with)));
    own.is_none_or(|(bit, with)| (mask & (1 << bit) != 0) == with)
}

/// The factors of each block, with the set of clues that each is of.
fn factors_of(blocks: &[&Weighed<Block>], half: Option<Half>) -> Vec<Vec<(usize, Factor)>> {
    let of_block = |block: &&Weighed<Block>| {
        let own = block.factors().enumerate().filter(|(mask, _)| is_of(half, block, *mask));
        own.map(|(mask, factor)| (spread(mask, &block.places), factor)).collect()
    };
    blocks.iter().map(of_block).collect()
}

/// Bits of a block's own mask, moved to the places of its clues among all.
fn spread(mask: usize, clues: &[usize]) -> usize {
    clues.iter().enumerate().filter(|(i, _)| mask & (1 << i) != 0).fold(0, |all, (_, &clue)| all | (1 << clue))
}

/// A likelihood or a posterior by year, as it is and in ln.
type ByYear = (Vec<f64>, Vec<f64>);

fn multiply(into: &mut ByYear, factor: &Factor, plain: &[f64], ln: &[f64]) {
    for (((p, l), (a, b)), (x, y)) in
        into.0.iter_mut().zip(into.1.iter_mut()).zip(plain.iter().zip(&factor.plain)).zip(ln.iter().zip(&factor.ln))
    {
        *p = a * b;
        *l = x + y;
    }
}

/// Lists by year that are used again and again.
struct Buffers {
    n_years: usize,
    free: Vec<ByYear>,
}

impl Buffers {
    fn new(n_years: usize, n: usize) -> Self {
        Self { n_years, free: vec![(vec![0.0; n_years], vec![0.0; n_years]); n + 1] }
    }

    fn take(&mut self) -> ByYear {
        self.free.pop().unwrap_or_else(|| (vec![0.0; self.n_years], vec![0.0; self.n_years]))
    }

    fn give_back(&mut self, buffer: ByYear) {
        self.free.push(buffer);
    }
}

/// Goes down through the blocks, one set of each at a time; `keep` is given every set of all of them.
fn descend(
    blocks: &[Vec<(usize, Factor)>],
    set: usize,
    plain: &[f64],
    ln: &[f64],
    buffers: &mut Buffers,
    keep: &mut impl FnMut(usize, &[f64], &[f64]),
) {
    let Some((block, rest)) = blocks.split_first() else {
        keep(set, plain, ln);
        return;
    };
    for (bits, factor) in block {
        if *bits == 0 {
            descend(rest, set, plain, ln, buffers, keep);
            continue;
        }
        let mut next = buffers.take();
        multiply(&mut next, factor, plain, ln);
        descend(rest, set | bits, &next.0, &next.1, buffers, keep);
        buffers.give_back(next);
    }
}

/// Mean place on the axis, entropy in bits, and the total, of unnormalised probabilities u given with ln u:
/// entropy = (ln Z - sum u ln u / Z) / ln 2, Z the total.
fn moments(plain: &[f64], ln: &[f64]) -> (f64, f64, f64) {
    let (mut total, mut first, mut u_ln_u, mut place) = (0.0, 0.0, 0.0, 0.0);
    for (u, l) in plain.iter().zip(ln) {
        total += u;
        first += u * place;
        u_ln_u += u * l;
        place += 1.0;
    }
    (first / total, (total.ln() - u_ln_u / total) / std::f64::consts::LN_2, total)
}
