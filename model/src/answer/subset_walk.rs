//! Posterior mean and entropy, or the odds of two periods, for every set of clues, in one walk.

use crate::evidence::evidence::Evidence;
use crate::evidence::weighed::Factor;
use crate::numbers::ln_sums::ln_sum;
use std::ops::Range;

/// Mean year and entropy of the posterior for each set of clues; the set is the index, a bit mask.
pub(crate) struct SubsetValues {
    pub mean: Vec<f64>,
    pub bits: Vec<f64>,
}

/// A product below this is summed again from its logarithms, so that nothing underflows.
const SMALL: f64 = 1e-200;

/// Walks all 2^n sets and keeps mean and entropy of each.
pub(crate) fn walk_all_sets(evidence: &Evidence, ln_prior: &[f64]) -> SubsetValues {
    let n = evidence.n_clues();
    let mut values = SubsetValues { mean: vec![0.0; 1 << n], bits: vec![0.0; 1 << n] };
    let from = f64::from(evidence.axis.from());
    visit_all_sets(evidence, ln_prior, |set, plain, ln| {
        let (mut mean, mut bits, total) = moments(plain, ln);
        if total < SMALL {
            let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let shifted: Vec<f64> = ln.iter().map(|v| v - top).collect();
            let again: Vec<f64> = shifted.iter().map(|v| v.exp()).collect();
            (mean, bits, _) = moments(&again, &shifted);
        }
        values.mean[set] = from + mean;
        values.bits[set] = bits;
    });
    values
}

/// ln of the odds of one run of places on the axis over another, for each set of clues (the index, a bit mask).
pub(crate) fn ln_odds_of_all_sets(
    evidence: &Evidence,
    ln_prior: &[f64],
    over: &Range<usize>,
    under: &Range<usize>,
) -> Vec<f64> {
    let mut odds = vec![0.0; 1 << evidence.n_clues()];
    visit_all_sets(evidence, ln_prior, |set, plain, ln| {
        let ln_total = |run: &Range<usize>| {
            let total: f64 = plain[run.clone()].iter().sum();
            if total < SMALL { ln_sum(&ln[run.clone()]) } else { total.ln() }
        };
        odds[set] = ln_total(over) - ln_total(under);
    });
    odds
}

/// Walks all 2^n sets; `keep` is given each set with its unnormalised posterior, as it is and in ln. Products are
/// carried along beside their logarithms: one multiplication and one addition a year and set, in place of an
/// exponential each; where the product runs out of range (below [`SMALL`]) the logarithms must take over.
fn visit_all_sets(evidence: &Evidence, ln_prior: &[f64], keep: impl FnMut(usize, &[f64], &[f64])) {
    let mut order: Vec<usize> = (0..evidence.blocks.len()).collect();
    // The largest block outermost: each of its factors is then made once and never stored.
    order.sort_by_key(|&b| std::cmp::Reverse(evidence.blocks[b].places.len()));
    let inner: Vec<Vec<(usize, Factor)>> = order
        .iter()
        .skip(1)
        .map(|&b| {
            let block = &evidence.blocks[b];
            block.factors().enumerate().map(|(mask, factor)| (spread(mask, &block.places), factor)).collect()
        })
        .collect();
    let buffers = vec![(vec![0.0; ln_prior.len()], vec![0.0; ln_prior.len()]); inner.len() + 1];
    let mut walk = Walk { keep, buffers };
    let prior = Factor::new(ln_prior, 1.0);
    let Some(&outer) = order.first() else {
        (walk.keep)(0, &prior.plain, &prior.ln);
        return;
    };
    let block = &evidence.blocks[outer];
    for (mask, factor) in block.factors().enumerate() {
        let mut start = walk.buffers.pop().unwrap_or_default();
        multiply(&mut start, &prior.plain, &prior.ln, &factor);
        walk.descend(&inner, spread(mask, &block.places), &start.0, &start.1);
        walk.buffers.push(start);
    }
}

/// Bits of a block's own mask, moved to the places of its clues among all.
fn spread(mask: usize, clues: &[usize]) -> usize {
    clues.iter().enumerate().filter(|(i, _)| mask & (1 << i) != 0).fold(0, |all, (_, &clue)| all | (1 << clue))
}

fn multiply(into: &mut (Vec<f64>, Vec<f64>), plain: &[f64], ln: &[f64], factor: &Factor) {
    for (((p, l), (a, b)), (x, y)) in
        into.0.iter_mut().zip(into.1.iter_mut()).zip(plain.iter().zip(&factor.plain)).zip(ln.iter().zip(&factor.ln))
    {
        *p = a * b;
        *l = x + y;
    }
}

struct Walk<K> {
    keep: K,
    buffers: Vec<(Vec<f64>, Vec<f64>)>,
}

impl<K: FnMut(usize, &[f64], &[f64])> Walk<K> {
    fn descend(&mut self, blocks: &[Vec<(usize, Factor)>], set: usize, plain: &[f64], ln: &[f64]) {
        let Some((block, rest)) = blocks.split_first() else {
            (self.keep)(set, plain, ln);
            return;
        };
        for (bits, factor) in block {
            if *bits == 0 {
                self.descend(rest, set, plain, ln);
                continue;
            }
            let mut next = self.buffers.pop().unwrap_or_else(|| (vec![0.0; ln.len()], vec![0.0; ln.len()]));
            multiply(&mut next, plain, ln, factor);
            self.descend(rest, set | bits, &next.0, &next.1);
            self.buffers.push(next);
        }
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
