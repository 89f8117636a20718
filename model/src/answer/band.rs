//! Bands: the shortest sets of years that hold a stated share of the probability.

use crate::numbers::axis::Axis;

/// The levels that bands are given at; no others.
pub const CREDIBLE_LEVELS: [f64; 3] = [0.5, 0.8, 0.95];

/// Pieces of a band that lie closer than this many years are read as one.
const CLOSED_GAP: i32 = 5;
/// Two pieces with this share each are two answers.
const MODE_SHARE: f64 = 0.1;

/// A run of years, both ends inclusive, with its probability. The year behind the axis stands for all that are after
/// it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// Probability of the run.
    pub probability: f64,
}

/// A credible band: a set of years in one or more runs.
///
/// ```
/// use agewright_model::{Axis, Posterior};
///
/// let axis = Axis::new(1800, 1850, 10).unwrap();
/// // Two short times, equally likely.
/// let ln: Vec<f64> = axis.years().map(|y| if y < 1805 || y > 1840 { 0.0 } else { -50.0 }).collect();
/// let band = Posterior::new(axis, &[&ln]).band(0.95);
/// assert_eq!((band.from(), band.to(), band.modes().len()), (1800, 1849, 2));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Share of the probability that it holds at least, 0 to 1.
    pub level: f64,
    /// Its runs in order of years; never empty.
    pub intervals: Vec<Interval>,
}

impl Band {
    /// The shortest set of years with at least `level` of the probability: years by falling probability, ties to the
    /// earlier year, then gaps under five years closed. What is after the axis comes last, as one year of it, and is
    /// taken for as long as a row: it has no end, and would else stand in nearly every band as a year of its own.
    pub(crate) fn shortest(axis: Axis, probability: &[f64], after: Option<f64>, level: f64) -> Self {
        let n = probability.len();
        let probability: Vec<f64> = probability.iter().copied().chain(after).collect();
        let mut order: Vec<usize> = (0..probability.len()).collect();
        // Years that differ by rounding alone are tied; a stable sort then keeps the earlier first.
        let a_year = |ix: usize| probability[ix] / if ix < n { 1.0 } else { f64::from(axis.step()) };
        let key = |ix: usize| (a_year(ix) * 1e15).round();
        order.sort_by(|&a, &b| key(b).total_cmp(&key(a)));
        let mut chosen = vec![false; probability.len()];
        let mut sum = 0.0;
        for ix in order {
            if sum > 0.0 && sum >= level - 1e-12 {
                break;
            }
            sum += probability[ix];
            chosen[ix] = true;
        }
        Self { level, intervals: interval_pieces(axis, &probability, &chosen) }
    }

    /// First year of the band.
    #[must_use]
    pub fn from(&self) -> i32 {
        self.intervals.first().map_or(0, |piece| piece.from)
    }

    /// Last year of the band.
    #[must_use]
    pub fn to(&self) -> i32 {
        self.intervals.last().map_or(0, |piece| piece.to)
    }

    /// Number of years in it.
    #[must_use]
    pub fn n_years(&self) -> i32 {
        self.intervals.iter().map(|piece| piece.to - piece.from + 1).sum()
    }

    /// Whether a year is in the band.
    #[must_use]
    pub fn contains(&self, year: i32) -> bool {
        self.intervals.iter().any(|piece| (piece.from..=piece.to).contains(&year))
    }

    /// The answers that the band is split into: its pieces of at least a tenth of the probability each. One or none
    /// means that there is one answer, and the list is empty.
    #[must_use]
    pub fn modes(&self) -> Vec<Interval> {
        let modes: Vec<Interval> =
            self.intervals.iter().filter(|piece| piece.probability >= MODE_SHARE).copied().collect();
        if modes.len() < 2 { Vec::new() } else { modes }
    }
}

