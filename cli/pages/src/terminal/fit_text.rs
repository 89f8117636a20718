//! What a fit did, as text.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use crate::words::readings::{level_name, within_a_sentence};
use crate::words::sources::{audit_words, in_sets_words};
use crate::words::years::span;
use agewright_calibration::Fit;
use agewright_calibration::fit::fit::LeftOut;
use agewright_calibration::fit::gain::{Gain, Narrowing};
use agewright_calibration::fit::rule_conflicts::RuleConflict;
use agewright_calibration::tables::omissions::WhyLeftOut;
use agewright_model::Catalogue;
use std::fmt::Write as _;

/// Fewer dated clubs than this are named as few.
const FEW_CLUBS: usize = 30;

/// The text, for standard error; `undated` clubs were passed over, and it was
/// written to `out`, so many bytes.
#[must_use]
pub fn fit_text(page: Page, fitted: &Fit, undated: usize, out: &str, bytes: usize) -> String {
    let (report, tables) = (&fitted.report, fitted.calibration.tables());
    let origin = fitted.calibration.origin();
    let mut text = String::new();
    let mut say = |line: String| {
        let _ = writeln!(text, "{}", page.wrapped(&line, "  "));
    };
    let tables = tables.n_tables();
    let years = origin.dated.map_or_else(String::new, |[from, to]| format!(" of {}", span(from, to)));
    let sets = in_sets_words(origin.in_sets);
    let on = match (report.clubs, origin.rules_file.is_empty()) {
        (0, _) => "from rules of thumb alone; no dated collection backs them".to_owned(),
        (clubs, true) => format!("fitted on {}{years}{sets}", counted(clubs, "dated club", "dated clubs")),
        (clubs, false) => {
            format!("fitted on {}{years}{sets} and rules of thumb", counted(clubs, "dated club", "dated clubs"))
        }
    };
    say(format!("{tables} tables {on}; written to {out}"));
    if let Some(audit) = &origin.audit {
        say(format!("audited (each club dated by a fit without it, in {} turns): {}", audit.folds, audit_words(audit)));
    }
    let lag = fitted.calibration.shared_lag();
    if report.clubs > 0 && lag >= 0.5 {
        say(format!(
            "what a club looks like leads or lags as a whole by about {lag:.0} years (one standard deviation)"
        ));
    }
    shelf_words(fitted, bytes).into_iter().for_each(&mut say);
    weighed_words(report.weighed_on).into_iter().for_each(&mut say);
    few_words(report.clubs).into_iter().for_each(&mut say);
    narrowing_words(report.narrowing).into_iter().for_each(&mut say);
    passed_over_words(undated, report.worthless).into_iter().for_each(&mut say);
    for line in left_out_words(&report.left_out, report.clubs == 0) {
        say(line);
    }
    for aside in &report.set_aside {
        say(format!(
            "note: club {}, {} = {}: {:.0} times as far off the line as is usual, set aside in the fit; look again",
            aside.club,
            aside.clue,
            aside.reading,
            aside.deviations.abs()
        ));
    }
    for conflict in &report.conflicts {
        say(conflict_words(fitted.calibration.catalogue(), conflict));
    }
    if !report.empty_rows.is_empty() && report.clubs > 0 {
        let rows: Vec<String> = joined(&report.empty_rows).iter().map(|&(from, to)| span(from, to)).collect();
        say(format!("note: no dated club from {}; tables lean on their neighbours there", rows.join(", ")));
    }
    text
}

/// What a change gained, and how far that is chance.
fn gain_words(Gain { nats, standard_error }: Gain) -> String {
    let times = match nats.exp() {
        1000.0.. => "more than 1,000".to_owned(),
        times => format!("{times:.1}"),
    };
    format!(
        "clubs left out, all together, get their true years {times} times as likely (its logarithm {nats:+.1}, \
         standard error {standard_error:.1})"
    )
}

/// What the calibration keeps of the clubs, and how large its file is.
fn shelf_words(fitted: &Fit, bytes: usize) -> Option<String> {
    let shelf = fitted.calibration.shelf()?;
    let ids = if shelf.anonymous { "without their ids" } else { "with their ids" };
    Some(format!(
        "the calibration keeps the readings of {} {ids}, to lay clubs beside them; never their notes and texts \
         (--no-shelf leaves them out); the file is {} kB",
        counted(shelf.clubs.len(), "dated club", "dated clubs"),
        bytes.div_ceil(1000)
    ))
}

