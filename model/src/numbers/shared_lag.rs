//! A lead or lag in years that all fashion clues of a club share: another region, an old-fashioned or a forward shop.

use crate::numbers::ln_sums::{ln_sum, scaled_from_ln};
use std::sync::Arc;

/// Standard deviations of a lag that its nodes reach to on either side.
const REACH: f64 = 4.0;
/// Nodes to a standard deviation.
const NODES: f64 = 3.0;
/// Below this a sum of plain likelihoods is summed again from logarithms.
const SMALL: f64 = 1e-280;

/// A lag in whole years and its chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LagNode {
    /// Years by which the club's fashion is ahead of its making; negative where it is behind.
    pub ahead: i32,
    /// Chance of that lag.
    pub chance: f64,
}

/// Nodes of a normal lag of mean 0 with this standard deviation in years: proportional to exp(-(l/s)^2/2), every year
/// for small s, otherwise three nodes to a standard deviation or to a row of `row_step` years, whichever is less, to 4
/// standard deviations; of none, the year itself. Tables bend at every row: nodes further apart would show as waves.
///
/// ```
/// use agewright_model::numbers::shared_lag::lag_nodes;
///
/// let nodes = lag_nodes(8.0, 10);
/// let variance: f64 = nodes.iter().map(|node| node.chance * f64::from(node.ahead).powi(2)).sum();
/// assert!((variance - 64.0).abs() < 0.1);
/// assert_eq!(lag_nodes(0.0, 10).len(), 1);
/// ```
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "a lag is some decades at the most")]
pub fn lag_nodes(sd: f64, row_step: i32) -> Vec<LagNode> {
    if sd.is_nan() || sd <= 0.0 {
        return vec![LagNode { ahead: 0, chance: 1.0 }];
    }
    let step = (sd / NODES).min(f64::from(row_step) / NODES).floor().max(1.0) as i32;
    let n = (REACH * sd / f64::from(step)).ceil() as i32;
    let density = |ahead: i32| (-0.5 * (f64::from(ahead) / sd).powi(2)).exp();
    let total: f64 = (-n..=n).map(|k| density(k * step)).sum();
    (-n..=n).map(|k| LagNode { ahead: k * step, chance: density(k * step) / total }).collect()
}

/// Chances of each lag by the year of making: from likelihoods by the year of fashion to likelihoods by the year of
/// making, l(y) = sum over lags of chance(lag, y) L(y + lag). Beyond the axis fashion is that of its first or last
/// year.
///
/// ```
/// use agewright_model::numbers::shared_lag::SharedLag;
///
/// let lag = SharedLag::normal(60, 5.0, 10);
/// // A step from impossible to certain becomes a slope: five years, one standard deviation, before it about 16 in 100.
/// let step: Vec<f64> = (0..60).map(|year| if year < 30 { 0.0 } else { 1.0 }).collect();
/// let mut slope = vec![0.0; 60];
/// lag.blur(&step, &mut Vec::new(), &mut slope);
/// assert!((0.1..0.2).contains(&slope[25]) && slope[0] < 1e-4 && slope[59] > 0.9999);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct SharedLag {
    /// Years ahead, and the chance of that by year.
    nodes: Vec<(i32, Vec<f64>)>,
}

impl SharedLag {
    /// The same normal lag, of this standard deviation, in every one of so many years, with rows of `row_step`.
    #[must_use]
    pub fn normal(n_years: usize, sd: f64, row_step: i32) -> Self {
        Self::from_nodes(&lag_nodes(sd, row_step), n_years)
    }

    /// The same lag, of these nodes, in every one of so many years.
    pub(crate) fn from_nodes(nodes: &[LagNode], n_years: usize) -> Self {
        Self { nodes: nodes.iter().map(|node| (node.ahead, vec![node.chance; n_years])).collect() }
    }

    /// Lags by year in proportion to weights, one list for each node; where all weights are 0, by the nodes' chances.
    pub(crate) fn by_year(nodes: &[LagNode], weights: &[Vec<f64>]) -> Self {
        let mut totals = vec![0.0; weights.first().map_or(0, Vec::len)];
        for own in weights {
            totals.iter_mut().zip(own).for_each(|(total, w)| *total += w);
        }
        let shares = |(node, own): (&LagNode, &Vec<f64>)| {
            let share = |(w, total): (&f64, &f64)| if *total > 0.0 { w / total } else { node.chance };
            (node.ahead, own.iter().zip(&totals).map(share).collect())
        };
        Self { nodes: nodes.iter().zip(weights).map(shares).collect() }
    }

