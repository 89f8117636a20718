//! Head, shaft and grip together: a shaft is the head's own or a later one, a grip the shaft's own or a later one.

use crate::numbers::axis::Axis;
use crate::reading::catalogue::Part;
use crate::reading::cell::{Reading, Seen};
use thiserror::Error;

/// What is taken to be known of how parts belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct PartsModel {
    /// Chance by the head's year that its shaft was replaced.
    pub shaft_replaced: Replacement,
    /// Chance by the shaft's year that its grip was replaced.
    pub grip_replaced: Replacement,
    /// Direct signs of a replacement: a second pin hole, a step at the rim.
    pub signs: Vec<SignTable>,
}

/// Chance of a replacement by the year of what it belongs to: linear between the points, constant outside.
#[derive(Debug, Clone, PartialEq)]
pub struct Replacement {
    /// (year, chance), in the order of years.
    pub points: Vec<(i32, f64)>,
}

/// How a sign looks on an original part and on a replacement.
#[derive(Debug, Clone, PartialEq)]
pub struct SignTable {
    /// The clue's id; its part says which replacement it is a sign of.
    pub clue: String,
    /// Shaft or grip.
    pub part: Part,
    /// Chance of misreading.
    pub misread: f64,
    /// Share of each level among original parts.
    pub original: Vec<f64>,
    /// Share of each level among replacements.
    pub replaced: Vec<f64>,
}

/// Why a parts model is refused.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum PartsError {
    /// A chance outside 0.001 to 0.999, or no chance at all.
    #[error("chance of a later {part} at {year} = {chance}: it must lie between 0.001 and 0.999")]
    Chance {
        /// The part.
        part: &'static str,
        /// The year.
        year: i32,
        /// The chance.
        chance: f64,
    },
    /// Years out of order, or none.
    #[error("chances of a later {0}: give a year or more, in their order")]
    Years(&'static str),
    /// Shares that make no sense.
    #[error("sign \"{0}\": the shares of original and replaced must each sum to 1, none of them below 0.001")]
    Shares(String),
}

/// Years between a head and its own shaft, or a shaft and its own grip, with their chances: parts lie in stock.
const OWN_LAG: [f64; 3] = [0.7, 0.2, 0.1];
/// Share of replacements that are of any year whatever: an old shaft put into a newer head, a part from another club.
const ANY_YEAR: f64 = 0.03;
const LEAST: f64 = 0.001;

impl PartsModel {
    /// Checks every number.
    ///
    /// # Errors
    /// [`PartsError`] with the first that makes no sense.
    pub fn check(&self) -> Result<(), PartsError> {
        for (part, replaced) in [(Part::Shaft, &self.shaft_replaced), (Part::Grip, &self.grip_replaced)] {
            let part = part.word();
            if replaced.points.is_empty() || !replaced.points.is_sorted_by(|a, b| a.0 < b.0) {
                return Err(PartsError::Years(part));
            }
            if let Some(&(year, chance)) = replaced.points.iter().find(|p| !(LEAST..=1.0 - LEAST).contains(&p.1)) {
                return Err(PartsError::Chance { part, year, chance });
            }
        }
        for sign in &self.signs {
            let sound = |shares: &[f64]| {
                (shares.iter().sum::<f64>() - 1.0).abs() < 1e-6 && shares.iter().all(|share| *share >= LEAST)
            };
            if !sound(&sign.original) || !sound(&sign.replaced) {
                return Err(PartsError::Shares(sign.clue.clone()));
            }
        }
        Ok(())
    }

    /// Table of a sign.
    #[must_use]
    pub fn sign(&self, clue: &str) -> Option<&SignTable> {
        self.signs.iter().find(|sign| sign.clue == clue)
    }
}

impl Replacement {
    /// Chance at each year of an axis.
    pub(crate) fn by_year(&self, axis: Axis) -> Vec<f64> {
        axis.years().map(|year| self.at(year)).collect()
    }

    fn at(&self, year: i32) -> f64 {
        let next = self.points.iter().position(|(at, _)| *at > year);
        match next {
            None => self.points.last().map_or(0.5, |point| point.1),
            Some(0) => self.points[0].1,
            Some(next) => {
                let ((a, low), (b, high)) = (self.points[next - 1], self.points[next]);
                low + (high - low) * f64::from(year - a) / f64::from(b - a)
            }
        }
    }
}

