//! `agewright why-not`: each clue's weight of evidence between two periods.

use crate::arguments::{PlainFormat, WhyNotArguments};
use crate::asked::at_once::at_once;
use crate::asked::given_date::tell_given;
use crate::asked::request::Request;
use crate::disk::json_line::print_json;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_model::questions::why_not::{Period, likeliest_row_beside};
use agewright_model::reading::period_text::Period as PeriodText;
use agewright_model::{Accounting, Axis, PeriodAccount, Posterior};
use agewright_pages::json::why_not::WhyNotAnswer;
use agewright_pages::terminal::why_not_text::why_not_text;
use agewright_pages::words::clue_orders::clue_orders;
use agewright_pages::words::years::span;

pub fn run(arguments: &WhyNotArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let request = Request::read(&arguments.club.records, streams)?;
    let asked = request.ask(request.one_club()?, request.part())?;
    let periods = arguments.periods.iter().map(|text| period(text, asked.axis()));
    let mut periods = periods.collect::<Result<Vec<_>, _>>()?;
    if let [only] = periods[..] {
        let posterior = Posterior::of(asked.evidence(), asked.prior(), |_| true);
        periods.extend(likeliest_row_beside(&posterior, only));
    }
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
        on_axis(asked.axis(), period)?;
        if let Some(within) = cut(asked.axis(), period) {
            let [whole, within] = [period, within].map(|(from, to)| span(from, to));
            streams.tell(&format!("note: --periods: of {whole} only {within} lies within the calibration's years"))?;
        }
    }
    let account = PeriodAccount::of(&asked, [first, second], Accounting::by_orders(&clue_orders).with_halves(&at_once))
        .ok_or_else(|| Failure::Failed("a period has no year on the axis".to_owned()))?;
    match arguments.club.format {
        PlainFormat::Text => {
            write!(streams.stdout, "{}", why_not_text(streams.page, &asked, &account))?;
            tell_given(&request, streams)
        }
        PlainFormat::Json => print_json(&WhyNotAnswer::new(&request.loaded, &asked, &account), streams),
    }
}

fn period(text: &str, axis: Axis) -> Result<Period, Failure> {
    let read = PeriodText::read(text, axis).map(|period| (period.from, period.to));
    read.ok_or_else(|| {
        Failure::Usage(format!(
            "--periods: \"{text}\" is no period\nWhat to do: write a decade, a span or a year, for example 1850s, \
             1850-65, 1893 or \"before 1850\""
        ))
    })
}

/// The part of a period that lies on the axis, where that is not all of it.
fn cut(axis: Axis, (from, to): Period) -> Option<Period> {
    let within = (from.max(axis.from()), to.min(axis.last()));
    (within != (from, to)).then_some(within)
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
