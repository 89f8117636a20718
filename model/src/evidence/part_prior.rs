//! The years that a shaft or a grip may be of, before its own clues are read: from the head, and what it is fixed to.

use crate::evidence::copied::Copied;
use crate::evidence::joined_parts::JoinedParts;
use crate::evidence::own_evidence::OwnEvidence;
use crate::numbers::ln_sums::{ln_product, scaled_from_ln};
use crate::numbers::shared_lag::{LagNode, SharedLag, moved, shifted};
use crate::reading::part::Part;
use crate::tables::after_the_years::AfterTheYears;
use crate::tables::prior::Prior;
use std::sync::Arc;

/// Plain weights of which none is larger are taken again by logarithms.
const LEAST_TOP: f64 = 1e-100;

/// The head by its own clues, what is fixed to it, and the lead or lag that all of them share.
#[derive(Debug, Clone)]
pub(crate) struct Together {
    /// Tempered ln likelihood of the head's own clues: by the year of fashion, by the year of making.
    head: [Vec<f64>; 2],
    /// The same of a head of after the axis.
    copied: Copied,
    /// Chance of such a head before anything is read.
    after: f64,
    parts: Arc<JoinedParts>,
    lags: Vec<LagNode>,
}

/// What the head leaves open of the years of one part.
pub(crate) struct LeftOpen {
    /// Of the years of the axis, with the chance that the part is of after them.
    pub prior: Prior,
    /// The lag that is left by the part's year: the head has told something of it.
    pub lag: SharedLag,
    /// The same where the part is of after the axis.
    pub lag_after: Vec<LagNode>,
}

impl Together {
    /// From the head's own clues, what is known of parts of after the axis, what is fixed to it, a lag, and the prior
    /// of the head's years.
    pub fn new(
        head: &OwnEvidence,
        after: &AfterTheYears,
        parts: JoinedParts,
        lags: Vec<LagNode>,
        prior: &Prior,
    ) -> Self {
        let (parts, possible) = (Arc::new(parts), after.is_possible());
        let (sides, copied) = (head.ln_sides(|_| true), head.copied(|_| true));
        let of_axis = Self { head: sides, copied, after: after.head, parts, lags };
        if !possible {
            return of_axis;
        }
        // A shaft of after the axis copies those that such a head has, so that only what the rules name tells it from
        // them; and so does a grip.
        let copies = [Part::Shaft, Part::Grip].map(|part| of_axis.fashion_of(part, prior));
        let parts = Arc::unwrap_or_clone(of_axis.parts).with_copies(copies);
        Self { parts: Arc::new(parts), ..of_axis }
    }

    /// What is fixed to the head.
    pub fn parts(&self) -> Arc<JoinedParts> {
        Arc::clone(&self.parts)
    }

    /// Chances of the years of fashion of a part of the axis, before any of its clues but with its signs.
    fn fashion_of(&self, part: Part, prior: &Prior) -> Vec<f64> {
        let (heads, all) = (self.head_by_lag(prior), self.parts.of_all());
        let n_years = prior.ln_by_year().len();
        let mut years = vec![0.0; n_years];
        for (node, head) in self.lags.iter().zip(&heads) {
            let own = self.parts.prior_of(part, &all, head, node.ahead);
            own[..n_years].iter().enumerate().for_each(|(y, w)| years[moved(y, node.ahead, n_years)] += w);
        }
        let total: f64 = years.iter().sum();
        years.iter().map(|weight| weight / total).collect()
    }

    /// Weights of the head's years and of the cell behind them by its own clues for each lag, in proportion over all
    /// years and lags.
    fn head_by_lag(&self, prior: &Prior) -> Vec<Vec<f64>> {
        let [fashion, making] = &self.head;
        let n_years = making.len();
        let (on_axis, after) = ((1.0 - self.after).ln(), self.after.ln());
        let cell = if self.after > 0.0 {
            // What a later head copies has a lag of its own, which tells nothing of those of shaft and grip.
            after + self.copied.ln_by(prior.ln_by_year(), &SharedLag::from_nodes(&self.lags, n_years))
        } else {
            f64::NEG_INFINITY
        };
        if let Some(plain) = self.plain_by_lag(prior, cell) {
            return plain;
        }
        let under = |node: &LagNode| {
            let mut ln = ln_product(&[&shifted(fashion, node.ahead), making, prior.ln_by_year()]);
            ln.iter_mut().for_each(|v| *v += on_axis);
            ln.push(cell);
            ln.into_iter().map(|v| v + node.chance.ln()).collect::<Vec<f64>>()
        };
        let ln: Vec<Vec<f64>> = self.lags.iter().map(under).collect();
        let top = ln.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        ln.into_iter().map(|by_year| by_year.into_iter().map(|v| (v - top).exp()).collect()).collect()
    }

