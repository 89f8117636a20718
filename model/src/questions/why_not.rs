//! Why one period and not another: each clue's weight of evidence between two runs of years.

use crate::answer::ledger::{Accounting, LedgerMethod, has_exact_account};
use crate::answer::posterior::Posterior;
use crate::answer::subset_sums::ln_odds_of_all_sets;
use crate::evidence::asked::Asked;
use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::{ln_product, ln_sum};
use crate::numbers::shapley::{exact_shares, ordered_shares};
use std::ops::Range;

/// Decibans of a natural-log likelihood ratio: 10 log10 of the ratio; a factor of ten is ten decibans.
///
/// Source: I. J. Good, Probability and the Weighing of Evidence, 1950, p. 63 (page from memory).
///
/// ```
/// assert!((agewright_model::questions::why_not::decibans(100_f64.ln()) - 20.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn decibans(ln_ratio: f64) -> f64 {
    10.0 * ln_ratio / std::f64::consts::LN_10
}

/// A run of years, both ends inclusive.
pub type Period = (i32, i32);

/// The account of the odds between two periods, in decibans for the first over the second.
///
/// `base_rate` plus the decibans of all entries is `total`, as 10 log10 of P(first)/P(second) in the posterior.
/// ```
/// use agewright_model::{Accounting, Asked, Part, PeriodAccount};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("face_scoring", "smooth"), ("hosel_to_crease", "3.4"), ("nicking_regularity", "even")];
/// let club = calibration.catalogue().club("iron", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let account = PeriodAccount::of(&asked, [(1850, 1859), (1905, 1914)], Accounting::default()).unwrap();
/// let of = |clue: &str| account.entries.iter().find(|entry| entry.clue == clue).unwrap().decibans;
/// // The smooth face speaks for the 1850s, the rest against them, and the lines add up.
/// assert!(of("face_scoring") > 0.0 && of("hosel_to_crease") < 0.0 && account.total < 0.0);
/// let sum: f64 = account.entries.iter().map(|entry| entry.decibans).sum();
/// assert!((account.base_rate + sum - account.total).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct PeriodAccount {
    /// The two periods, cut to the axis.
    pub periods: [Period; 2],
    /// Posterior probability of each.
    pub probability: [f64; 2],
    /// Posterior probability of the years after the axis, which are in neither.
    pub after: f64,
    /// Decibans before any clue: the prior's.
    pub base_rate: f64,
    /// Each clue's decibans, in the order of the clues' ids.
    pub entries: Vec<PeriodEntry>,
    /// Decibans with all clues.
    pub total: f64,
    /// How the shares were computed.
    pub method: LedgerMethod,
}

/// One clue's part in the odds between two periods.
#[derive(Debug, Clone, PartialEq)]
pub struct PeriodEntry {
    /// The clue's id.
    pub clue: String,
    /// Its reading as written.
    pub reading: String,
    /// Its weight of evidence for the first period over the second: the Shapley value of the ln-odds, tempered like the
    /// posterior, in decibans.
    pub decibans: f64,
    /// Standard error, where orders were sampled.
    pub standard_error: Option<f64>,
    /// Corrects measured clues and is no evidence of date by itself.
    pub adjusts: bool,
}

impl PeriodAccount {
    /// Weighs two periods against each other; `None` where one has no year on the axis.
    ///
    /// v(S) = ln of (sum over the first period of prior x tempered likelihood of S) - the same over the second.
    ///
    /// # Panics
    /// When the orders that `how` gives do not hold every place once.
    #[must_use]
    pub fn of(asked: &Asked<'_>, periods: [Period; 2], how: Accounting<'_>) -> Option<Self> {
        let (evidence, prior) = (asked.evidence(), asked.prior());
        let axis = evidence.axis;
        let [Some(over), Some(under)] = periods.map(|period| places(axis, period)) else { return None };
        let shares = Shares::of(asked, &over, &under, how);
        let posterior = Posterior::of(evidence, prior, |_| true);
        let entries = evidence.clues.iter().enumerate().map(|(i, clue)| PeriodEntry {
            clue: clue.id.clone(),
            reading: clue.reading.clone(),
            decibans: decibans(shares.by_clue[i]),
            standard_error: shares.errors.as_ref().map(|errors| decibans(errors[i])),
            adjusts: clue.adjusts,
        });
        let on_axis = |run: &Range<usize>| (axis.year_at(run.start), axis.year_at(run.end - 1));
        Some(Self {
            periods: [on_axis(&over), on_axis(&under)],
            probability: [&over, &under].map(|run| posterior.by_year()[run.clone()].iter().sum()),
            after: posterior.after(),
            base_rate: decibans(shares.none),
            entries: entries.collect(),
            total: decibans(shares.all),
            method: shares.method,
        })
    }

    /// Entries for display: the largest first, ties by the clue's id.
    #[must_use]
    pub fn by_size(&self) -> Vec<&PeriodEntry> {
        let mut entries: Vec<&PeriodEntry> = self.entries.iter().collect();
        entries.sort_by(|a, b| b.decibans.abs().total_cmp(&a.decibans.abs()).then_with(|| a.clue.cmp(&b.clue)));
        entries
    }
}

fn places(axis: Axis, (from, to): Period) -> Option<Range<usize>> {
    let (from, to) = (from.max(axis.from()), to.min(axis.last()));
    if from > to { None } else { Some(axis.year_ix(from)?..axis.year_ix(to)? + 1) }
}

/// Shares of the ln-odds.
struct Shares {
    none: f64,
    all: f64,
    by_clue: Vec<f64>,
    errors: Option<Vec<f64>>,
    method: LedgerMethod,
}

impl Shares {
    fn of(asked: &Asked<'_>, over: &Range<usize>, under: &Range<usize>, how: Accounting<'_>) -> Self {
        let (evidence, ln_prior) = (asked.evidence(), asked.prior().ln_by_year());
        let n = evidence.n_clues();
        if has_exact_account(evidence, how.exact_up_to) {
            let odds = ln_odds_of_all_sets(evidence, ln_prior, [over, under], how.both);
            let (none, all) = (odds[0], odds[(1 << n) - 1]);
            return Self { none, all, by_clue: exact_shares(n, &odds), errors: None, method: LedgerMethod::Exact };
        }
        let value = |joined: &[bool]| {
            let ln = ln_product(&[&evidence.ln_likelihood(|clue| joined[clue]), ln_prior]);
            [ln_sum(&ln[over.clone()]) - ln_sum(&ln[under.clone()]), 0.0]
        };
        let orders = how.orders_of(evidence);
        let shares = ordered_shares(n, &orders, value);
        Self {
            none: value(&vec![false; n])[0],
            all: value(&vec![true; n])[0],
            by_clue: shares.shares.iter().map(|s| s[0]).collect(),
            errors: Some(shares.standard_errors.iter().map(|s| s[0]).collect()),
            method: LedgerMethod::Orders(orders.len()),
        }
    }
}

/// The likeliest row of years that shares none with a period: what one weighs it against where nothing else is asked;
/// of several the earliest. `None` where every row does.
#[must_use]
pub fn likeliest_row_beside(posterior: &Posterior, (from, to): Period) -> Option<Period> {
    let rows = posterior.by_row();
    let others = rows.iter().rev().filter(|row| row.1 < from || row.0 > to);
    others.max_by(|a, b| a.2.total_cmp(&b.2)).map(|row| (row.0, row.1))
}
