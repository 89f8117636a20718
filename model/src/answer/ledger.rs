//! The ledger: how far each clue moved the estimate; it balances.

use crate::answer::all_sets::Both;
use crate::answer::clue_standing::{ClueStanding, standings};
use crate::answer::entropy_walk::means_and_bits;
use crate::answer::favours::favoured_years;
use crate::answer::posterior::Posterior;
use crate::answer::short_answer::ShortAnswer;
use crate::answer::subset_sums::means_of_all_sets;
use crate::evidence::asked::Asked;
use crate::evidence::evidence::Evidence;
use crate::numbers::shapley::{exact_shares, ordered_shares};
use crate::tables::prior::Prior;

/// Up to this many clues the shares are exact, over all sets; above, they are averaged over orders.
pub const EXACT_CLUES: usize = 20;

/// On very long axes the sets would not fit in memory: all sets of all rows are kept to this many numbers.
const MOST_NUMBERS: usize = 1 << 26;

/// Where the dated clubs vote, the votes of all sets are kept to this many: 256 clubs at 17 clues.
const MOST_VOTES: usize = 1 << 25;

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
    /// Bits by which it narrowed the posterior (negative where it disagrees): its Shapley value, where asked for.
    pub bits: Option<f64>,
    /// Standard errors of `years` and `bits`, where orders were sampled.
    pub standard_error: Option<[f64; 2]>,
    /// Exponent that it counts with.
    pub weight: f64,
    /// Corrects measured clues and is no evidence of date by itself: what it moves, it moves through them.
    pub adjusts: bool,
    /// Chance that it is misread or belongs to later work, given all clues.
    pub misread: f64,
    /// The answer without it.
    pub without: ShortAnswer,
    /// Years that it favours by itself, both inclusive, if it speaks at all.
    pub favours: Option<(i32, i32)>,
}

/// Orders of the clues for a sampled ledger, from the sorted ids of the clues; each holds every place once.
pub type Orders<'a> = &'a (dyn Fn(&[&str]) -> Vec<Vec<usize>> + Sync);

/// How an account is to be computed.
///
/// ```
/// use agewright_model::Accounting;
///
/// // Twenty clues are accounted for exactly, over all sets of them; more, over orders of the caller's.
/// let forwards = |ids: &[&str]| vec![(0..ids.len()).collect()];
/// assert_eq!(Accounting::by_orders(&forwards).exact_up_to, Accounting::default().exact_up_to);
/// ```
#[derive(Clone, Copy)]
pub struct Accounting<'a> {
    /// Up to this many clues (at most [`EXACT_CLUES`]) the account is exact.
    pub exact_up_to: usize,
    /// Orders of the clues, asked for only where there are too many for all sets; where it gives none, there and back.
    pub orders: Orders<'a>,
    /// How two halves of the sets are gone through.
    pub both: Both<'a>,
    /// Whether bits are accounted for beside years; over all sets they are most of the work.
    pub bits: bool,
}

impl Default for Accounting<'_> {
    /// Exact where it can be; else over all turns of the order of ids, there and back, so that every clue comes in at
    /// every place equally often.
    fn default() -> Self {
        Self { exact_up_to: EXACT_CLUES, orders: &turns, both: &one_after_another, bits: true }
    }
}

impl<'a> Accounting<'a> {
    /// Exact where it can be; else over these orders.
    #[must_use]
    pub fn by_orders(orders: Orders<'a>) -> Self {
        Self { orders, ..Self::default() }
    }

    /// The same with the two halves of the sets gone through as the caller likes: at once, where it has threads.
    #[must_use]
    pub fn with_halves(self, both: Both<'a>) -> Self {
        Self { both, ..self }
    }

    /// The same of years alone, for readers who are shown no bits.
    #[must_use]
    pub fn without_bits(self) -> Self {
        Self { bits: false, ..self }
    }
}

impl Accounting<'_> {
    /// The orders of the clues of some evidence. No order at all would leave every share at nothing, and the account
    /// open.
    pub(crate) fn orders_of(&self, evidence: &Evidence) -> Vec<Vec<usize>> {
        let ids = evidence.clue_ids();
        let orders = (self.orders)(&ids);
        if orders.is_empty() { there_and_back(&ids) } else { orders }
    }
}

fn one_after_another(first: &(dyn Fn() + Sync), second: &(dyn Fn() + Sync)) {
    first();
    second();
}

fn there_and_back(ids: &[&str]) -> Vec<Vec<usize>> {
    vec![(0..ids.len()).collect(), (0..ids.len()).rev().collect()]
}

fn turns(ids: &[&str]) -> Vec<Vec<usize>> {
    let n = ids.len();
    let turned = |by: usize| (0..n).map(move |place| (place + by) % n);
    (0..n).flat_map(|by| [turned(by).collect(), turned(by).rev().collect()]).collect()
}

struct Account {
    opening: [f64; 2],
    closing: [f64; 2],
    years: Vec<f64>,
    bits: Option<Vec<f64>>,
    errors: Option<Vec<[f64; 2]>>,
    method: LedgerMethod,
}

