//! The plain product of clues: what one gets by multiplying each clue's own table, as if nothing were shared.

use agewright_model::{Asked, AskedError, Calibration, CalibrationError, Cell, Club, Part, Posterior, Prior};

/// A calibration's tables without correlation, misreading, weights and adjusters.
#[derive(Debug, Clone)]
pub struct PlainProduct {
    calibration: Calibration,
    adjusters: Vec<String>,
}

impl PlainProduct {
    /// Strips a calibration.
    ///
    /// # Errors
    /// [`CalibrationError`] cannot occur for a calibration that is one; it is passed on rather than hidden.
    pub fn new(calibration: &Calibration) -> Result<Self, CalibrationError> {
        let mut contents = calibration.clone().into_contents();
        // A chance of 0 is one that every catalogue allows.
        contents.catalogue = contents.catalogue.clone().with_misread(|_| 0.0).unwrap_or(contents.catalogue);
        contents.tables.own_weights_mut().for_each(|(_, weight)| *weight = 1.0);
        for block in &mut contents.tables.blocks {
            block.adjusters.clear();
            block.weight = 1.0;
        }
        contents.draws.clear();
        contents.shelf = None;
        let adjusting = contents.catalogue.clues().iter().filter(|clue| clue.adjusts);
        let adjusters = adjusting.map(|clue| clue.id.clone()).collect();
        Ok(Self { calibration: Calibration::new(contents)?, adjusters })
    }

    /// Posterior by the plain product: ln prior plus the sum of each clue's own ln likelihood, adjusters left out and
    /// no reading doubted.
    ///
    /// # Errors
    /// [`AskedError`] for a club that was read by another catalogue.
    pub fn posterior(&self, club: &Club, part: Part, prior: &Prior) -> Result<Posterior, AskedError> {
        let mut sure = club.clone();
        for cell in &mut sure.cells {
            if let Cell::Read(reading) = cell {
                reading.doubtful = false;
            }
        }
        let adjusters: Vec<&str> = self.adjusters.iter().map(String::as_str).collect();
        let asked = Asked::new(&self.calibration, &sure, part, None, &adjusters)?;
        let evidence = asked.evidence();
        let alone: Vec<Vec<f64>> = (0..evidence.n_clues()).map(|clue| evidence.ln_alone(clue)).collect();
        let mut terms: Vec<&[f64]> = alone.iter().map(Vec::as_slice).collect();
        terms.push(prior.ln_by_year());
        Ok(Posterior::new(asked.axis(), &terms))
    }
}
