//! What is fixed to a part, as evidence of the part's year: by the year of making and the lag that all of them share.

use crate::evidence::joined_parts::{JoinedParts, JoinedYears};
use crate::evidence::remembered::Remembered;
use crate::evidence::weighed::set_of;
use crate::numbers::shared_lag::{LagNode, LaggedWeights, SharedLag};
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

    /// Chance that each clue is misread, given all of them, on a part whose lags and years of making have these
    /// weights; what is told of signs is their chance before anything is known.
    pub fn misread(&self, together: &[LaggedWeights]) -> Vec<f64> {
        let all = self.parts.of_all();
        let mut years = JoinedYears::new(together.first().map_or(0, |lagged| lagged.by_making.len()));
        for LaggedWeights { ahead, by_making } in together {
            let with_cell = [by_making.as_slice(), &[0.0]].concat();
            self.parts.add_years(self.part, &all, *ahead, &with_cell, &mut years);
        }
        self.parts.misread(self.part, &years)
    }

    /// The same on a part of after the axis, whose lag has these chances.
    pub fn misread_after(&self, lags: &[LagNode]) -> Vec<f64> {
        let (all, likelihood) = (self.parts.of_all(), self.likelihood((1 << self.places.len()) - 1));
        let in_cell = |ahead: i32| likelihood(ahead).last().copied().unwrap_or(0.0);
        let total: f64 = lags.iter().map(|node| node.chance * in_cell(node.ahead)).sum();
        // Likelihoods that all underflow there tell nothing of the lag.
        let of_none = [LagNode { ahead: 0, chance: 1.0 }];
        let lags = if total > 0.0 { lags } else { &of_none };
        let n_years = likelihood(0).len() - 1;
        let mut years = JoinedYears::new(n_years);
        for node in lags {
            let mut weights = vec![0.0; n_years + 1];
            weights[n_years] = if total > 0.0 { node.chance * in_cell(node.ahead) / total } else { 1.0 };
            self.parts.add_years(self.part, &all, node.ahead, &weights, &mut years);
        }
        self.parts.misread(self.part, &years)
    }
}