    /// The same with the chance of each lag times something by the year of making.
    pub(crate) fn times(&self, by_lag: impl Fn(i32) -> Arc<[f64]>) -> Self {
        let node = |(ahead, chances): &(i32, Vec<f64>)| {
            (*ahead, chances.iter().zip(by_lag(*ahead).iter()).map(|(chance, value)| chance * value).collect())
        };
        Self { nodes: self.nodes.iter().map(node).collect() }
    }

    /// Whether there is any lag but one of no years.
    #[must_use]
    pub fn has_lag(&self) -> bool {
        self.without_lag().is_none()
    }

    /// The factor by year where there is no lag but one of no years; `None` where there is.
    pub(crate) fn without_lag(&self) -> Option<&[f64]> {
        match self.nodes.as_slice() {
            [(0, by_year)] => Some(by_year),
            _ => None,
        }
    }

    /// Years ahead or behind at the most.
    fn reach(&self) -> usize {
        self.nodes.iter().map(|(ahead, _)| ahead.unsigned_abs() as usize).max().unwrap_or(0)
    }

    /// l(y) into a list of its own, from plain likelihoods by the year of fashion. `padded` is room to work in.
    pub fn blur(&self, plain: &[f64], padded: &mut Vec<f64>, into: &mut [f64]) {
        let reach = self.reach();
        let (Some(&first), Some(&last)) = (plain.first(), plain.last()) else { return };
        padded.clear();
        padded.resize(reach, first);
        padded.extend_from_slice(plain);
        padded.resize(plain.len() + 2 * reach, last);
        into.fill(0.0);
        for (ahead, chances) in &self.nodes {
            let shift = reach.saturating_add_signed(*ahead as isize);
            for ((sum, chance), value) in into.iter_mut().zip(chances).zip(&padded[shift..]) {
                *sum += chance * value;
            }
        }
    }

    /// ln l(y) from ln L.
    #[must_use]
    pub fn blurred_ln(&self, ln: &[f64]) -> Vec<f64> {
        let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !top.is_finite() {
            return ln.to_vec();
        }
        let mut sums = vec![0.0; ln.len()];
        self.blur(&scaled_from_ln(ln), &mut Vec::new(), &mut sums);
        let in_ln = |(y, sum): (usize, &f64)| if *sum < SMALL { self.blurred_ln_at(ln, y) } else { top + sum.ln() };
        sums.iter().enumerate().map(in_ln).collect()
    }

    /// ln l(y) of one year, by logarithms alone.
    fn blurred_ln_at(&self, ln: &[f64], year: usize) -> f64 {
        let term = |(ahead, chances): &(i32, Vec<f64>)| chances[year].ln() + ln[moved(year, *ahead, ln.len())];
        ln_sum(&self.nodes.iter().map(term).collect::<Vec<f64>>())
    }

    /// Weight of each lag and year of making together: that of the year, times the chance of the lag, times the
    /// likelihood `plain` of the year of fashion that they make.
    #[must_use]
    pub fn together(&self, weights: &[f64], plain: &[f64]) -> Vec<LaggedWeights> {
        let node = |(ahead, chances): &(i32, Vec<f64>)| {
            let of_fashion = shifted(plain, *ahead);
            let product = weights.iter().zip(chances).zip(of_fashion).map(|((weight, chance), l)| weight * chance * l);
            LaggedWeights { ahead: *ahead, by_making: product.collect() }
        };
        self.nodes.iter().map(node).collect()
    }

    /// The same summed by the year of fashion.
    #[must_use]
    pub fn by_fashion(&self, weights: &[f64], plain: &[f64]) -> Vec<f64> {
        let (n, reach) = (weights.len(), self.reach());
        // Years beyond the axis are kept apart, and counted as its first or last year in the end.
        let mut padded = vec![0.0; n + 2 * reach];
        for (ahead, chances) in &self.nodes {
            let sums = &mut padded[reach.saturating_add_signed(*ahead as isize)..];
            sums.iter_mut().zip(weights).zip(chances).for_each(|((sum, weight), chance)| *sum += weight * chance);
        }
        let mut fashion = padded[reach..reach + n].to_vec();
        if let Some(first) = fashion.first_mut() {
            *first += padded[..reach].iter().sum::<f64>();
        }
        if let Some(last) = fashion.last_mut() {
            *last += padded[reach + n..].iter().sum::<f64>();
        }
        fashion.iter().zip(plain).map(|(weight, l)| weight * l).collect()
    }
}

/// Weights of the years of making under one lag.
#[derive(Debug, Clone, PartialEq)]
pub struct LaggedWeights {
    /// Years by which fashion is ahead.
    pub ahead: i32,
    /// One for each year of making.
    pub by_making: Vec<f64>,
}