    /// The same by plain products, an exponential a year and not one for each lag of it; `None` where all of them are
    /// next to nothing, or the cell next to infinite, so that logarithms have to be taken.
    fn plain_by_lag(&self, prior: &Prior, ln_cell: f64) -> Option<Vec<Vec<f64>>> {
        let [fashion, making] = &self.head;
        let making = ln_product(&[making, prior.ln_by_year()]);
        let tops = [fashion, &making].map(|ln| ln.iter().copied().fold(f64::NEG_INFINITY, f64::max));
        let (fashion, making) = (scaled_from_ln(fashion), scaled_from_ln(&making));
        let cell = (ln_cell - tops[0] - tops[1]).exp();
        let under = |node: &LagNode| {
            let chance = (1.0 - self.after) * node.chance;
            let years = shifted(&fashion, node.ahead).into_iter().zip(&making).map(|(f, m)| chance * f * m);
            years.chain([node.chance * cell]).collect::<Vec<f64>>()
        };
        let plain: Vec<Vec<f64>> = self.lags.iter().map(under).collect();
        let top = plain.iter().flatten().copied().fold(0.0, f64::max);
        (top.is_finite() && top > LEAST_TOP).then_some(plain)
    }

    /// The prior of a part's years: for the head the one given; for shaft and grip what the head's own clues and the
    /// chance of a replacement leave open.
    pub fn left_open(&self, part: Part, prior: &Prior) -> LeftOpen {
        if part == Part::Head {
            let lag = SharedLag::from_nodes(&self.lags, prior.ln_by_year().len());
            return LeftOpen { prior: prior.clone().with_after(self.after), lag, lag_after: self.lags.clone() };
        }
        let (heads, all) = (self.head_by_lag(prior), self.parts.of_all());
        let of_lag = |(node, head): (&LagNode, &Vec<f64>)| self.parts.prior_of(part, &all, head, node.ahead);
        let mut weights: Vec<Vec<f64>> = self.lags.iter().zip(&heads).map(of_lag).collect();
        let cells: Vec<f64> = weights.iter_mut().map(|own| own.pop().unwrap_or(0.0)).collect();
        let by_year: Vec<f64> = (0..weights[0].len()).map(|year| weights.iter().map(|own| own[year]).sum()).collect();
        let (on_axis, after) = (by_year.iter().sum::<f64>(), cells.iter().sum::<f64>());
        let lag_after = self
            .lags
            .iter()
            .zip(&cells)
            .map(|(node, cell)| LagNode { chance: if after > 0.0 { cell / after } else { node.chance }, ..*node });
        LeftOpen {
            prior: prior.with_weights(&by_year).with_after(after / (on_axis + after)),
            lag: SharedLag::by_year(&self.lags, &weights),
            lag_after: lag_after.collect(),
        }
    }

    /// P(the shaft is later than the head) or P(the grip is later than the shaft), by all clues; `None` for the head.
    pub fn chance_replaced(&self, part: Part, prior: &Prior) -> Option<f64> {
        if part == Part::Head {
            return None;
        }
        let (heads, all) = (self.head_by_lag(prior), self.parts.of_all());
        let under = |(node, head): (&LagNode, &Vec<f64>)| self.parts.own_and_later(part, &all, head, node.ahead);
        let sums = self.lags.iter().zip(&heads).map(under).fold([0.0; 2], |[o, l], [own, later]| [o + own, l + later]);
        Some(sums[1] / (sums[0] + sums[1]))
    }
}
