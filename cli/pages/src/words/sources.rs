//! What an answer rests on: the calibration, what backs it, and its priors.

use crate::words::counted::counted;
use crate::words::odds::grouped_by_thousands;
use crate::words::years::{answer_year, period_name, short_span, span};
use agewright_model::questions::other_priors::{PriorContrast, prior_contrast};
use agewright_model::tables::origin::{AuditFigures, InSets};
use agewright_model::tables::shelf::PartShelf;
use agewright_model::{Calibration, Dating, Prior, ShortAnswer};
use std::fmt::Write as _;

/// Said with every answer that rests on rules of thumb.
pub const NO_COLLECTION: &str = "It is made of rules of thumb: no dated collection backs it. To give it one, fit with \
                                 --collection and clubs of known date.";
/// Said with every answer.
pub const OPINION: &str = "An opinion from the readings: no appraisal, no authentication.";

/// The calibration that an answer rests on, and what backs it, in sentences.
#[must_use]
pub fn calibration_sentences(calibration: &Calibration) -> String {
    format!("{}{}", what_it_rests_on(calibration, true), notice_sentence(calibration))
}

/// The same in short: without how clubs vote and rules count beside tables, and how to come by dated clubs.
#[must_use]
pub fn calibration_in_short(calibration: &Calibration) -> String {
    let what = if calibration.is_of_rules_alone() {
        format!(
            "Calibration: {}, made of rules of thumb: no dated collection backs it (fit --collection gives it one).",
            calibration.name()
        )
    } else {
        what_it_rests_on(calibration, false)
    };
    format!("{what}{}", notice_sentence(calibration))
}

fn notice_sentence(calibration: &Calibration) -> String {
    let notice = &calibration.origin().notice;
    if notice.is_empty() { String::new() } else { format!(" {notice}") }
}

fn what_it_rests_on(calibration: &Calibration, in_full: bool) -> String {
    let origin = calibration.origin();
    let mut source = format!("Calibration: {}", calibration.name());
    match origin.dated {
        Some([from, to]) => {
            let clubs = counted(origin.clubs, "dated club", "dated clubs");
            let _ = write!(source, ", {clubs} of {}{}.", span(from, to), in_sets_words(origin.in_sets));
        }
        None => {
            let _ = write!(source, ". {NO_COLLECTION}");
        }
    }
    if let Some(shelf) = calibration.shelf().filter(|_| in_full) {
        let several = shelf.parts.len() > 1;
        let weight = |part: &PartShelf| match several {
            true => format!("{} {:.2}", part.part.word(), part.weight),
            false => format!("{:.2}", part.weight),
        };
        let weights: Vec<String> = shelf.parts.iter().map(weight).collect();
        let _ = write!(
            source,
            " Beside its tables the dated clubs themselves vote, the more alike the more (weight {}).",
            weights.join(", ")
        );
    }
    if in_full && !origin.rules_file.is_empty() && origin.clubs > 0 {
        source.push_str(" Rules of thumb count beside them.");
    }
    source
}

/// A prior's name, with what clubs it is of where the calibration says it.
#[must_use]
pub fn prior_words(calibration: &Calibration, name: &str) -> String {
    match calibration.prior(Some(name)) {
        Ok(prior) if !prior.about.is_empty() => format!("{name} ({})", prior.about),
        _ => name.to_owned(),
    }
}