impl SignTable {
    /// Likelihood of a reading on an original part and on a replacement: (1 - e) P + e q, q the mean of both.
    pub(crate) fn likelihoods(&self, reading: &Reading) -> [f64; 2] {
        let Seen::Levels(levels) = &reading.seen else { return [1.0; 2] };
        let misread = crate::reading::misread::misread_of(self.misread, reading);
        let share = |shares: &[f64]| levels.iter().map(|&k| shares[k]).sum::<f64>();
        let (original, replaced) = (share(&self.original), share(&self.replaced));
        let wrong = misread * f64::midpoint(original, replaced);
        [original, replaced].map(|right| (1.0 - misread) * right + wrong)
    }
}

/// From the year of a part to that of the part fixed to it: (1 - pi) own + pi later, with the signs' likelihoods on either
/// side.
#[derive(Debug, Clone)]
pub(crate) struct Joining {
    /// pi by the year of what it is fixed to.
    pub replaced: Vec<f64>,
}

/// A joining's two ways, each the sum over years of the fixed part of its chance times something by year.
pub(crate) struct TwoWays {
    /// (1 - pi(y)) sum over own years.
    pub own: Vec<f64>,
    /// pi(y) sum over later years.
    pub later: Vec<f64>,
}

impl Joining {
    /// Sums `value` over the years of the fixed part, for each year of what it is fixed to.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn sums(&self, value: &[f64]) -> TwoWays {
        let n = value.len();
        let total: f64 = value.iter().sum::<f64>() / n as f64;
        let mut after = vec![0.0; n + 1];
        for y in (0..n).rev() {
            after[y] = after[y + 1] + value[y];
        }
        let own = |y: usize| {
            let lags = OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n);
            let (sum, share) = lags.fold((0.0, 0.0), |(s, w), (lag, p)| (s + p * value[y + lag], w + p));
            sum / share
        };
        let later = |y: usize| {
            let from = (y + OWN_LAG.len()).min(n - 1);
            (1.0 - ANY_YEAR) * after[from] / (n - from) as f64 + ANY_YEAR * total
        };
        TwoWays {
            own: (0..n).map(|y| (1.0 - self.replaced[y]) * own(y)).collect(),
            later: (0..n).map(|y| self.replaced[y] * later(y)).collect(),
        }
    }

    /// The other direction: weights by the year of what it is fixed to, carried to the years of the fixed part, each way.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn carried(&self, weight: &[f64], signs: [f64; 2]) -> Vec<f64> {
        let n = weight.len();
        let mut carried = vec![0.0; n];
        let (mut anywhere, mut running) = (0.0, vec![0.0; n + 1]);
        for (y, w) in weight.iter().enumerate() {
            let own = signs[0] * w * (1.0 - self.replaced[y]);
            let share: f64 = OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n).map(|(_, p)| p).sum();
            for (lag, p) in OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n) {
                carried[y + lag] += own * p / share;
            }
            let later = signs[1] * w * self.replaced[y];
            let from = (y + OWN_LAG.len()).min(n - 1);
            running[from] += (1.0 - ANY_YEAR) * later / (n - from) as f64;
            anywhere += ANY_YEAR * later / n as f64;
        }
        let mut sum = 0.0;
        for (place, value) in carried.iter_mut().enumerate() {
            sum += running[place];
            *value += sum + anywhere;
        }
        carried
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joining() -> Joining {
        Joining { replaced: vec![0.3; 20] }
    }

    #[test]
    fn what_is_fixed_has_some_year() {
        let ways = joining().sums(&[1.0; 20]);
        for (own, later) in ways.own.iter().zip(&ways.later) {
            assert!((own - 0.7).abs() < 1e-12 && (later - 0.3).abs() < 1e-12);
        }
    }

    #[test]
    fn both_directions_are_one_matrix() {
        let (a, b): (Vec<f64>, Vec<f64>) =
            ((0..20).map(|y| f64::from(y % 7)).collect(), (0..20).map(|y| f64::from((y * 3) % 5)).collect());
        let ways = joining().sums(&b);
        let there: f64 =
            a.iter().zip(ways.own.iter().zip(&ways.later)).map(|(a, (o, l))| a * (2.0 * o + 0.5 * l)).sum();
        let back: f64 = joining().carried(&a, [2.0, 0.5]).iter().zip(&b).map(|(c, b)| c * b).sum();
        assert!((there - back).abs() < 1e-9, "{there} and {back}");
    }
}
