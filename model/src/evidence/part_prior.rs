//! The years that a shaft or a grip may be of, before its own clues are read: from the head, and what it is fixed to.

use crate::evidence::joined_parts::JoinedParts;
use crate::numbers::ln_sums::ln_product;
use crate::numbers::shared_lag::{LagNode, SharedLag, shifted};
use crate::reading::part::Part;
use crate::tables::prior::Prior;
use std::sync::Arc;

/// The head by its own clues, what is fixed to it, and the lead or lag that all of them share.
#[derive(Debug, Clone)]
pub(crate) struct Together {
    /// Tempered ln likelihood of the head's own clues: by the year of fashion, by the year of making.
    head: [Vec<f64>; 2],
    parts: Arc<JoinedParts>,
    lags: Vec<LagNode>,
}

/// What the head leaves open of the years of one part.
pub(crate) struct LeftOpen {
    pub prior: Prior,
    /// The lag that is left by the part's year: the head has told something of it.
    pub lag: SharedLag,
}

impl Together {
    /// From the head's own clues, in their two sums, and a lag.
    pub fn new(head: [Vec<f64>; 2], parts: Arc<JoinedParts>, lags: Vec<LagNode>) -> Self {
        Self { head, parts, lags }
    }

    /// Weights of the head's years by its own clues for each lag, in proportion over all years and lags.
    fn head_by_lag(&self, prior: &Prior) -> Vec<Vec<f64>> {
        let [fashion, making] = &self.head;
        let under = |node: &LagNode| {
            let ln = ln_product(&[&shifted(fashion, node.ahead), making, prior.ln_by_year()]);
            ln.into_iter().map(|v| v + node.chance.ln()).collect::<Vec<f64>>()
        };
        let ln: Vec<Vec<f64>> = self.lags.iter().map(under).collect();
        let top = ln.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        ln.into_iter().map(|by_year| by_year.into_iter().map(|v| (v - top).exp()).collect()).collect()
    }

    /// The prior of a part's years: for the head the one given; for shaft and grip what the head's own clues and the
    /// chance of a replacement leave open.
    pub fn left_open(&self, part: Part, prior: &Prior) -> LeftOpen {
        if part == Part::Head {
            let lag = SharedLag::from_nodes(&self.lags, prior.ln_by_year().len());
            return LeftOpen { prior: prior.clone(), lag };
        }
        let heads = self.head_by_lag(prior);
        let weights: Vec<Vec<f64>> =
            self.lags.iter().zip(&heads).map(|(node, head)| self.parts.prior_of(part, head, node.ahead)).collect();
        let all = (0..weights[0].len()).map(|year| weights.iter().map(|own| own[year]).sum());
        let prior = prior.with_weights(&all.collect::<Vec<f64>>());
        LeftOpen { prior, lag: SharedLag::by_year(&self.lags, &weights) }
    }

    /// P(the shaft is later than the head) or P(the grip is later than the shaft), by all clues; `None` for the head.
    pub fn chance_replaced(&self, part: Part, prior: &Prior) -> Option<f64> {
        if part == Part::Head {
            return None;
        }
        let heads = self.head_by_lag(prior);
        let under = |(node, head): (&LagNode, &Vec<f64>)| self.parts.own_and_later(part, head, node.ahead);
        let sums = self.lags.iter().zip(&heads).map(under).fold([0.0; 2], |[o, l], [own, later]| [o + own, l + later]);
        Some(sums[1] / (sums[0] + sums[1]))
    }
}
