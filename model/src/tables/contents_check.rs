//! Everything that a calibration must keep to, as a whole.

use crate::reading::clue::{ClueKind, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use crate::tables::check::{Check, few_together, shape};
use crate::tables::contents::CalibrationContents;
use crate::tables::shares::SharesMoved;

/// Checks everything, and brings shares to a sum of 1; returns those that an edit had moved.
pub(super) fn check_contents(contents: &mut CalibrationContents) -> Result<Vec<SharesMoved>, CalibrationError> {
    let moved = contents.tables.check(&contents.catalogue)?;
    let check = Check::new(&contents.catalogue);
    for (place, mark) in contents.marks.iter().enumerate() {
        let path = || DocumentPath::key("mark").at(place);
        mark.check().map_err(|error| CalibrationError::at(path(), error))?;
        let unknown = |what: &String| CalibrationError::at(path(), CalibrationProblem::Clue(what.clone()));
        let clue = contents.catalogue.clue(&mark.clue).filter(|clue| clue.kind == ClueKind::Mark);
        if clue.ok_or_else(|| unknown(&mark.clue))?.level_ix(&mark.mark).is_none() {
            return Err(unknown(&mark.mark));
        }
    }
    if let Some(parts) = &contents.parts {
        let fixed = contents.catalogue.clues().iter().filter(|clue| clue.part != Part::Head).count();
        few_together(&DocumentPath::key("parts"), "shaft and grip", fixed)?;
        parts.check().map_err(|(path, error)| CalibrationError::at(path, error))?;
        for (place, sign) in parts.signs.iter().enumerate() {
            let path = DocumentPath::key("sign").at(place);
            let clue = check.clue(&path, &sign.clue, TableForm::Shares, None)?;
            if clue.part == Part::Head {
                return Err(CalibrationError::at(path, CalibrationProblem::Clue(sign.clue.clone())));
            }
            for shares in [&sign.original, &sign.replaced] {
                shape(&path, &sign.clue, "shares", shares.len(), clue.levels.len())?;
            }
        }
    }
    for (place, draw) in contents.draws.iter_mut().enumerate() {
        let path = || DocumentPath::key("draw").at(place);
        contents
            .tables
            .has_the_form_of(draw)
            .map_err(|what| CalibrationError::at(path(), CalibrationProblem::Draw(what)))?;
        // Rounding to six digits is no edit: what a draw's shares are off by is told of none.
        draw.check(&contents.catalogue)
            .map_err(|error| CalibrationError { path: error.path.within(path()), ..error })?;
    }
    if contents.tables.prior(&contents.default_prior).is_err() {
        let problem = CalibrationProblem::DefaultPrior(contents.default_prior.clone());
        return Err(CalibrationError::at(DocumentPath::key("default_prior"), problem));
    }
    Ok(moved)
}
