//! Sums over the years of the posterior of every set of clues: what means and odds are made of.

use crate::answer::all_sets::{Both, Half, SMALL, Votes, factors_of, in_halves, in_order, is_of, spread};
use crate::evidence::evidence::Evidence;
use crate::evidence::weighed::{BySet, Factor};
use crate::numbers::ln_sums::{ln_product, ln_sum, scaled_from_ln};
use crate::numbers::shared_lag::SharedLag;
use std::ops::Range;

/// Mean year of the posterior for each set of clues; the set is the index, a bit mask.
#[expect(clippy::cast_precision_loss, reason = "years are few")]
pub(crate) fn means_of_all_sets(evidence: &Evidence, ln_prior: &[f64], both: Both<'_>) -> Vec<f64> {
    let from = f64::from(evidence.axis.from());
    let ones = vec![1.0; ln_prior.len()];
    let places: Vec<f64> = (0..ln_prior.len()).map(|place| place as f64).collect();
    let from_ln = |ln: &[f64]| {
        let weights = scaled_from_ln(ln);
        from + dot(&weights, &places) / dot(&weights, &ones)
    };
    let weigh = Weigh { by: [&ones, &places], from_ln: &from_ln };
    sums_of_all_sets(evidence, ln_prior, &weigh, both, |[total, first]| (total >= SMALL).then(|| from + first / total))
}

/// ln of the odds of one run of places on the axis over another, for each set of clues (the index, a bit mask).
pub(crate) fn ln_odds_of_all_sets(
    evidence: &Evidence,
    ln_prior: &[f64],
    [over, under]: [&Range<usize>; 2],
    both: Both<'_>,
) -> Vec<f64> {
    let is_in = |run: &Range<usize>| -> Vec<f64> {
        (0..ln_prior.len()).map(|place| if run.contains(&place) { 1.0 } else { 0.0 }).collect()
    };
    let (first, second) = (is_in(over), is_in(under));
    let from_ln = |ln: &[f64]| ln_sum(&ln[over.clone()]) - ln_sum(&ln[under.clone()]);
    let weigh = Weigh { by: [&first, &second], from_ln: &from_ln };
    let is_sound = |[over, under]: [f64; 2]| over >= SMALL && under >= SMALL;
    sums_of_all_sets(evidence, ln_prior, &weigh, both, |sums| is_sound(sums).then(|| sums[0].ln() - sums[1].ln()))
}

/// What is made of a posterior: from two sums of it by these weights of years, or from its logarithms, where the sums
/// are too small to be trusted.
struct Weigh<'a> {
    by: [&'a [f64]; 2],
    from_ln: &'a (dyn Fn(&[f64]) -> f64 + Sync),
}

/// What `of` makes of the sums of each set; where it says that they are too small, of the logarithms.
fn sums_of_all_sets(
    evidence: &Evidence,
    ln_prior: &[f64],
    weigh: &Weigh<'_>,
    both: Both<'_>,
    of: impl Fn([f64; 2]) -> Option<f64> + Sync,
) -> Vec<f64> {
    in_halves(evidence, both, |half| {
        let mut values = vec![0.0; 1 << evidence.n_clues()];
        visit_all_sums(evidence, ln_prior, weigh.by, half, |set, sums| {
            values[set] = of(sums).unwrap_or_else(|| from_logarithms(evidence, ln_prior, weigh, set));
        });
        values
    })
}

fn from_logarithms(evidence: &Evidence, ln_prior: &[f64], weigh: &Weigh<'_>, set: usize) -> f64 {
    let ln = evidence.ln_likelihood(|clue| set & (1 << clue) != 0);
    (weigh.from_ln)(&ln_product(&[&ln, ln_prior]))
}

/// What is not of fashion, as sums: a set of what is fixed to the part and of marks and numbers, and for each of two
/// weights of years the sum of weight times prior times these clues, carried to the years of fashion by the lag. The
/// posterior's sum is then one product with the likelihood by the year of fashion, whatever the lag.
struct Carried {
    set: usize,
    sums: [Vec<f64>; 2],
    /// The same without the lag, where nothing is fixed: nothing read says nothing of any year.
    without_lag: Option<[Vec<f64>; 2]>,
}

