//! What a shelf must keep to.

use crate::reading::catalogue::Catalogue;
use crate::reading::clue::TableForm;
use crate::reading::document_path::DocumentPath;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use crate::tables::check::{Check, Checked, EXPONENTS, lies_within, shape};
use crate::tables::shelf::{PartShelf, Shelf, ShelfClub, ShelfClue};
use crate::tables::shelf_scale::{MOST_LEVELS, ShelfScale};

/// A vote no narrower than rounding and no wider than what it votes on.
const WIDTHS: [f64; 2] = [0.005, 2.0];
/// Relevances, from none to a clue that alone tells clubs apart.
const RELEVANCES: [f64; 2] = [0.0, 1e4];

impl Shelf {
    /// Whether there are clubs, each of some year of the axis, and every part is laid out by clues of its own.
    pub(crate) fn check(&self, catalogue: &Catalogue) -> Checked {
        let path = || DocumentPath::key("shelf");
        if self.clubs.is_empty() {
            return Err(CalibrationError::at(path().then("clubs"), CalibrationProblem::EmptyShelf));
        }
        for (place, own) in self.clubs.iter().enumerate() {
            own.check(catalogue, &path().then("clubs").at(place))?;
        }
        let mut check = Check::new(catalogue);
        for (place, part) in self.parts.iter().enumerate() {
            if self.parts[..place].iter().any(|other| other.part == part.part) {
                let problem = CalibrationProblem::Twice(part.part.word().to_owned());
                return Err(CalibrationError::at(path().then("part").at(place), problem));
            }
            part.check(&mut check, &path().then("part").at(place))?;
        }
        Ok(())
    }
}

impl ShelfClub {
    fn check(&self, catalogue: &Catalogue, path: &DocumentPath) -> Checked {
        if !self.is_on(catalogue.axis()) {
            let problem = CalibrationProblem::ShelfYears { club: self.club.id.clone(), from: self.from, to: self.to };
            return Err(CalibrationError::at(path.clone(), problem));
        }
        lies_within(path, &self.club.id, "worth", self.worth, [0.01, 1.0])?;
        let is_own = |(clue, cell): (_, &crate::reading::cell::Cell)| cell.reading().is_none_or(|r| r.seen.is_of(clue));
        if catalogue.read_on(&self.club).all(is_own) {
            return Ok(());
        }
        Err(CalibrationError::at(path.clone(), CalibrationProblem::ShelfReading(self.club.id.clone())))
    }
}

impl PartShelf {
    fn check(&self, check: &mut Check<'_>, path: &DocumentPath) -> Checked {
        let name = self.part.word();
        lies_within(path, name, "allowance", self.allowance, [0.0, 1.0])?;
        lies_within(path, name, "width", self.width, WIDTHS)?;
        lies_within(path, name, "weight", self.weight, EXPONENTS)?;
        lies_within(path, name, "reach", self.reach, [0.0, 1e6])?;
        for (place, clue) in self.clues.iter().enumerate() {
            let path = path.clone().then("clue").at(place);
            check.once(&path, &clue.clue)?;
            clue.check(self, check, &path)?;
        }
        Ok(())
    }
}

impl ShelfClue {
    fn check(&self, part: &PartShelf, check: &Check<'_>, path: &DocumentPath) -> Checked {
        let within = |what, value, limits| lies_within(path, &self.clue, what, value, limits);
        match &self.scale {
            ShelfScale::Measured { centre, spread, .. } => {
                check.clue(path, &self.clue, TableForm::Measures, Some(part.part))?;
                within("centre", *centre, [-1e9, 1e9])?;
                within("spread", *spread, [1e-9, 1e9])?;
            }
            ShelfScale::Levels { shares } => {
                let clue = check.clue(path, &self.clue, TableForm::Shares, Some(part.part))?;
                shape(path, &self.clue, "shares", shares.len(), clue.levels.len().min(MOST_LEVELS))?;
                shares.iter().try_for_each(|share| within("share", *share, [0.0, 1.0]))?;
            }
        }
        shape(path, &self.clue, "relevance", self.relevance.len(), self.scale.n_rows())?;
        self.relevance.iter().try_for_each(|relevance| within("relevance", *relevance, RELEVANCES))?;
        shape(path, &self.clue, "slopes", self.slopes.len(), self.scale.n_features())?;
        self.slopes.iter().try_for_each(|slope| within("slope", *slope, [-100.0, 100.0]))
    }
}
