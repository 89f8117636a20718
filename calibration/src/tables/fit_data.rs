//! The clubs of a collection that count, shared by every fold; each fit gathers the readings it needs.

use crate::dated::date_spread::DateSpread;
use crate::dated::dated_club::DatedClub;
use crate::dated::sets::Sets;
use crate::tables::method::FitMethod;
use crate::tables::rules::Rules;
use agewright_model::reading::misread::DOUBTFUL_MISREAD;
use agewright_model::{Catalogue, Reading};

/// Clubs that count, in the order of their ids.
#[derive(Debug, Clone)]
pub(crate) struct FitData<'a> {
    pub catalogue: &'a Catalogue,
    pub clubs: Vec<&'a DatedClub>,
    pub worths: Vec<f64>,
    /// Clubs that belong together.
    pub sets: Sets,
    pub rules: Option<&'a Rules>,
    pub method: &'a FitMethod,
    /// Dates as given: even over each club's interval.
    pub dates: Vec<DateSpread>,
}

impl<'a> FitData<'a> {
    /// Clubs are taken in the order of their ids, so that nothing depends on the order of the table.
    pub fn new(
        catalogue: &'a Catalogue,
        mut clubs: Vec<&'a DatedClub>,
        rules: Option<&'a Rules>,
        method: &'a FitMethod,
    ) -> Self {
        clubs.sort_by(|a, b| a.club.id.cmp(&b.club.id));
        Self {
            rules,
            method,
            catalogue,
            worths: clubs.iter().map(|club| club.worth()).collect(),
            sets: Sets::of(clubs.iter().copied()),
            dates: clubs.iter().map(|club| DateSpread::even(catalogue.axis(), club)).collect(),
            clubs,
        }
    }

    pub fn n_clubs(&self) -> usize {
        self.clubs.len()
    }

    /// What was read of a clue: (club, worth, reading), in the order of the clubs; a doubtful reading counts for the
    /// chance that it is right.
    pub fn read(&self, clue: usize) -> impl Iterator<Item = (usize, f64, &Reading)> {
        let worth = |reading: &Reading| if reading.doubtful { 1.0 - DOUBTFUL_MISREAD } else { 1.0 };
        let clubs = self.clubs.iter().zip(&self.worths).enumerate();
        clubs.filter_map(move |(club, (dated, own))| {
            let reading = dated.club.cells.get(clue)?.reading()?;
            Some((club, own * worth(reading), reading))
        })
    }
}