/// The sums of all sets that are not of fashion.
fn carried(evidence: &Evidence, prior: &Factor, by: [&[f64]; 2], making: &[Vec<(usize, Factor)>]) -> Vec<Carried> {
    let ones = vec![1.0; prior.plain.len()];
    let mut of_making: Vec<(usize, Vec<f64>)> = vec![(0, prior.plain.clone())];
    for block in making {
        let with = |(set, plain): &(usize, Vec<f64>)| -> Vec<(usize, Vec<f64>)> {
            block.iter().map(|(own, factor)| (set | own, product(plain, &factor.plain))).collect()
        };
        of_making = of_making.iter().flat_map(with).collect();
    }
    let is_plain = evidence.lag.without_lag().is_some();
    let under = |fixed: usize, lag: &SharedLag| -> Vec<Carried> {
        let one = |(set, plain): &(usize, Vec<f64>)| {
            let weights = by.map(|by| product(plain, by));
            if fixed == 0 && is_plain {
                return Carried { set: *set, sums: weights, without_lag: None };
            }
            let sums = weights.each_ref().map(|weights| lag.by_fashion(weights, &ones));
            Carried { set: fixed | set, sums, without_lag: (fixed == 0).then_some(weights) }
        };
        of_making.iter().map(one).collect()
    };
    let Some(joined) = &evidence.joined else { return under(0, &evidence.lag) };
    let masks = 0..1_usize << joined.places.len();
    masks.flat_map(|mask| under(spread(mask, &joined.places), &joined.weighed(&evidence.lag, mask))).collect()
}

fn product(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).collect()
}

/// Walks all 2^n sets, or one half of them; `keep` is given each set with the two sums of its unnormalised posterior.
fn visit_all_sums(
    evidence: &Evidence,
    ln_prior: &[f64],
    by: [&[f64]; 2],
    half: Option<Half>,
    mut keep: impl FnMut(usize, [f64; 2]),
) {
    let blocks = in_order(evidence);
    let mut votes = Votes::new(evidence, &blocks);
    let (fashion, making): (Vec<_>, Vec<_>) = blocks.into_iter().partition(|block| block.evidence.is_fashion());
    let carried = carried(evidence, &Factor::new(ln_prior, 1.0), by, &factors_of(&making, half));
    let mut room = vec![0.0; ln_prior.len()];
    let mut of_set = |set: usize, plain: &[f64]| {
        let plain = match votes.of(set) {
            Some(factor) => {
                multiply(&mut room, plain, &factor.plain);
                &room
            }
            None => plain,
        };
        for one in &carried {
            let sums = one.without_lag.as_ref().filter(|_| set == 0).unwrap_or(&one.sums);
            keep(one.set | set, [dot(plain, &sums[0]), dot(plain, &sums[1])]);
        }
    };
    let ones = vec![1.0; ln_prior.len()];
    let Some((outer, inner)) = fashion.split_first() else { return of_set(0, &ones) };
    let inner = factors_of(inner, half);
    let mut rooms = vec![vec![0.0; ln_prior.len()]; inner.len()];
    for (mask, factor) in outer.factors().enumerate().filter(|(mask, _)| is_of(half, outer, *mask)) {
        descend(&inner, spread(mask, &outer.places), &factor.plain, &mut rooms, &mut of_set);
    }
}

/// Goes down through the blocks, one set of each at a time; `keep` is given every set of all of them with its product.
fn descend(
    blocks: &[Vec<(usize, Factor)>],
    set: usize,
    plain: &[f64],
    rooms: &mut [Vec<f64>],
    keep: &mut impl FnMut(usize, &[f64]),
) {
    let (Some((block, rest)), Some((room, rooms))) = (blocks.split_first(), rooms.split_first_mut()) else {
        return keep(set, plain);
    };
    for (bits, factor) in block {
        if *bits == 0 {
            descend(rest, set, plain, rooms, keep);
        } else {
            multiply(room, plain, &factor.plain);
            descend(rest, set | bits, room, rooms, keep);
        }
    }
}

fn multiply(into: &mut [f64], a: &[f64], b: &[f64]) {
    into.iter_mut().zip(a.iter().zip(b)).for_each(|(into, (a, b))| *into = a * b);
}

/// Sum of products, in lanes that are always the same, so that the sum is.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    const LANES: usize = 8;
    let mut lanes = [0.0; LANES];
    let (a, b) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    let rest: f64 = a.remainder().iter().zip(b.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in a.zip(b) {
        for ((lane, a), b) in lanes.iter_mut().zip(a).zip(b) {
            *lane += a * b;
        }
    }
    lanes.iter().sum::<f64>() + rest
}
