//! Head, shaft and grip together: a shaft is the head's own or a later one, a grip the shaft's own or a later one.

use crate::numbers::axis::Axis;
use crate::numbers::between::between;
use crate::reading::cell::{Reading, Seen};
use crate::reading::document_path::DocumentPath;
use crate::reading::misread::misread_of;
use crate::reading::part::Part;
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
    /// Exponent that signs count with, 0 to 1.2: that of the rules they are of.
    pub sign_weight: f64,
}

/// Chance of a replacement by the year of what it belongs to: linear between the points, constant outside.
#[derive(Debug, Clone, PartialEq)]
pub struct Replacement {
    /// (year, chance), in the order of years.
    pub points: Vec<(f64, f64)>,
}

/// How a sign looks on an original part and on a replacement.
#[derive(Debug, Clone, PartialEq)]
pub struct SignTable {
    /// The clue's id; its part (shaft or grip) says which replacement it is a sign of.
    pub clue: String,
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
        year: f64,
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

const LEAST: f64 = 0.001;

impl PartsModel {
    /// Checks every number.
    ///
    /// # Errors
    /// [`PartsError`] with the place in the document where it stands.
    pub fn check(&self) -> Result<(), (DocumentPath, PartsError)> {
        let both =
            [(Part::Shaft, "shaft_replaced", &self.shaft_replaced), (Part::Grip, "grip_replaced", &self.grip_replaced)];
        for (part, key, replaced) in both {
            let (part, path) = (part.word(), DocumentPath::key("parts").then(key));
            let is_year = |point: &(f64, f64)| point.0.is_finite();
            if replaced.points.is_empty()
                || !replaced.points.iter().all(is_year)
                || !replaced.points.is_sorted_by(|a, b| a.0 < b.0)
            {
                return Err((path, PartsError::Years(part)));
            }
            if let Some(place) = replaced.points.iter().position(|p| !(LEAST..=1.0 - LEAST).contains(&p.1)) {
                let (year, chance) = replaced.points[place];
                return Err((path.at(place), PartsError::Chance { part, year, chance }));
            }
        }
        for (place, sign) in self.signs.iter().enumerate() {
            let sound = |shares: &[f64]| {
                (shares.iter().sum::<f64>() - 1.0).abs() < 1e-6 && shares.iter().all(|share| *share >= LEAST)
            };
            if !sound(&sign.original) || !sound(&sign.replaced) {
                return Err((DocumentPath::key("sign").at(place), PartsError::Shares(sign.clue.clone())));
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
        axis.years().map(|year| between(&self.points, f64::from(year), |chance| *chance).unwrap_or(0.5)).collect()
    }
}

impl SignTable {
    /// Likelihood of a reading on an original part and on a replacement: (1 - e) P + e q, q the mean of both.
    pub(crate) fn likelihoods(&self, misread: f64, reading: &Reading) -> [f64; 2] {
        let Seen::Levels(levels) = &reading.seen else { return [1.0; 2] };
        let misread = misread_of(misread, reading);
        let share = |shares: &[f64]| levels.iter().map(|&k| shares[k]).sum::<f64>();
        let (original, replaced) = (share(&self.original), share(&self.replaced));
        let wrong = misread * f64::midpoint(original, replaced);
        [original, replaced].map(|right| (1.0 - misread) * right + wrong)
    }
}
