//! Head, shaft and grip together: a shaft is the head's own or a later one, a grip the shaft's own or a later one.

use crate::reading::cell::{Reading, Seen};
use crate::reading::document_path::DocumentPath;
use crate::reading::misread::misread_of;
use crate::reading::part::Part;
use crate::tables::after_the_years::AfterTheYears;
use crate::tables::chance_by_year::ChanceByYear;
use thiserror::Error;

/// What is taken to be known of how parts belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct PartsModel {
    /// Chance by the head's year that its shaft was replaced.
    pub shaft_replaced: ChanceByYear,
    /// Chance by the shaft's year that its grip was replaced.
    pub grip_replaced: ChanceByYear,
    /// Direct signs of a replacement: a second pin hole, a step at the rim.
    pub signs: Vec<SignTable>,
    /// Exponent that signs count with, 0 to 1.2: that of the rules they are of.
    pub sign_weight: f64,
    /// What is made after the axis ends.
    pub after: AfterTheYears,
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
    /// A chance outside what it may be.
    #[error("chance of {what} at {year} = {chance}: it must lie between {least} and {most}")]
    Chance {
        /// Of what: `a later shaft`.
        what: String,
        /// The year.
        year: f64,
        /// The chance.
        chance: f64,
        /// The least that it may be.
        least: f64,
        /// The most.
        most: f64,
    },
    /// Years out of order, or none.
    #[error("chances of {0}: give a year or more, in their order")]
    Years(String),
    /// A head is hardly ever made after the years of its own catalogue.
    #[error("chance of a head after the years = {0}: it must lie between 0 and 0.5")]
    HeadAfter(f64),
    /// Shares of what is made after the years that make no sense.
    #[error("look \"{0}\" after the years: the shares must sum to 1, none of them below 0.001")]
    Look(String),
    /// A sign that a part is a later one says so of any year.
    #[error("look \"{0}\" after the years: it is a sign of a later part already, whatever the year")]
    SignAsLook(String),
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
        let sound = |shares: &[f64]| {
            (shares.iter().sum::<f64>() - 1.0).abs() < 1e-6 && shares.iter().all(|share| *share >= LEAST)
        };
        let parts = DocumentPath::key("parts");
        let replaced = [LEAST, 1.0 - LEAST];
        check_chances(&self.shaft_replaced, parts.clone().then("shaft_replaced"), "a later shaft", replaced)?;
        check_chances(&self.grip_replaced, parts.then("grip_replaced"), "a later grip", replaced)?;
        for (place, sign) in self.signs.iter().enumerate() {
            if !sound(&sign.original) || !sound(&sign.replaced) {
                return Err((DocumentPath::key("sign").at(place), PartsError::Shares(sign.clue.clone())));
            }
        }
        let after = DocumentPath::key("after");
        if !(0.0..=0.5).contains(&self.after.head) {
            return Err((after.then("head"), PartsError::HeadAfter(self.after.head)));
        }
        for (part, chances) in [(Part::Shaft, &self.after.shaft), (Part::Grip, &self.after.grip)] {
            if let Some(chances) = chances {
                let what = format!("a later {} after the years", part.word());
                check_chances(chances, after.clone().then(part.word()), &what, [0.0, 1.0 - LEAST])?;
            }
        }
        for (place, look) in self.after.looks.iter().enumerate() {
            let path = after.clone().then("look").at(place);
            if self.sign(&look.clue).is_some() {
                return Err((path, PartsError::SignAsLook(look.clue.clone())));
            }
            if !sound(&look.shares) {
                return Err((path, PartsError::Look(look.clue.clone())));
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

/// Chances at some years: the years in order, each chance between the least and the most.
fn check_chances(
    chances: &ChanceByYear,
    path: DocumentPath,
    what: &str,
    [least, most]: [f64; 2],
) -> Result<(), (DocumentPath, PartsError)> {
    let points = &chances.points;
    let in_order = points.is_sorted_by(|a, b| a.0 < b.0);
    if points.is_empty() || !points.iter().all(|point| point.0.is_finite()) || !in_order {
        return Err((path, PartsError::Years(what.to_owned())));
    }
    match points.iter().position(|point| !(least..=most).contains(&point.1)) {
        Some(place) => {
            let (year, chance) = points[place];
            Err((path.at(place), PartsError::Chance { what: what.to_owned(), year, chance, least, most }))
        }
        None => Ok(()),
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
