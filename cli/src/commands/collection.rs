//! `agewright collection`: a whole collection dated.

use crate::arguments::{CollectionArguments, PlainFormat};
use crate::asked::in_order::in_order;
use crate::asked::progress::progress;
use crate::asked::request::{Request, ShownAccount};
use crate::asked::table_rows::rows_of;
use crate::disk::json_line::print_json;
use crate::disk::table_file::TableFile;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::ListedClub;
use agewright_model::questions::overview::{CountedClub, Overview, is_known};
use agewright_pages::json::collection::CollectionAnswer;
use agewright_pages::terminal::collection_text::collection_text;
use agewright_pages::words::answered::Answered;
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::given_date::given_years;
use agewright_pages::words::named::noted_of_all;

pub fn run(arguments: &CollectionArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let inputs = arguments.club.records.inputs();
    let table = arguments.out.as_deref().map(|out| TableFile::new(out, &inputs, arguments.force)).transpose()?;
    let request = Request::read(&arguments.club.records, streams)?;
    request.check_ids()?;
    if let Some(table) = table {
        let bar = progress("reasons", request.clubs.len());
        let mut rows = Vec::new();
        let of_club = |club| rows_of(&request, club, None, true).inspect(|_| bar.inc(1));
        for of_club in in_order(&request.clubs, of_club) {
            rows.extend(of_club?);
        }
        bar.finish();
        table.write(rows)?;
    }
    let overview = overview(&request, arguments.by_clues_alone)?;
    match arguments.club.format {
        PlainFormat::Text => Ok(write!(
            streams.stdout,
            "{}",
            collection_text(
                streams.page,
                &request.loaded.calibration,
                &overview,
                noted_of_all(request.clubs()).as_deref(),
                request.lag_elsewhere()
            )
        )?),
        PlainFormat::Json => print_json(&CollectionAnswer::new(&request.loaded, &overview), streams),
    }
}

fn overview(request: &Request, by_clues_alone: bool) -> Result<Overview, Failure> {
    let (axis, part) = (request.loaded.calibration.catalogue().axis(), request.part());
    let mut overview = Overview::new(axis, part, request.prior_name());
    let bar = progress("dating", request.clubs.len());
    let counted = |listed: &ListedClub| -> Result<CountedClub, Failure> {
        let Answered { asked, dating, .. } = request.answer(listed, part, ShownAccount::Years)?;
        bar.inc(1);
        Ok(match listed.date.filter(|date| is_known(date) && !by_clues_alone) {
            Some(date) => CountedClub::known(&asked, &dating, &date, given_years(&date)),
            None => CountedClub::dated(&asked, &dating, date_line(&dating), listed.date),
        })
    };
    for club in in_order(&request.clubs, counted) {
        overview.add(club?);
    }
    bar.finish();
    Ok(overview.counted())
}
