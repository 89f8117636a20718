//! Warnings and notes as sentences: what is wrong, what it may mean, what to do.

use super::page::wrapped;
use crate::wording::{in_a_hundred, in_words, period_name, span, two_answers, year};
use agewright_model::{
    Calibration, Catalogue, Cell, Club, ClueKind, Dating, OutOfStep, Part, Posterior, UnusedClue, WhyUnused,
};
use std::fmt::Write as _;

/// Said with every answer that rests on rules of thumb.
pub const NO_COLLECTION: &str = "It is made of rules of thumb: no dated collection backs it. To give it one, fit with \
                                 --collection and clubs of known date.";

/// Name of a clue for people.
pub fn clue_name(calibration: &Calibration, id: &str) -> String {
    name_in(&calibration.catalogue, id)
}

/// Name of a catalogue's clue for people.
pub fn name_in(catalogue: &Catalogue, id: &str) -> String {
    let clue = catalogue.clues.iter().find(|clue| clue.id == id);
    clue.map_or_else(|| id.to_owned(), agewright_model::Clue::name)
}

/// How a clue's reading is taken.
pub fn clue_how(calibration: &Calibration, id: &str) -> String {
    let clue = calibration.catalogue.clues.iter().find(|clue| clue.id == id);
    clue.map_or_else(String::new, |clue| clue.how.clone())
}

/// A reading that the rest does not bear out.
pub fn out_of_step_message(calibration: &Calibration, clue: &OutOfStep) -> String {
    format!(
        "{} ({}) is out of step with the rest: at the time that the rest gives, such a reading is {} times rarer than at \
         its own, and there are {:.0} chances in 100 that it is misread or later work. Look again; known later work is \
         entered as \"altered\".",
        clue_name(calibration, &clue.clue),
        clue.reading.replace('_', " ").replace('|', " or "),
        if clue.rarer > 99.0 { "a hundred or more".to_owned() } else { format!("{:.0}", clue.rarer) },
        100.0 * clue.misread
    )
}

/// Heads from before this year are few, imitated and hard to date (common practice, no source).
const EARLY: i32 = 1850;
/// A band of more years than this, with a conflict, is no answer.
const TOO_WIDE: i32 = 60;

/// What every answer says of itself: the calibration it rests on, what backs it, and that it is an opinion.
pub fn source_lines(calibration: &Calibration) -> String {
    let origin = &calibration.origin;
    let mut source = format!("Calibration: {}", calibration.name);
    match origin.dated {
        Some([from, to]) => {
            let _ = write!(source, ", {} dated clubs of {}.", origin.clubs, span(from, to));
        }
        None => {
            let _ = write!(source, ". {NO_COLLECTION}");
        }
    }
    if !origin.rules_file.is_empty() && origin.clubs > 0 {
        source.push_str(" Rules of thumb count beside them.");
    }
    if !origin.notice.is_empty() {
        let _ = write!(source, " {}", origin.notice);
    }
    format!("{}\nAn opinion from the readings: no appraisal, no authentication.\n", wrapped(&source, "  "))
}

/// Words that name a material whose trade is restricted in many places, real or imitated.
const RESTRICTED: [&str; 7] = ["ivory", "whale", "baleen", "tortoiseshell", "tusk", "walrus", "narwhal"];

/// Reasons for a specialist that lie in the club and not in its dating: a doubtful or re-cut mark, a restricted material.
fn reasons_in_the_club(calibration: &Calibration, club: &Club) -> Vec<String> {
    let mut reasons = Vec::new();
    let marks = calibration.catalogue.clues.iter().zip(&club.cells).filter(|(clue, _)| {
        clue.kind == ClueKind::Mark || clue.kind == ClueKind::Register || clue.id == "marks_on_head"
    });
    let doubtful = |cell: &Cell| *cell == Cell::Altered || cell.reading().is_some_and(|reading| reading.doubtful);
    if marks.into_iter().any(|(_, cell)| doubtful(cell)) {
        reasons.push("a mark is doubtful or cut again".to_owned());
    }
    let words = club.text.values().chain([&club.note]).map(|text| text.to_lowercase()).collect::<Vec<_>>().join(" ");
    if let Some(material) = RESTRICTED.iter().find(|material| words.contains(*material)) {
        reasons.push(format!("{material} is named, which may not be sold or sent abroad without leave in many places"));
    }
    reasons
}

/// Why a specialist should see the club before much hangs on the answer; nothing where there is no such reason.
pub fn specialist_message(calibration: &Calibration, club: &Club, dating: &Dating) -> Option<String> {
    let band = dating.band(0.8);
    let years: i32 = band.intervals.iter().map(|piece| piece.to - piece.from + 1).sum();
    let mut reasons = if dating.part == Part::Head { reasons_in_the_club(calibration, club) } else { Vec::new() };
    let evidence = dating.has_evidence();
    if evidence && dating.posterior.axis().contains(EARLY) && dating.posterior.probability_before(EARLY) > 0.5 {
        reasons.push(format!("the {} is probably older than {EARLY}", dating.part.word()));
    }
    if evidence && !band.modes().is_empty() {
        reasons.push("there are two answers".to_owned());
    }
    if years > TOO_WIDE && (dating.conflict.is_some() || !dating.out_of_step.is_empty()) {
        reasons.push(format!("the answer is {years} years wide and its clues conflict"));
    }
    let reasons = (!reasons.is_empty()).then(|| reasons.join("; "))?;
    Some(format!("See a specialist before much hangs on this: {reasons}."))
}

