//! `agewright date`: dates clubs.

use crate::arguments::{DateArguments, DateFormat};
use crate::asked::in_order::in_order;
use crate::asked::opinion_day::opinion_day;
use crate::asked::request::{Request, ShownAccount};
use crate::asked::table_rows::rows_of;
use crate::disk::json_line::print_json;
use crate::disk::table_file::{TableFile, write_csv};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::ListedClub;
use agewright_pages::json::dating::Answer;
use agewright_pages::json::linked_art::LinkedArt;
use agewright_pages::terminal::clubs_text::clubs_text;
use agewright_pages::terminal::date_text::{DateText, accounts_text};

pub fn run(arguments: &DateArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if arguments.before.is_some() && arguments.format == DateFormat::LinkedArt {
        return Err(Failure::Usage("--before has no place in Linked Art; ask for text, json or csv".to_owned()));
    }
    if arguments.like && matches!(arguments.format, DateFormat::Csv | DateFormat::LinkedArt) {
        return Err(Failure::Usage(
            "--like lists clubs as text; json always has them, csv and linked-art never".to_owned(),
        ));
    }
    let inputs = arguments.records.inputs();
    let table = arguments.out.as_deref().map(|out| TableFile::new(out, &inputs, arguments.force)).transpose()?;
    if arguments.reasons && table.is_none() && arguments.format != DateFormat::Csv {
        return Err(Failure::Usage("--reasons fills a column of a table: add --format csv, or --out".to_owned()));
    }
    let request = Request::read(&arguments.records, streams)?.sorted(arguments.sort)?;
    let before = request.year_before(arguments.before, opinion_day(None)?)?;
    if let Some(table) = table {
        return table.write(rows(arguments, &request, before).collect::<Result<Vec<_>, _>>()?);
    }
    match arguments.format {
        DateFormat::Text => text(arguments, &request, before, streams),
        DateFormat::Json => json(&request, before, streams),
        DateFormat::Csv => write_csv(&mut streams.stdout, rows(arguments, &request, before)),
        DateFormat::LinkedArt => linked_art(&request, streams),
    }
}

fn text(
    arguments: &DateArguments,
    request: &Request,
    before: Option<i32>,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let page = streams.page;
    let (detail, like) = (arguments.detail, arguments.like);
    if request.clubs.len() != 1 && !(arguments.ledger || detail || like) {
        let of_club = |club| request.answer(club, request.part(), ShownAccount::Years);
        let clubs = in_order(&request.clubs, of_club).collect::<Result<Vec<_>, Failure>>()?;
        return Ok(write!(streams.stdout, "{}", clubs_text(page, &clubs, before))?);
    }
    let account = if detail { ShownAccount::YearsAndBits } else { ShownAccount::Years };
    let clubs = request.clubs.iter().map(|club| request.answers(club, account)).collect::<Result<Vec<_>, Failure>>()?;
    let shown: Vec<DateText<'_>> = clubs.iter().map(|parts| DateText { parts, before, detail, like }).collect();
    Ok(write!(streams.stdout, "{}", accounts_text(page, &shown))?)
}

fn json(request: &Request, before: Option<i32>, streams: &mut Streams<'_>) -> Result<(), Failure> {
    for club in &request.clubs {
        let answer = Answer::of_club(&request.loaded, &request.answers(club, ShownAccount::YearsAndBits)?, before);
        answer.map_or(Ok(()), |answer| print_json(&answer, streams))?;
    }
    Ok(())
}

fn linked_art(request: &Request, streams: &mut Streams<'_>) -> Result<(), Failure> {
    for club in &request.clubs {
        let parts = request.parts().into_iter();
        let answers =
            parts.map(|part| request.answer(club, part, ShownAccount::Years)).collect::<Result<Vec<_>, _>>()?;
        let datings: Vec<_> = answers.into_iter().map(|answered| answered.dating).collect();
        print_json(&LinkedArt::new(&request.loaded, &club.club, &datings), streams)?;
    }
    Ok(())
}

/// Rows of all clubs, one after another.
fn rows<'a>(
    arguments: &'a DateArguments,
    request: &'a Request,
    before: Option<i32>,
) -> impl Iterator<Item = Result<Vec<String>, Failure>> + 'a {
    let of_club = move |club: &'a ListedClub| rows_of(request, club, before, arguments.reasons);
    in_order(&request.clubs, of_club).flat_map(|rows| match rows {
        Ok(rows) => rows.into_iter().map(Ok).collect(),
        Err(failure) => vec![Err(failure)],
    })
}
