//! How far apart two readings of a clue lie on the shelf.

use crate::numbers::normal::normal_density;
use crate::reading::cell::{Reading, Seen};
use crate::reading::clue::Clue;
use crate::reading::misread::misread_of;
use crate::tables::measured_block::ln_density_misread;
use std::f64::consts::PI;

/// Distance of a measure from a club that has none: the mean between two normal readings.
const UNKNOWN_MEASURE: f64 = 2.0;
/// Distance of two levels that differ, and of a level from a club that has none.
const OTHER_LEVEL: f64 = 2.4;
const UNKNOWN_LEVEL: f64 = 1.2;
/// A feature is cut at so many standard deviations.
const FURTHEST: f64 = 4.0;
/// Readings no further apart than this are the same.
const SAME: f64 = 1e-9;
/// Levels that a clue of the shelf has at the most.
pub const MOST_LEVELS: usize = 128;

/// How the readings of a clue are placed and compared.
#[derive(Debug, Clone, PartialEq)]
pub enum ShelfScale {
    /// By their distance in standard deviations of the dated clubs, on the clue's own scale.
    Measured {
        /// Mean of the dated clubs.
        centre: f64,
        /// Standard deviation of the dated clubs.
        spread: f64,
        /// Whether readings repeat, so that the same or not counts beside the distance.
        repeats: bool,
    },
    /// By whether they differ.
    Levels {
        /// Share of each level among the dated clubs.
        shares: Vec<f64>,
    },
}

/// A reading in its place on the shelf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    seen: PlacedSeen,
    /// How far it is doubted, 0 to 1: marked so, beyond what the clue's readings usually are; a measure by its place
    /// too. So far it is as good as none.
    doubt: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum PlacedSeen {
    /// Standard deviations from the mean, and the variance of what is not known of it beyond the usual.
    Measure { place: f64, variance: f64 },
    /// One of these levels.
    Levels(u128),
}

/// Chance that a measure is misread, by its place among the dated clubs alone: e q/((1 - e) N(place) + e q), q the
/// density of a misread one in the tables.
fn misread_at(place: f64, misread: f64) -> f64 {
    let wrong = misread * ln_density_misread(place, 0.0, 1.0).exp();
    let right = (1.0 - misread) * normal_density(place);
    if wrong + right > 0.0 { wrong / (wrong + right) } else { f64::from(misread > 0.0) }
}

impl ShelfScale {
    /// Rows of distances that a clue has: of a measure whose readings repeat two, the same or not, then how far; of all
    /// others one.
    #[must_use]
    pub fn n_rows(&self) -> usize {
        if matches!(self, Self::Measured { repeats: true, .. }) { 2 } else { 1 }
    }

    /// Features that a clue has: of a measure its place, of levels an indicator each.
    #[must_use]
    pub fn n_features(&self) -> usize {
        match self {
            Self::Measured { .. } => 1,
            Self::Levels { shares } => shares.len(),
        }
    }

    /// Places a reading; `None` for one that is not of the clue's kind, or may be any of its levels.
    #[must_use]
    pub fn placed(&self, clue: &Clue, reading: &Reading) -> Option<Placed> {
        let (usual, own) = (clue.misread, misread_of(clue.misread, reading));
        let mut doubt = if usual < 1.0 { ((own - usual) / (1.0 - usual)).clamp(0.0, 1.0) } else { 0.0 };
        let seen = match (self, &reading.seen) {
            (Self::Measured { centre, spread, .. }, Seen::Measure { value, tolerance }) => {
                let error = |tolerance: f64| clue.scale.error(tolerance, *value) / spread;
                let tolerance = tolerance.unwrap_or(0.0).max(clue.usual_error());
                let variance = (error(tolerance).powi(2) - error(clue.usual_error()).powi(2)).max(0.0);
                let place = (clue.scale.place(*value)? - centre) / spread;
                doubt = 1.0 - (1.0 - doubt) * (1.0 - misread_at(place, usual));
                PlacedSeen::Measure { place, variance }
            }
            (Self::Levels { shares }, Seen::Levels(levels)) => {
                let n = shares.len().min(MOST_LEVELS);
                let seen = levels.iter().filter(|level| **level < n).fold(0_u128, |all, level| all | (1 << level));
                // Any level that there is at all is none.
                if (0..n).all(|level| seen & (1 << level) != 0 || shares[level] <= 0.0) {
                    return None;
                }
                PlacedSeen::Levels(seen)
            }
            _ => return None,
        };
        Some(Placed { seen, doubt })
    }

