//! `agewright why-not`: each clue's weight of evidence between two periods.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{WhyNotAnswer, print_json};
use crate::arguments::{PlainFormat, WhyNotArguments};
use crate::failure::Failure;
use crate::terminal::why_not_text;
use crate::wording::{read_period, span};
use agewright_model::{Axis, Period, PeriodAccount};

pub fn run(arguments: &WhyNotArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut periods = arguments.periods.iter().map(|text| period(text)).collect::<Result<Vec<_>, _>>()?;
    let question = Question::read(&arguments.club.records, streams)?;
    let club = question.one_club()?;
    let part = question.part();
    let dating = question.date_without_account(club, part)?;
    if periods.len() == 1 {
        // The likeliest row; of several the earliest, and never the period itself.
        let rows = dating.posterior.by_row();
        let other = rows.iter().rev().filter(|(from, to, _)| *to < periods[0].0 || *from > periods[0].1);
        let likeliest = other.max_by(|a, b| a.2.total_cmp(&b.2)).map(|&(from, to, _)| (from, to));
        periods.extend(likeliest);
    }
    let axis = dating.posterior.axis();
    let [first, second] = periods[..] else {
        return Err(Failure::Usage("--periods: there is no other decade to weigh it against; give two".to_owned()));
    };
    if first.0 <= second.1 && second.0 <= first.1 {
        return Err(Failure::Usage(format!(
            "--periods: {} and {} share years; weigh two that do not",
            span(first.0, first.1),
            span(second.0, second.1)
        )));
    }
    for period in [first, second] {
        on_axis(axis, period)?;
    }
    let account = PeriodAccount::of(&question.loaded.calibration, club, part, [first, second], question.options())
        .map_err(|error| prior_failure(&error))?
        .ok_or_else(|| Failure::Failed("a period has no year on the axis".to_owned()))?;
    match arguments.club.format {
        PlainFormat::Text => {
            write!(streams.stdout, "{}", why_not_text(&question.loaded.calibration, club, part, &account))?;
            Ok(())
        }
        PlainFormat::Json => {
            print_json(&WhyNotAnswer::new(&question.loaded, club, part, question.prior_name(), &account), streams)
        }
    }
}

fn period(text: &str) -> Result<Period, Failure> {
    read_period(text).ok_or_else(|| {
        Failure::Usage(format!(
            "--periods: \"{text}\" is no period\n= help: write a decade, a span or a year, for example 1850s, 1850-65 or 1893"
        ))
    })
}

fn on_axis(axis: Axis, (from, to): Period) -> Result<(), Failure> {
    if to < axis.from() || from > axis.last() {
        return Err(Failure::Usage(format!(
            "--periods: {} lies outside the calibration's years, {}",
            span(from, to),
            span(axis.from(), axis.last())
        )));
    }
    Ok(())
}