/// That exponents hang on a sample, where they do.
fn weighed_words(weighed_on: Option<usize>) -> Option<String> {
    weighed_on.map(|n| {
        format!(
            "how much each clue and the dated clubs count was fitted on {n} of the clubs, evenly spaced in the order \
             of their dates"
        )
    })
}

/// Whether clubs' own clues narrow their dates.
fn narrowing_words(narrowing: Narrowing) -> Option<String> {
    match narrowing {
        Narrowing::NoIntervals => None,
        Narrowing::Kept(gain) => {
            Some(format!("clubs dated to several years: their own clues narrow them ({})", gain_words(gain)))
        }
        Narrowing::NotKept(gain) => Some(format!(
            "clubs dated to several years: taken as given; narrowing them by their own clues did not clearly help ({})",
            gain_words(gain)
        )),
    }
}

/// What few clubs mean for the answers.
fn few_words(clubs: usize) -> Option<String> {
    let what = match clubs {
        1 => "one dated club is little, and every answer hangs on it".to_owned(),
        _ => format!("{clubs} dated clubs are few, and answers hang on each of them"),
    };
    (clubs > 0 && clubs < FEW_CLUBS).then(|| format!("note: {what}; audit and --bootstrap show how far"))
}

/// Clubs that have no part in the fit.
fn passed_over_words(undated: usize, worthless: usize) -> Vec<String> {
    let undated = (undated > 0).then(|| {
        let clubs = counted(undated, "club without a date was", "clubs without a date were");
        format!("note: {clubs} passed over")
    });
    let worthless = (worthless > 0).then(|| {
        let of_grade_5 = ["club of date grade 5 (own opinion) does", "clubs of date grade 5 (own opinion) do"];
        format!("note: {} not count", counted(worthless, of_grade_5[0], of_grade_5[1]))
    });
    undated.into_iter().chain(worthless).collect()
}

/// Runs of rows that touch become one.
fn joined(rows: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let mut runs: Vec<(i32, i32)> = Vec::new();
    for &(from, to) in rows {
        match runs.last_mut() {
            Some(last) if last.1 + 1 == from => last.1 = to,
            _ => runs.push((from, to)),
        }
    }
    runs
}

/// One warning for each reason, with the clues and the number of clubs read for each.
fn left_out_words(left_out: &[LeftOut], rules_alone: bool) -> Vec<String> {
    if rules_alone {
        let clues: Vec<&str> = left_out.iter().map(|one| one.clue.as_str()).collect();
        let line = format!("warning: left out, no rule speaks of them: {}", clues.join(", "));
        return if clues.is_empty() { Vec::new() } else { vec![line] };
    }
    let reasons = [
        (WhyLeftOut::TooFew, "too few dated clubs were read for a table (4 or more)"),
        (WhyLeftOut::FewSets, "read on dated clubs of fewer than three sets"),
        (WhyLeftOut::NeverVaries, "all dated clubs read alike, so the clue says nothing"),
    ];
    let line = |(reason, words): (WhyLeftOut, &str)| {
        let own = left_out.iter().filter(|one| one.why == reason);
        let clues: Vec<String> = own.map(|one| format!("{} ({})", one.clue, one.readings)).collect();
        (!clues.is_empty()).then(|| format!("warning: left out, {words}: {}", clues.join(", ")))
    };
    reasons.into_iter().filter_map(line).collect()
}

fn conflict_words(catalogue: &Catalogue, conflict: &RuleConflict) -> String {
    let RuleConflict { clue, level, from, to, clubs, seen, expected } = conflict;
    let (years, name) = (span(*from, *to), within_a_sentence(&catalogue.name_of(clue)));
    let clubs = counted(*clubs, "club", "clubs");
    match level {
        Some(level) => format!(
            "rule and clubs disagree in {years} on {name}, {}: {:.0} % of {clubs}, the rule says {:.0} %",
            level_name(catalogue, clue, level),
            100.0 * seen,
            100.0 * expected
        ),
        None => format!(
            "rule and clubs disagree in {years} on {name}: mean {seen:.3} of {clubs}, the rule says {expected:.3}"
        ),
    }
}