impl Ledger {
    /// Whether a clue (by its id) stands in it.
    #[must_use]
    pub fn entry(&self, clue: &str) -> Option<&LedgerEntry> {
        self.entries.iter().find(|entry| entry.clue == clue)
    }

    /// Entries for display: the largest move first, ties by the clue's id.
    #[must_use]
    pub fn by_size(&self) -> Vec<&LedgerEntry> {
        let mut entries: Vec<&LedgerEntry> = self.entries.iter().collect();
        entries.sort_by(|a, b| b.years.abs().total_cmp(&a.years.abs()).then_with(|| a.clue.cmp(&b.clue)));
        entries
    }

    /// The account of what was asked.
    ///
    /// # Panics
    /// When the orders that `how` gives do not hold every place once.
    #[must_use]
    pub fn of(asked: &Asked<'_>, how: Accounting<'_>) -> Self {
        let (evidence, prior) = (asked.evidence(), asked.prior());
        let after = Posterior::of(evidence, prior, |_| true).after();
        Self::of_clues(asked, &standings(evidence, prior, after), how)
    }

    /// The same where it is known already how the clues stand: as [`crate::Dating::clues`] has them.
    ///
    /// # Panics
    /// When they are those of another question, or the orders that `how` gives do not hold every place once.
    #[must_use]
    pub fn of_clues(asked: &Asked<'_>, clues: &[ClueStanding], how: Accounting<'_>) -> Self {
        let (evidence, prior) = (asked.evidence(), asked.prior());
        assert_eq!(clues.len(), evidence.n_clues(), "the clues of the same question");
        let account = if has_exact_account(evidence, how.exact_up_to) {
            exact_account(evidence, prior, how)
        } else {
            sampled_account(evidence, prior, &how.orders_of(evidence))
        };
        let entries = clues.iter().enumerate().map(|(i, clue)| LedgerEntry {
            clue: clue.clue.clone(),
            reading: clue.reading.clone(),
            years: account.years[i],
            bits: account.bits.as_ref().map(|bits| -bits[i]),
            standard_error: account.errors.as_ref().map(|errors| errors[i]),
            weight: clue.weight,
            adjusts: clue.adjusts,
            misread: clue.misread,
            without: ShortAnswer::of(&Posterior::of(evidence, prior, |other| other != i)),
            favours: favoured_years(evidence.axis, &evidence.ln_alone_by_making(i)),
        });
        Self {
            entries: entries.collect(),
            opening: account.opening[0],
            closing: account.closing[0],
            opening_bits: account.opening[1],
            closing_bits: account.closing[1],
            method: account.method,
        }
    }
}

/// Whether there are few enough clues to go through all sets of them.
pub(crate) fn has_exact_account(evidence: &Evidence, exact_up_to: usize) -> bool {
    let n = evidence.n_clues();
    n <= exact_up_to.min(EXACT_CLUES)
        && (evidence.axis.n_rows() << n) <= MOST_NUMBERS
        && (evidence.shelf.as_ref().map_or(0, |shelf| shelf.evidence.laid.n_clubs()) << n) <= MOST_VOTES
}

fn exact_account(evidence: &Evidence, prior: &Prior, how: Accounting<'_>) -> Account {
    let (n, ln_prior) = (evidence.n_clues(), prior.ln_by_year());
    let edges = [0, (1 << n) - 1];
    let (means, edge_bits, bits) = if how.bits {
        let [means, bits] = means_and_bits(evidence, ln_prior, how.both);
        (means, edges.map(|set| bits[set]), Some(exact_shares(n, &bits)))
    } else {
        let bits = |keep: bool| {
            let ln = evidence.ln_likelihood(|_| keep);
            Posterior::new(evidence.axis, &[&ln, ln_prior]).entropy_bits()
        };
        (means_of_all_sets(evidence, ln_prior, how.both), [bits(false), bits(true)], None)
    };
    Account {
        opening: [means[edges[0]], edge_bits[0]],
        closing: [means[edges[1]], edge_bits[1]],
        years: exact_shares(n, &means),
        bits,
        errors: None,
        method: LedgerMethod::Exact,
    }
}

fn sampled_account(evidence: &Evidence, prior: &Prior, orders: &[Vec<usize>]) -> Account {
    let value = |joined: &[bool]| {
        let posterior = Posterior::of(evidence, prior, |clue| joined[clue]);
        [posterior.mean(), posterior.entropy_bits()]
    };
    let n = evidence.n_clues();
    let shares = ordered_shares(n, orders, value);
    let (years, bits) = shares.shares.into_iter().map(|[years, bits]| (years, bits)).unzip();
    Account {
        opening: value(&vec![false; n]),
        closing: value(&vec![true; n]),
        years,
        bits: Some(bits),
        errors: Some(shares.standard_errors),
        method: LedgerMethod::Orders(orders.len()),
    }
}