/// The prior of an answer in a line: its name, with the detail what clubs it is of, and the middle year under each
/// other prior and the flat one.
#[must_use]
pub fn prior_sentence(calibration: &Calibration, dating: &Dating, detail: bool) -> String {
    if dating.prior == Prior::FLAT {
        return "Prior (before any clue): flat, every year alike; many more clubs survive from late years than from \
                early ones."
            .to_owned();
    }
    let axis = calibration.catalogue().axis();
    let others = dating.other_priors.iter().map(|(name, answer)| (name.as_str(), answer));
    let all = others.chain([(Prior::FLAT, &dating.flat)]);
    // Of a split answer the median is no date.
    let year_or_years = |answer: &ShortAnswer| match answer.is_split() {
        true => short_span(axis, answer),
        false => answer_year(axis, answer.median),
    };
    let told: Vec<String> = all.map(|(name, answer)| format!("{} under {name}", year_or_years(answer))).collect();
    let name = if detail { prior_words(calibration, &dating.prior) } else { dating.prior.clone() };
    if !dating.has_evidence() {
        return format!("Prior (how clubs are spread over the years before any clue): {name}.");
    }
    format!(
        "Prior (how clubs are spread over the years before any clue): {name}; the middle year would be {}.",
        told.join(", ")
    )
}

/// Ratios of priors below this are not worth a sentence.
const WORTH_SAYING: f64 = 2.0;

/// The answer under the calibration's other priors, and how differently they take clubs to be spread, in words.
#[must_use]
pub fn other_priors_message(calibration: &Calibration, dating: &Dating) -> Option<String> {
    let contrast = prior_contrast(calibration, dating)?;
    let axis = calibration.catalogue().axis();
    let under = |name: &str| format!("under {} it would be", prior_words(calibration, name));
    let others = dating.other_priors.iter().map(|(name, answer)| {
        let span = short_span(axis, answer);
        // Of a split answer the median is no date.
        let middle = (!answer.is_split()).then(|| format!(" (middle year {})", answer_year(axis, answer.median)));
        format!("{} {span}{}", under(name), middle.unwrap_or_default())
    });
    let mut text = others.collect::<Vec<_>>().join("; ");
    let PriorContrast { used, other, here, common, rarer_by_used, rarer_by_other } = contrast;
    if rarer_by_other >= WORTH_SAYING || rarer_by_used >= WORTH_SAYING {
        let _ = write!(
            text,
            ". Before any clue, {used} takes a club of {} to be {} than one of {}, {other} {}",
            period_name(here.0, here.1),
            rarer(rarer_by_used),
            period_name(common.0, common.1),
            rarer(rarer_by_other)
        );
    }
    Some(text)
}

fn rarer(ratio: f64) -> String {
    match ratio {
        ..0.9 => format!("{:.1} times commoner", 1.0 / ratio),
        ..1.15 => "no rarer".to_owned(),
        ..10.0 => format!("{ratio:.1} times rarer"),
        ..950.0 => format!("{ratio:.0} times rarer"),
        _ => format!("{} times rarer", grouped_by_thousands((ratio / 1000.0).round().max(1.0) * 1000.0)),
    }
}

/// Clubs of a fit that belong together, to stand behind their number; nothing where none do.
#[must_use]
pub fn in_sets_words(in_sets: Option<InSets>) -> String {
    in_sets.map_or_else(String::new, |InSets { clubs, sets }| {
        format!(" ({clubs} of them in {})", counted(sets, "set", "sets"))
    })
}

/// The figures of an audit in a phrase; of the bands what the dates tell that are narrow enough to test them.
#[must_use]
pub fn audit_words(audit: &AuditFigures) -> String {
    let held = audit.coverage_of_testing.unwrap_or(audit.coverage).map(|share| 100.0 * share);
    let [half, eighty, most] = held;
    let testing = audit.testing.filter(|testing| *testing < audit.clubs);
    let crps = format!(
        "answers lie {:.1} years off, all their chances counted (CRPS; without any clue {:.1})",
        audit.crps, audit.crps_of_prior
    );
    let dates = match (testing, audit.coverage_of_testing) {
        (None, _) => "the dates".to_owned(),
        (Some(testing), Some(_)) => format!("the {testing} dates that are narrow enough to test them"),
        (Some(testing), None) => {
            return format!(
                "{crps}; {} narrow enough to test the bands, too few to tell whether they hold what they say",
                counted(testing, "date is", "dates are")
            );
        }
    };
    format!("{crps}; the 50, 80 and 95 % bands held {half:.0}, {eighty:.0} and {most:.0} % of {dates}")
}
