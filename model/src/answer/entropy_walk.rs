//! Mean and entropy of the posterior for every set of clues, in one walk.

use crate::answer::all_sets::{Both, Half, SMALL, Votes, factors_of, in_halves, in_order, is_of, spread};
use crate::evidence::block::Block;
use crate::evidence::evidence::Evidence;
use crate::evidence::weighed::{BySet, Factor, Weighed};
use crate::numbers::shared_lag::SharedLag;

/// Mean year, and entropy in bits, of the posterior for each set of clues; the set is the index, a bit mask.
///
/// An entropy is no sum over the years: each posterior has to be made. Where means are all that is asked for,
/// `subset_sums` has them for a fraction of the work.
pub(crate) fn means_and_bits(evidence: &Evidence, ln_prior: &[f64], both: Both<'_>) -> [Vec<f64>; 2] {
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
    let (means, bits) = values.into_iter().map(|[mean, bits]| (mean, bits)).unzip();
    [means, bits]
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
    let blocks = in_order(evidence);
    let mut votes = WithVotes::new(evidence, &blocks, n_years);
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

/// The product of all else of fashion times the votes of the shelf.
struct WithVotes<'a> {
    votes: Votes<'a>,
    room: ByYear,
}

impl<'a> WithVotes<'a> {
    fn new(evidence: &'a Evidence, blocks: &[&Weighed<Block>], n_years: usize) -> Self {
        Self { votes: Votes::new(evidence, blocks), room: (vec![0.0; n_years], vec![0.0; n_years]) }
    }

    fn times<'b>(&'b mut self, set: usize, plain: &'b [f64], ln: &'b [f64]) -> (&'b [f64], &'b [f64]) {
        let Some(factor) = self.votes.of(set) else { return (plain, ln) };
        multiply(&mut self.room, factor, plain, ln);
        (&self.room.0, &self.room.1)
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