/// The place so many years further on, within the axis.
pub(crate) fn moved(year: usize, ahead: i32, n_years: usize) -> usize {
    year.saturating_add_signed(ahead as isize).min(n_years - 1)
}

/// Values by the year of fashion as they are by the year of making under one lag.
pub(crate) fn shifted(by_fashion: &[f64], ahead: i32) -> Vec<f64> {
    (0..by_fashion.len()).map(|year| by_fashion[moved(year, ahead, by_fashion.len())]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bump(n: usize, at: f64, sd: f64) -> Vec<f64> {
        (0..n).map(|y| (-0.5 * ((y as f64 - at) / sd).powi(2)).exp()).collect()
    }

    /// A normal bump blurred by a normal lag is a normal bump of both variances (any handbook).
    #[test]
    fn variances_add() {
        for (sd, own) in [(3.0, 4.0), (8.0, 3.0), (12.0, 9.0)] {
            let lag = SharedLag::normal(200, sd, 10);
            let ln: Vec<f64> = bump(200, 100.0, own).iter().map(|v| v.ln()).collect();
            let got = lag.blurred_ln(&ln);
            let want = (own * own / (own * own + sd * sd)).sqrt();
            for (y, got) in got.iter().enumerate().take(140).skip(60) {
                let there = want * (-0.5 * (y as f64 - 100.0).powi(2) / (own * own + sd * sd)).exp();
                assert!((got.exp() - there).abs() < 2e-4, "sd {sd}, {own}, year {y}: {}, not {there}", got.exp());
            }
        }
    }

    /// Far in the tails the logarithms take over, and nothing becomes infinite.
    #[test]
    fn a_year_beyond_reach_keeps_a_finite_logarithm() {
        let lag = SharedLag::normal(200, 4.0, 10);
        let steep: Vec<f64> = (0..200).map(|y| -30.0 * f64::from(y)).collect();
        let got = lag.blurred_ln(&steep);
        assert!(got.iter().all(|v| v.is_finite()) && got.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9));
        // Where the whole reach lies inside, e to the 30 l is averaged: the same in every year, but for the slope.
        assert!((got[50] - steep[50] - (got[120] - steep[120])).abs() < 1e-6);
        assert_eq!(lag.blurred_ln(&[f64::NEG_INFINITY; 200]), [f64::NEG_INFINITY; 200]);
    }

    /// What is blurred one way is weighed the other: sum w(y) l(y) = sum over years of fashion.
    #[test]
    fn both_directions_are_one_matrix() {
        let nodes = lag_nodes(2.5, 10);
        let uneven: Vec<Vec<f64>> = (0..nodes.len())
            .map(|j| (0..40).map(|y| nodes[j].chance * (1.0 + ((y * j) % 5) as f64)).collect())
            .collect();
        for lag in [SharedLag::normal(40, 2.5, 10), SharedLag::by_year(&nodes, &uneven)] {
            let (likelihood, weights) = (bump(40, 38.0, 5.0), bump(40, 10.0, 20.0));
            let mut there = vec![0.0; 40];
            lag.blur(&likelihood, &mut Vec::new(), &mut there);
            let a: f64 = there.iter().zip(&weights).map(|(l, w)| l * w).sum();
            let b: f64 = lag.by_fashion(&weights, &likelihood).iter().sum();
            assert!((a - b).abs() < 1e-12, "{a} and {b}");
            let mut ones = vec![0.0; 40];
            lag.blur(&[1.0; 40], &mut Vec::new(), &mut ones);
            assert!(ones.iter().all(|v| (v - 1.0).abs() < 1e-12), "chances of all lags are 1 in every year");
        }
    }

    /// However long the lag, what it makes of a narrow likelihood is what every year of lag would.
    #[test]
    fn a_long_lag_is_as_smooth_as_one_of_every_year() {
        let likelihood = bump(190, 95.0, 3.0);
        for sd in [5.0, 10.0, 20.0, 40.0, 100.0] {
            let mut got = vec![0.0; 190];
            SharedLag::normal(190, sd, 10).blur(&likelihood, &mut Vec::new(), &mut got);
            let mut want = vec![0.0; 190];
            let nodes: Vec<LagNode> = lag_nodes(sd, 1);
            assert_eq!(nodes[1].ahead - nodes[0].ahead, 1);
            SharedLag::from_nodes(&nodes, 190).blur(&likelihood, &mut Vec::new(), &mut want);
            let top = want.iter().copied().fold(0.0, f64::max);
            for (year, (got, want)) in got.iter().zip(&want).enumerate() {
                assert!((got - want).abs() < 1e-3 * top, "sd {sd}, year {year}: {got}, not {want}");
            }
        }
    }
}
