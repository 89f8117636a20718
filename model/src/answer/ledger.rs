//! The ledger: how far each clue moved the estimate; it balances.

use crate::answer::favours::favoured_years;
use crate::answer::posterior::Posterior;
use crate::answer::subset_walk::walk_all_sets;
use crate::evidence::evidence::Evidence;
use crate::numbers::shapley::{exact_shares, ordered_shares};
use crate::tables::prior::Prior;

/// Up to this many clues the shares are exact, over all sets; above, they are averaged over orders.
pub const EXACT_CLUES: usize = 20;

/// On very long axes the sets would not fit in memory: all sets of all rows are kept to this many numbers.
const MOST_NUMBERS: usize = 1 << 26;

/// The account of one posterior.
///
/// `opening` (the prior's mean year) plus the years of all entries is `closing` (the posterior's); `opening_bits`
/// (the prior's entropy) less the bits of all entries is `closing_bits`.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledger {
    /// Mean year of the prior.
    pub opening: f64,
    /// Mean year of the posterior.
    pub closing: f64,
    /// Entropy of the prior in bits.
    pub opening_bits: f64,
    /// Entropy of the posterior in bits.
    pub closing_bits: f64,
    /// How the shares were computed.
    pub method: LedgerMethod,
    /// One entry for each clue that counts, in the order of their ids.
    pub entries: Vec<LedgerEntry>,
}

/// How a ledger's shares were computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LedgerMethod {
    /// Over all sets of clues.
    Exact,
    /// Averaged over this many orders of the clues.
    Orders(usize),
}

/// One clue's entry.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerEntry {
    /// The clue's id.
    pub clue: String,
    /// Its reading as written.
    pub reading: String,
    /// Years by which it moved the mean (later is positive): its Shapley value.
    pub years: f64,
    /// Bits by which it narrowed the posterior (negative where it disagrees): its Shapley value.
    pub bits: f64,
    /// Standard errors of `years` and `bits`, where orders were sampled.
    pub standard_error: Option<[f64; 2]>,
    /// Exponent that it counts with.
    pub weight: f64,
    /// Corrects measured clues and is no evidence of date by itself: what it moves, it moves through them.
    pub adjusts: bool,
    /// Chance that it is misread or belongs to later work, given all clues.
    pub misread: f64,
    /// The same before anything else is known.
    pub misread_before: f64,
    /// How well the rest bears it out, 0 to 1: its own likelihood averaged over the answer without it, as a share of its
    /// highest in any year.
    pub support: f64,
    /// The answer without it.
    pub without: WithoutClue,
    /// Years that it favours by itself, both inclusive, if it speaks at all.
    pub favours: Option<(i32, i32)>,
}

/// The answer without one clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WithoutClue {
    /// Median year.
    pub median: i32,
    /// First year of the 80 % band.
    pub from: i32,
    /// Last year of the 80 % band.
    pub to: i32,
}

impl WithoutClue {
    pub(crate) fn of(posterior: &Posterior) -> Self {
        let band = posterior.band(0.8);
        Self { median: posterior.median(), from: band.from(), to: band.to() }
    }
}

/// Orders of the clues for a sampled ledger, from the sorted ids of the clues.
pub type Orders<'a> = &'a dyn Fn(&[&str]) -> Vec<Vec<usize>>;

struct Account {
    opening: [f64; 2],
    closing: [f64; 2],
    shares: Vec<[f64; 2]>,
    errors: Option<Vec<[f64; 2]>>,
    method: LedgerMethod,
}

impl Ledger {
    /// Entries for display: the largest move first, ties by the clue's id.
    #[must_use]
    pub fn by_size(&self) -> Vec<&LedgerEntry> {
        let mut entries: Vec<&LedgerEntry> = self.entries.iter().collect();
        entries.sort_by(|a, b| b.years.abs().total_cmp(&a.years.abs()).then_with(|| a.clue.cmp(&b.clue)));
        entries
    }

    /// The ledger of a posterior; `orders` is asked only above `exact_up_to` clues (at most [`EXACT_CLUES`]), and on axes so long that all sets
    /// would not fit in memory.
    #[must_use]
    pub fn new(
        evidence: &Evidence,
        prior: &Prior,
        posterior: &Posterior,
        exact_up_to: usize,
        orders: Orders<'_>,
    ) -> Self {
        let account = if has_exact_account(evidence, exact_up_to) {
            exact_account(evidence, prior)
        } else {
            sampled_account(evidence, prior, &orders(&evidence.clue_ids()))
        };
        let misread = evidence.misread_by_year();
        let entries = evidence.clues.iter().enumerate().map(|(i, clue)| {
            let rest = evidence.ln_likelihood(|other| other != i);
            let without = Posterior::new(evidence.axis, &[prior.ln_by_year(), &rest]);
            let chance: f64 = misread[i].iter().zip(posterior.by_year()).map(|(m, p)| m * p).sum();
            let alone = evidence.ln_alone(i);
            LedgerEntry {
                clue: clue.id.clone(),
                reading: clue.reading.clone(),
                years: account.shares[i][0],
                bits: -account.shares[i][1],
                standard_error: account.errors.as_ref().map(|errors| errors[i]),
                weight: clue.weight,
                adjusts: clue.adjusts,
                misread: chance.clamp(0.0, 1.0),
                misread_before: clue.misread,
                support: support(&alone, &without),
                without: WithoutClue::of(&without),
                favours: favoured_years(evidence.axis, &alone),
            }
        });
        Self {
            opening: account.opening[0],
            closing: account.closing[0],
            opening_bits: account.opening[1],
            closing_bits: account.closing[1],
            method: account.method,
            entries: entries.collect(),
        }
    }
}

/// Whether there are few enough clues to go through all sets of them.
pub(crate) fn has_exact_account(evidence: &Evidence, exact_up_to: usize) -> bool {
    evidence.n_clues() <= exact_up_to.min(EXACT_CLUES) && (evidence.axis.n_rows() << evidence.n_clues()) <= MOST_NUMBERS
}

fn support(ln_likelihood: &[f64], without: &Posterior) -> f64 {
    let top = ln_likelihood.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mean: f64 = ln_likelihood.iter().zip(without.by_year()).map(|(ln, p)| (ln - top).exp() * p).sum();
    mean.clamp(0.0, 1.0)
}

fn exact_account(evidence: &Evidence, prior: &Prior) -> Account {
    let n = evidence.n_clues();
    let values = walk_all_sets(evidence, prior.ln_by_year());
    let years = exact_shares(n, &values.mean);
    let bits = exact_shares(n, &values.bits);
    let all = (1 << n) - 1;
    Account {
        opening: [values.mean[0], values.bits[0]],
        closing: [values.mean[all], values.bits[all]],
        shares: years.into_iter().zip(bits).map(|(y, b)| [y, b]).collect(),
        errors: None,
        method: LedgerMethod::Exact,
    }
}

fn sampled_account(evidence: &Evidence, prior: &Prior, orders: &[Vec<usize>]) -> Account {
    let value = |joined: &[bool]| {
        let ln = evidence.ln_likelihood(|clue| joined[clue]);
        let posterior = Posterior::new(evidence.axis, &[prior.ln_by_year(), &ln]);
        [posterior.mean(), posterior.entropy_bits()]
    };
    let n = evidence.n_clues();
    let shares = ordered_shares(n, orders, value);
    Account {
        opening: value(&vec![false; n]),
        closing: value(&vec![true; n]),
        shares: shares.shares,
        errors: Some(shares.standard_errors),
        method: LedgerMethod::Orders(orders.len()),
    }
}