/// Runs of the chosen years, gaps under five years closed, with the probability of each run.
fn interval_pieces(axis: Axis, probability: &[f64], chosen: &[bool]) -> Vec<Interval> {
    let mut pieces: Vec<Interval> = Vec::new();
    // The place behind the last year is that of all years after it.
    let year_at = |ix: usize| if ix < axis.n_years() { axis.year_at(ix) } else { axis.to() };
    let ix_of = |year: i32| if year < axis.to() { axis.year_ix(year) } else { Some(axis.n_years()) };
    for ix in (0..chosen.len()).filter(|&ix| chosen[ix]) {
        let year = year_at(ix);
        match pieces.last_mut() {
            Some(piece) if year - piece.to <= CLOSED_GAP => piece.to = year,
            _ => pieces.push(Interval { from: year, to: year, probability: 0.0 }),
        }
    }
    for piece in &mut pieces {
        let ixs = ix_of(piece.from).zip(ix_of(piece.to));
        piece.probability = ixs.map_or(0.0, |(a, b)| probability[a..=b].iter().sum());
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis() -> Axis {
        Axis::new(1800, 1860, 10).unwrap()
    }

    fn spikes(at: &[(i32, f64)]) -> Vec<f64> {
        let mut p = vec![0.0; 60];
        for &(year, share) in at {
            p[axis().year_ix(year).unwrap()] = share;
        }
        p
    }

    #[test]
    fn ties_go_to_the_earlier_year() {
        let flat = vec![1.0 / 60.0; 60];
        let band = Band::shortest(axis(), &flat, None, 0.5);
        assert_eq!((band.from(), band.to()), (1800, 1829));
    }

    #[test]
    fn gaps_under_five_years_close_and_wider_ones_stay() {
        let near = Band::shortest(axis(), &spikes(&[(1810, 0.5), (1815, 0.5)]), None, 0.95);
        assert_eq!(near.intervals.len(), 1, "1811-14 is a gap of four years");
        let far = Band::shortest(axis(), &spikes(&[(1810, 0.5), (1816, 0.5)]), None, 0.95);
        assert_eq!(far.intervals.len(), 2, "1811-15 is a gap of five years");
        assert_eq!(far.modes().len(), 2, "what is printed as two pieces is two answers");
    }

    #[test]
    fn two_answers_need_a_tenth_each_and_a_gap_that_is_printed() {
        let band = |p: &[(i32, f64)]| Band::shortest(axis(), &spikes(p), None, 0.95);
        assert_eq!(band(&[(1810, 0.6), (1840, 0.4)]).modes().len(), 2);
        assert!(band(&[(1810, 0.92), (1840, 0.08)]).modes().is_empty());
        assert!(band(&[(1810, 0.5), (1815, 0.5)]).modes().is_empty(), "a gap of four years is closed");
        let bridged = band(&[(1810, 0.5), (1819, 0.04), (1828, 0.46)]);
        assert_eq!(bridged.modes().len(), 2, "a piece too small to be an answer is no bridge between two");
    }

    #[test]
    fn what_is_after_the_axis_is_its_latest_year_and_as_long_as_a_row() {
        let band = |p: &[(i32, f64)], after| Band::shortest(axis(), &spikes(p), Some(after), 0.8);
        let reached = band(&[(1857, 0.48), (1830, 0.02)], 0.5);
        let pieces: Vec<(i32, i32)> = reached.intervals.iter().map(|piece| (piece.from, piece.to)).collect();
        assert_eq!(pieces, [(1857, 1860)], "1858 and 1859 are a gap of two years");
        assert!((reached.intervals[0].probability - 0.98).abs() < 1e-12);
        // Of ten years each with less it stands behind all with more.
        let evenly: Vec<(i32, f64)> = (0..40).map(|y| (1800 + y, 0.9 / 40.0)).collect();
        assert_eq!(band(&evenly, 0.1).to(), 1835);
        let evenly: Vec<(i32, f64)> = (0..40).map(|y| (1800 + y, 0.7 / 40.0)).collect();
        assert_eq!(band(&evenly, 0.3).to(), 1860);
    }
}
