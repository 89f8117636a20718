//! `agewright next`: what to look at next.

use crate::arguments::{ClubArguments, PlainFormat};
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
    for (place, part) in request.parts().into_iter().enumerate() {
        let asked = request.ask(club, part)?;
        let next = next_looks(&asked);
        match arguments.format {
            PlainFormat::Text => {
                let gap = if place > 0 { "\n" } else { "" };
                write!(streams.stdout, "{gap}{}", next_text(&asked, &next))?;
            }
            PlainFormat::Json => print_json(&NextAnswer::new(&request.loaded, &asked, &next), streams)?,
        }
    }
    Ok(())
}
