//! Everything that a calibration must keep to, as a whole.

use crate::reading::clue::{ClueKind, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use crate::tables::check::{Check, Checked, few_together, lies_within, shape};
use crate::tables::contents::CalibrationContents;
use crate::tables::origin::AuditFigures;
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
    if let Some(audit) = &contents.origin.audit {
        check_audit(audit)?;
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

/// Figures that an audit can have found.
fn check_audit(audit: &AuditFigures) -> Checked {
    let path = |what: &str| DocumentPath::key("origin").then("audit").then(what);
    let within = |what: &'static str, value: f64, limits| lies_within(&path(what), "audit", what, value, limits);
    within("log_score", audit.log_score, [f64::MIN, f64::MAX])?;
    within("crps", audit.crps, [0.0, f64::MAX])?;
    within("crps_of_prior", audit.crps_of_prior, [0.0, f64::MAX])?;
    audit.coverage.iter().try_for_each(|&share| within("coverage", share, [0.0, 1.0]))?;
    let of_testing = audit.coverage_of_testing.iter().flatten();
    of_testing.into_iter().try_for_each(|&share| within("coverage_of_testing", share, [0.0, 1.0]))?;
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    audit.testing.map_or(Ok(()), |testing| within("testing", testing as f64, [0.0, audit.clubs as f64]))
}