/// How likely a shaft or a grip is a later one, in a sentence.
pub fn replaced_message(dating: &Dating) -> Option<String> {
    let chance = dating.replaced?;
    let than = match dating.part {
        Part::Shaft => "than the head",
        Part::Grip => "than the shaft",
        Part::Head => return None,
    };
    Some(format!("Later {than}: {} ({}).", in_a_hundred(chance), in_words(chance)))
}

/// A prior's name, with what its clubs are where the starter rules name it.
pub fn prior_words(name: &str) -> String {
    match name {
        "specialist" => "specialist (clubs as specialists and sales see them)".to_owned(),
        "general" => "general (clubs found anywhere)".to_owned(),
        _ => name.to_owned(),
    }
}

/// The part that a clue dates.
pub fn part_of(calibration: &Calibration, clue: &str) -> Option<Part> {
    calibration.catalogue.clues.iter().find(|entry| entry.id == clue).map(|entry| entry.part)
}

/// Heading of the clues of a part fixed to the one that is dated.
pub fn section_of(part: Part) -> &'static str {
    match part {
        Part::Head => "The head",
        Part::Shaft => "The shaft, as far as it is the head's own",
        Part::Grip => "The grip, as far as it is the shaft's own",
    }
}

/// Measures and other clues that speak for different times.
pub fn conflict_message(dating: &Dating) -> Option<String> {
    let conflict = dating.conflict.as_ref()?;
    let [measures, others] = [conflict.measures, conflict.others].map(|(from, to)| span(from, to));
    Some(format!(
        "Size and make disagree: by the measures alone, every year alike before, it would be {measures}, by all other clues \
         {others}. A part may be later work, or the kind of club mistaken; look again before one date is given."
    ))
}

/// The answer under the calibration's other priors, and how differently they take clubs to be spread, in words.
pub fn other_priors_message(calibration: &Calibration, dating: &Dating) -> Option<String> {
    let told: Vec<String> = dating
        .other_priors
        .iter()
        .map(|(name, answer)| {
            let name = prior_words(name);
            format!("under {name} it would be {} (middle year {})", span(answer.from, answer.to), year(answer.median))
        })
        .collect();
    let (first, _) = dating.other_priors.first()?;
    let axis = calibration.catalogue.axis;
    let by_row = |name: &str| -> Option<Vec<f64>> {
        let prior = calibration.priors.iter().find(|prior| prior.name == name)?;
        Some(Posterior::new(axis, &[prior.ln_by_year()]).by_row().into_iter().map(|row| row.2).collect())
    };
    let (used, other) = (by_row(&dating.prior)?, by_row(first)?);
    // The decade of the answer against the one that the other prior finds commonest.
    let row_of = |year: i32| (0..axis.n_rows()).find(|&row| axis.row_years(row).1 >= year);
    let here = row_of(dating.posterior.median())?;
    let common = (0..axis.n_rows()).max_by(|&a, &b| other[a].total_cmp(&other[b]))?;
    let mut text = told.join("; ");
    let [ratio, other_ratio] = [&used, &other].map(|rows| rows[common] / rows[here]);
    if other_ratio >= WORTH_SAYING || ratio >= WORTH_SAYING {
        let name = |row: usize| period_name(axis.row_years(row).0, axis.row_years(row).1);
        let _ = write!(
            text,
            ". Before any clue, {} takes a club of {} to be {} than one of {}, {first} {}",
            dating.prior,
            name(here),
            rarer(ratio),
            name(common),
            rarer(other_ratio)
        );
    }
    Some(text)
}

/// Ratios of priors below this are not worth a sentence.
const WORTH_SAYING: f64 = 2.0;

fn rarer(ratio: f64) -> String {
    match ratio {
        ..0.67 => format!("{:.1} times commoner", 1.0 / ratio),
        ..1.5 => "no rarer".to_owned(),
        ..10.0 => format!("{ratio:.1} times rarer"),
        ..1000.0 => format!("{ratio:.0} times rarer"),
        _ => format!("{:.0} thousand times rarer", ratio / 1000.0),
    }
}

/// Two answers, told apart.
pub fn two_answers_message(dating: &Dating) -> Option<String> {
    let sentence = two_answers(&dating.band(0.8)).filter(|_| dating.has_evidence())?;
    Some(format!(
        "There are two answers, {sentence}. The average year, {:.1}, lies between them and is not a date; read the two apart.",
        dating.posterior.mean()
    ))
}

/// Readings that gave no evidence, those of one reason together: the reason's kind, its clues and a sentence.
pub fn unused_messages(calibration: &Calibration, unused: &[UnusedClue]) -> Vec<(WhyUnused, String)> {
    let mut told: Vec<(WhyUnused, Vec<String>)> = Vec::new();
    for one in unused {
        let name = clue_name(calibration, &one.clue);
        match told.iter_mut().find(|(why, _)| *why == one.why) {
            Some((_, names)) => names.push(name),
            None => told.push((one.why, vec![name])),
        }
    }
    told.into_iter().map(|(why, names)| (why, format!("{}: {}", why_unused(why), names.join("; ")))).collect()
}

fn why_unused(why: WhyUnused) -> &'static str {
    match why {
        WhyUnused::Unreadable => "Unreadable, worn or covered (says nothing)",
        WhyUnused::Altered => "Altered, known later work (says nothing of the date)",
        WhyUnused::LeftOut => "Left out on request",
        WhyUnused::Adjusts => "Describes the kind of club, no evidence of date by itself",
        WhyUnused::NoTable => "Not used, the calibration has no table for it (too few dated clubs, or no rule)",
    }
}