    /// Distance of a row between a club and one of the shelf, which may have no reading of the clue.
    ///
    /// Measures: sqrt(pi) u, u = |x - x_i| in standard deviations; the same or not: 0 or 2; none read on the dated
    /// club: 2. Levels: 0 where they share one, else 2.4; none read: 1.2. As far as either is doubted, and as v/(1 + v)
    /// for tolerances of a variance v beyond the usual, the distance is that of none read.
    #[must_use]
    pub fn distance(&self, row: usize, own: &Placed, theirs: Option<&Placed>) -> f64 {
        let unknown = if matches!(self, Self::Measured { .. }) { UNKNOWN_MEASURE } else { UNKNOWN_LEVEL };
        let Some(theirs) = theirs else { return unknown };
        let mut sure = (1.0 - own.doubt) * (1.0 - theirs.doubt);
        let plain = match (own.seen, theirs.seen) {
            (PlacedSeen::Measure { place: a, variance: v }, PlacedSeen::Measure { place: b, variance: w }) => {
                sure /= 1.0 + v + w;
                if row + 1 < self.n_rows() {
                    if (a - b).abs() > SAME { UNKNOWN_MEASURE } else { 0.0 }
                } else {
                    PI.sqrt() * (a - b).abs()
                }
            }
            (PlacedSeen::Levels(a), PlacedSeen::Levels(b)) => {
                if a & b == 0 {
                    OTHER_LEVEL
                } else {
                    0.0
                }
            }
            _ => unknown,
        };
        sure * plain + (1.0 - sure) * unknown
    }

    /// A reading's features: a measure's place, drawn to the mean as far as its tolerance is wider than usual (what its
    /// true place is expected to be), cut at 4; each level's indicator less its share, one of several levels
    /// shared among them by their shares. As far as it is doubted they are 0, as of none read.
    pub fn features(&self, placed: &Placed) -> Vec<f64> {
        let sure = 1.0 - placed.doubt;
        match (self, placed.seen) {
            (Self::Measured { .. }, PlacedSeen::Measure { place, variance }) => {
                vec![sure * (place / (1.0 + variance)).clamp(-FURTHEST, FURTHEST)]
            }
            (Self::Levels { shares }, PlacedSeen::Levels(levels)) => {
                let is_seen = |level: usize| level < MOST_LEVELS && levels & (1 << level) != 0;
                let seen: Vec<f64> = (0..shares.len()).map(|level| f64::from(is_seen(level))).collect();
                let n: f64 = seen.iter().sum();
                let total: f64 = seen.iter().zip(shares).map(|(seen, share)| seen * share).sum();
                let of = |(seen, share): (&f64, &f64)| {
                    // One of levels that no dated club shows may be any of them.
                    let own = if total > 0.0 { share / total } else { 1.0 / n };
                    sure * (seen * own - share)
                };
                seen.iter().zip(shares).map(of).collect()
            }
            _ => vec![0.0; self.n_features()],
        }
    }

    /// Whether two readings agree: they share a level, or lie within half a standard deviation of the dated clubs.
    #[must_use]
    pub fn agree(&self, own: &Placed, theirs: &Placed) -> bool {
        match (own.seen, theirs.seen) {
            (PlacedSeen::Measure { place: a, .. }, PlacedSeen::Measure { place: b, .. }) => (a - b).abs() <= 0.5,
            (PlacedSeen::Levels(a), PlacedSeen::Levels(b)) => a & b != 0,
            _ => false,
        }
    }
}
