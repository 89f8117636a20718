//! `agewright next`: what to look at next.

use crate::arguments::{ClubArguments, PlainFormat};
use crate::asked::given_date::tell_given;
use crate::asked::request::Request;
use crate::disk::json_line::print_json;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_model::next_looks;
use agewright_pages::json::next::NextAnswer;
use agewright_pages::terminal::next_text::next_text;

pub fn run(arguments: &ClubArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let request = Request::read(&arguments.records, streams)?;
    let club = request.one_club()?;
    let looked = |part| {
        let asked = request.ask(club, part)?;
        let next = next_looks(&asked);
        Ok((asked, next))
    };
    let parts = request.parts().into_iter().map(looked).collect::<Result<Vec<_>, Failure>>()?;
    if arguments.format == PlainFormat::Text {
        write!(streams.stdout, "{}", next_text(streams.page, &parts))?;
        return tell_given(&request, streams);
    }
    for (asked, next) in &parts {
        print_json(&NextAnswer::new(&request.loaded, asked, next), streams)?;
    }
    Ok(())
}
