//! `agewright date`: dates clubs.

use super::question::Question;
use crate::Streams;
use crate::answers::{Answer, HEADINGS, LinkedArt, print_json, row};
use crate::arguments::{DateArguments, DateFormat};
use crate::failure::Failure;
use crate::terminal::{DateText, date_text};

pub fn run(arguments: &DateArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if arguments.before.is_some() && arguments.format == DateFormat::LinkedArt {
        return Err(Failure::Usage("--before has no place in Linked Art; ask for text, json or csv".to_owned()));
    }
    let question = Question::read(&arguments.records, streams)?;
    match arguments.format {
        DateFormat::Text => text(arguments, &question, streams),
        DateFormat::Json => json(arguments, &question, streams),
        DateFormat::Csv => csv(arguments, &question, streams),
        DateFormat::LinkedArt => linked_art(&question, streams),
    }
}

fn text(arguments: &DateArguments, question: &Question, streams: &mut Streams<'_>) -> Result<(), Failure> {
    for (place, club) in question.clubs.iter().enumerate() {
        if place > 0 {
            writeln!(streams.stdout, "\n{}\n", "-".repeat(80))?;
        }
        let datings =
            question.parts().into_iter().map(|part| question.date(club, part)).collect::<Result<Vec<_>, _>>()?;
        let shown = DateText {
            calibration: &question.loaded.calibration,
            club,
            datings: &datings,
            before: arguments.before,
            detail: arguments.detail,
        };
        write!(streams.stdout, "{}", date_text(&shown))?;
    }
    Ok(())
}

fn json(arguments: &DateArguments, question: &Question, streams: &mut Streams<'_>) -> Result<(), Failure> {
    for club in &question.clubs {
        let mut answers = question
            .parts()
            .into_iter()
            .map(|part| Ok(Answer::new(&question.loaded, club, &question.date(club, part)?, arguments.before)))
            .collect::<Result<Vec<_>, Failure>>()?;
        let mut first = answers.remove(0);
        first.other_parts = answers;
        print_json(&first, streams)?;
    }
    Ok(())
}

fn linked_art(question: &Question, streams: &mut Streams<'_>) -> Result<(), Failure> {
    for club in &question.clubs {
        let datings = question
            .parts()
            .into_iter()
            .map(|part| question.date_without_account(club, part))
            .collect::<Result<Vec<_>, _>>()?;
        print_json(&LinkedArt::new(&question.loaded, club, &datings), streams)?;
    }
    Ok(())
}

fn csv(arguments: &DateArguments, question: &Question, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let failed = |error: csv::Error| match error.into_kind() {
        csv::ErrorKind::Io(error) => Failure::Stream(error),
        other => Failure::Failed(format!("{other:?}")),
    };
    let mut writer = csv::Writer::from_writer(&mut streams.stdout);
    writer.write_record(HEADINGS).map_err(failed)?;
    for club in &question.clubs {
        if let Some(&part) = question.parts().first() {
            let dating = question.date(club, part)?;
            writer.write_record(row(club, &dating, arguments.before)).map_err(failed)?;
        }
    }
    writer.flush()?;
    Ok(())
}
