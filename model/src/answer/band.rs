//! Bands: the shortest sets of years that hold a stated share of the probability.

use crate::numbers::axis::Axis;

/// The levels that bands are given at; no others.
pub const CREDIBLE_LEVELS: [f64; 3] = [0.5, 0.8, 0.95];

/// Pieces of a band that lie closer than this many years are read as one.
const CLOSED_GAP: usize = 5;
/// A single run is given in place of several while it is at most so many times as long.
const MOST_LONGER: f64 = 1.25;
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
    /// earlier year. Where that is no single run, the shortest run instead if it is at most 1.25 times as long: a dip
    /// that means nothing makes no two answers; otherwise gaps under five years are closed. A band lies within those of
    /// the levels above it.
    ///
    /// What is after the axis comes last, as one year of it, and is taken for as long as a row: it has no end, and
    /// would else stand in nearly every band as a year of its own.
    pub(crate) fn shortest(axis: Axis, probability: &[f64], after: Option<f64>, level: f64) -> Self {
        let n = probability.len();
        let probability: Vec<f64> = probability.iter().copied().chain(after).collect();
        let years = Years { axis, length: |ix: usize| if ix < n { 1.0 } else { f64::from(axis.step()) }, probability };
        let mut within = vec![true; years.probability.len()];
        for outer in CREDIBLE_LEVELS.into_iter().rev().filter(|outer| *outer > level) {
            within = years.chosen(outer, &within);
        }
        Self { level, intervals: years.pieces(&years.chosen(level, &within)) }
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

/// Probabilities by place: the years of the axis, and behind them what is after it.
struct Years<L> {
    axis: Axis,
    /// Length of a place in years.
    length: L,
    probability: Vec<f64>,
}

impl<L: Fn(usize) -> f64> Years<L> {
    /// The places of a band of this level, among those that may be chosen.
    fn chosen(&self, level: f64, within: &[bool]) -> Vec<bool> {
        let Self { probability, length, .. } = self;
        let mut order: Vec<usize> = (0..probability.len()).filter(|&ix| within[ix]).collect();
        // Years that differ by rounding alone are tied; a stable sort then keeps the earlier first.
        let key = |ix: usize| (probability[ix] / length(ix) * 1e15).round();
        order.sort_by(|&a, &b| key(b).total_cmp(&key(a)));
        let mut chosen = vec![false; probability.len()];
        let (mut sum, mut years, mut taken) = (0.0, 0.0, 0);
        for &ix in &order {
            if sum > 0.0 && sum >= level - 1e-12 {
                break;
            }
            sum += probability[ix];
            years += length(ix);
            chosen[ix] = true;
            taken += 1;
        }
        // What is after the axis comes in as a whole: years that were taken before it may no longer be needed.
        for &ix in order[..taken].iter().rev() {
            if sum - probability[ix] >= level - 1e-12 && sum > probability[ix] {
                sum -= probability[ix];
                years -= length(ix);
                chosen[ix] = false;
            }
        }
        if chosen.chunk_by(|a, b| a == b).filter(|run| run[0]).count() > 1 {
            match self.shortest_run(level, within) {
                Some((from, to, run)) if run <= MOST_LONGER * years => {
                    return (0..probability.len()).map(|ix| (from..=to).contains(&ix)).collect();
                }
                _ => close_gaps(&mut chosen, within),
            }
        }
        chosen
    }

    /// First and last place and length of the shortest run of places with at least `level` of the probability, all of
    /// them among those that may be chosen; of several the earliest.
    fn shortest_run(&self, level: f64, within: &[bool]) -> Option<(usize, usize, f64)> {
        let mut best: Option<(usize, usize, f64)> = None;
        let (mut from, mut sum, mut years) = (0, 0.0, 0.0);
        for (to, p) in self.probability.iter().enumerate() {
            if !within[to] {
                (from, sum, years) = (to + 1, 0.0, 0.0);
                continue;
            }
            sum += p;
            years += (self.length)(to);
            while from < to && sum - self.probability[from] >= level - 1e-12 {
                sum -= self.probability[from];
                years -= (self.length)(from);
                from += 1;
            }
            if sum >= level - 1e-12 && best.is_none_or(|(_, _, shortest)| years < shortest) {
                best = Some((from, to, years));
            }
        }
        best
    }

    /// Runs of the chosen places with their probability; the place behind the last year is that of all years after it.
    fn pieces(&self, chosen: &[bool]) -> Vec<Interval> {
        let year_at = |ix: usize| if ix < self.axis.n_years() { self.axis.year_at(ix) } else { self.axis.to() };
        let mut pieces: Vec<Interval> = Vec::new();
        for ix in (0..chosen.len()).filter(|&ix| chosen[ix]) {
            let (year, probability) = (year_at(ix), self.probability[ix]);
            match pieces.last_mut() {
                Some(piece) if year == piece.to + 1 => {
                    piece.to = year;
                    piece.probability += probability;
                }
                _ => pieces.push(Interval { from: year, to: year, probability }),
            }
        }
        pieces
    }
}

/// Chooses the places of gaps under five years too, where they may be chosen.
fn close_gaps(chosen: &mut [bool], within: &[bool]) {
    let mut last: Option<usize> = None;
    for ix in 0..chosen.len() {
        if !chosen[ix] {
            continue;
        }
        if let Some(last) = last.filter(|last| ix - last <= CLOSED_GAP && within[*last..ix].iter().all(|may| *may)) {
            chosen[last..ix].fill(true);
        }
        last = Some(ix);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is after the axis comes in as one piece: with it, some of the years that were taken before can go.
    #[test]
    fn a_band_holds_no_years_that_it_can_do_without() {
        for after in [0.05, 0.1, 0.2, 0.3, 0.5] {
            // Rising years: the latest are the likeliest, and what is after them is likelier by the year, or less so.
            let total: f64 = (1..=60).map(|place| f64::from(place * place)).sum();
            let years: Vec<f64> = (1..=60).map(|place| f64::from(place * place) * (1.0 - after) / total).collect();
            let band = Band::shortest(axis(), &years, Some(after), 0.8);
            let held: f64 = band.intervals.iter().map(|piece| piece.probability).sum();
            let first = years[axis().year_ix(band.from()).unwrap()];
            assert!(held >= 0.8 - 1e-12 && held - first < 0.8, "{after}: {held}, and {first} of it could go");
        }
    }

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

    /// Against a search of all runs and all sets.
    #[test]
    fn one_run_stands_for_several_while_it_is_little_longer() {
        let hump = |dip: f64| -> Vec<(i32, f64)> {
            let weight = |y: i32| if (1826..1832).contains(&y) { dip } else { 1.0 };
            let total: f64 = (1815..1845).map(weight).sum();
            (1815..1845).map(|y| (y, weight(y) / total)).collect()
        };
        let band = |dip: f64| Band::shortest(axis(), &spikes(&hump(dip)), None, 0.9);
        // 24 years at 1 and six in the dip: 24.9 + of 27.6 are 25 years, some in the dip; a run of 28 holds as much.
        assert_eq!(band(0.6).intervals.len(), 1);
        // Without the dip's years 22 are enough, and the shortest run is 28: longer by more than a quarter.
        let split = band(0.0);
        let pieces: Vec<(i32, i32)> = split.intervals.iter().map(|piece| (piece.from, piece.to)).collect();
        assert_eq!(pieces, [(1815, 1825), (1832, 1842)]);
        for dip in [0.0, 0.3, 0.6, 0.8] {
            let (p, band) = (spikes(&hump(dip)), band(dip));
            let held = |from: usize, to: usize| p[from..=to].iter().sum::<f64>();
            let all = (0..60).flat_map(|from| (from..60).map(move |to| (from, to)));
            let run = all.filter(|&(from, to)| held(from, to) >= 0.9 - 1e-12).map(|(from, to)| to - from + 1).min();
            let mut sorted = p.clone();
            sorted.sort_by(|a, b| b.total_cmp(a));
            let set = (1..=60).find(|&n| sorted[..n].iter().sum::<f64>() >= 0.9 - 1e-12).unwrap();
            let is_one = run.unwrap() as f64 <= 1.25 * set as f64;
            assert_eq!(band.intervals.len() == 1, is_one, "dip {dip}");
            if is_one {
                assert_eq!(band.n_years() as usize, run.unwrap(), "dip {dip}");
            }
        }
    }

    /// A run that stands for two pieces may leave out years of a narrower band; then those are left out of that too.
    #[test]
    fn bands_lie_within_one_another() {
        // A spike far out, a broad hill, and a dip in it.
        for (spike, dip) in [(0.09, 0.3), (0.15, 0.2), (0.25, 0.5), (0.02, 0.9)] {
            let mut p: Vec<f64> = (0..60).map(|y| if (20..50).contains(&y) { 1.0 } else { 0.01 }).collect();
            p[30..36].fill(dip);
            p[17] = spike * 30.0;
            let total: f64 = p.iter().sum();
            let posterior: Vec<f64> = p.iter().map(|v| v / total).collect();
            let bands = CREDIBLE_LEVELS.map(|level| Band::shortest(axis(), &posterior, None, level));
            for pair in bands.windows(2) {
                for year in axis().years().filter(|year| pair[0].contains(*year)) {
                    assert!(pair[1].contains(year), "{year}: {pair:?}");
                }
            }
            for band in &bands {
                assert!(band.intervals.iter().map(|piece| piece.probability).sum::<f64>() >= band.level - 1e-9);
            }
        }
    }
}
