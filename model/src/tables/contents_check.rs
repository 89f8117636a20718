//! Everything that a calibration must keep to, as a whole.

use crate::reading::clue::{ClueKind, TableForm};
use crate::reading::document_path::DocumentPath;
use crate::reading::part::Part;
use crate::tables::calibration_error::{CalibrationError, CalibrationProblem};
use crate::tables::check::{CLUBS, Check, Checked, EXPONENTS, few_together, lies_within, shape};
use crate::tables::contents::CalibrationContents;
use crate::tables::origin::{AuditFigures, InSets, Origin};
use crate::tables::prior::Prior;
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
    check_origin(&contents.origin)?;
    let lag = contents.shared_lag;
    // A longer one than the axis would make all years alike.
    let longest = f64::from(contents.catalogue.axis().to() - contents.catalogue.axis().from());
    lies_within(&DocumentPath::key("shared_lag"), "calibration", "shared_lag", lag, [0.0, longest])?;
    if let Some(shelf) = &contents.shelf {
        shelf.check(&contents.catalogue)?;
        if contents.tables.prior(Prior::AS_COLLECTED).is_err() {
            return Err(CalibrationError::at(DocumentPath::key("shelf"), CalibrationProblem::ShelfPrior));
        }
    }
    if let Some(parts) = &contents.parts {
        let fixed = contents.catalogue.clues().iter().filter(|clue| clue.part != Part::Head).count();
        few_together(&DocumentPath::key("parts"), "shaft and grip", fixed)?;
        parts.check().map_err(|(path, error)| CalibrationError::at(path, error))?;
        let path = DocumentPath::key("sign_weight");
        lies_within(&path, "signs", "sign_weight", parts.sign_weight, EXPONENTS)?;
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
        for (place, look) in parts.after.looks.iter().enumerate() {
            let path = DocumentPath::key("after").then("look").at(place);
            let clue = check.clue(&path, &look.clue, TableForm::Shares, None)?;
            shape(&path, &look.clue, "shares", look.shares.len(), clue.levels.len())?;
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

/// What a collection can be: its years in order, no more clubs in sets than there are.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn check_origin(origin: &Origin) -> Checked {
    let path = |what: &str| DocumentPath::key("origin").then(what);
    if let Some([from, to]) = origin.dated {
        lies_within(&path("dated"), "origin", "dated", f64::from(from), [-9999.0, f64::from(to)])?;
        lies_within(&path("dated"), "origin", "dated", f64::from(to), [f64::from(from), 9999.0])?;
    }
    if let Some(InSets { clubs, sets }) = origin.in_sets {
        let most = origin.clubs as f64;
        lies_within(&path("in_sets"), "origin", "clubs in sets", clubs as f64, [2.0 * sets as f64, most])?;
        lies_within(&path("in_sets"), "origin", "sets", sets as f64, [1.0, most / 2.0])?;
    }
    let mut clubs = origin.clubs_by_row.iter();
    clubs.try_for_each(|&clubs| lies_within(&path("clubs_by_row"), "origin", "clubs_by_row", clubs, CLUBS))?;
    origin.audit.as_ref().map_or(Ok(()), check_audit)
}

/// Figures that an audit can have found.
fn check_audit(audit: &AuditFigures) -> Checked {
    let path = |what: &str| DocumentPath::key("origin").then("audit").then(what);
    let within = |what: &'static str, value: f64, limits| lies_within(&path(what), "audit", what, value, limits);
    within("log_score", audit.log_score, [-1e6, 1e6])?;
    within("crps", audit.crps, [0.0, 1e6])?;
    within("crps_of_prior", audit.crps_of_prior, [0.0, 1e6])?;
    audit.coverage.iter().try_for_each(|&share| within("coverage", share, [0.0, 1.0]))?;
    let of_testing = audit.coverage_of_testing.iter().flatten();
    of_testing.into_iter().try_for_each(|&share| within("coverage_of_testing", share, [0.0, 1.0]))?;
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    let of_clubs = |what, n: usize, least| within(what, n as f64, [least, audit.clubs as f64]);
    of_clubs("folds", audit.folds, 1.0)?;
    let least = if audit.coverage_of_testing.is_some() { 1.0 } else { 0.0 };
    audit.testing.map_or(Ok(()), |testing| of_clubs("testing", testing, least))
}
