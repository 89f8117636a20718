//! What is fixed to a part, as evidence of the part's year: by the year of making and the lag that all of them share.

use crate::evidence::joined_parts::JoinedParts;
use crate::evidence::remembered::Remembered;
use crate::evidence::weighed::set_of;
use crate::numbers::shared_lag::{LagNode, SharedLag};
use crate::reading::part::Part;
use std::borrow::Cow;
use std::cell::OnceCell;
use std::sync::Arc;

/// Shaft and grip as far as they are the head's own, or the grip as far as it is the shaft's own.
///
/// How likely a later part is hangs on the year of making; what it looks like on that and on the lag.
#[derive(Debug, Clone)]
pub(crate) struct JoinedEvidence {
    /// Places of its clues among all that count, in the order that the joined parts take them in.
    pub places: Vec<usize>,
    pub part: Part,
    parts: Arc<JoinedParts>,
    /// Likelihoods of a set under a lead or lag.
    remembered: Remembered<(usize, i32)>,
}

impl JoinedEvidence {
    /// Of these parts fixed to a part, whose clues stand at these places.
    pub fn new(places: Vec<usize>, part: Part, parts: Arc<JoinedParts>) -> Self {
        Self { places, part, parts, remembered: Remembered::default() }
    }

    /// The set of its clues for which `keep` holds, by their places among all.
    pub fn set_of(&self, keep: impl Fn(usize) -> bool) -> usize {
        set_of(&self.places, keep)
    }

    /// Chances of each lag by the year of making, times how likely the readings of a set are then.
    pub fn weighed<'a>(&self, lag: &'a SharedLag, set: usize) -> Cow<'a, SharedLag> {
        if set == 0 {
            return Cow::Borrowed(lag);
        }
        let likelihood = self.likelihood(set);
        Cow::Owned(lag.times(likelihood))
    }

    /// Likelihood of a set by the year of the part, a value for the cell after the axis behind them, where fashion is
    /// so many years ahead.
    pub fn likelihood(&self, set: usize) -> impl Fn(i32) -> Arc<[f64]> {
        let said = OnceCell::new();
        move |ahead| {
            self.remembered.or_made((set, ahead), || {
                let said = said.get_or_init(|| self.parts.of_set(self.part, set));
                self.parts.likelihood_of(self.part, said, ahead)
            })
        }
    }

    /// ln likelihood of a set on a part of after the axis, whose lag has these chances.
    pub fn ln_after(&self, set: usize, lags: &[LagNode]) -> f64 {
        let likelihood = self.likelihood(set);
        let cell = |node: &LagNode| node.chance * likelihood(node.ahead).last().copied().unwrap_or(0.0);
        lags.iter().map(cell).sum::<f64>().ln()
    }

    /// Chance by year, and behind the years after the axis, that each clue is misread, given all of them and the lag;
    /// what is told of signs is their chance before anything is known.
    pub fn misread(&self) -> impl Fn(i32) -> Vec<Vec<f64>> {
        let all = self.parts.of_all();
        move |ahead| self.parts.misread_of(self.part, &all, ahead)
    }

    /// Chance that each clue is misread on a part of after the axis, whose lag has these chances, given all of them.
    pub fn misread_after(&self, lags: &[LagNode]) -> Vec<f64> {
        let (misread, likelihood) = (self.misread(), self.likelihood((1 << self.places.len()) - 1));
        let last = |by_year: &[f64]| by_year.last().copied().unwrap_or(0.0);
        let (mut sums, mut total) = (vec![0.0; self.places.len()], 0.0);
        for node in lags {
            let weight = node.chance * last(&likelihood(node.ahead));
            total += weight;
            sums.iter_mut().zip(misread(node.ahead)).for_each(|(sum, by_year)| *sum += weight * last(&by_year));
        }
        // Likelihoods that all underflow there tell nothing of the lag.
        let nothing = || misread(0).iter().map(|by_year| last(by_year)).collect();
        if total > 0.0 { sums.iter().map(|sum| sum / total).collect() } else { nothing() }
    }
}
