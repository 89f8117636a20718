//! `agewright sensitivity`: what the answer hangs on.

use crate::arguments::{ClubArguments, PlainFormat};
use crate::asked::given_date::tell_given;
use crate::asked::request::Request;
use crate::disk::json_line::print_json;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_model::sensitivity;
use agewright_pages::json::sensitivity::SensitivityAnswer;
use agewright_pages::terminal::sensitivity_text::sensitivity_text;

pub fn run(arguments: &ClubArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let request = Request::read(&arguments.records, streams)?;
    let asked = request.ask(request.one_club()?, request.part())?;
    let result = sensitivity(&asked);
    match arguments.format {
        PlainFormat::Text => {
            write!(streams.stdout, "{}", sensitivity_text(streams.page, &asked, &result))?;
            tell_given(&request, streams)
        }
        PlainFormat::Json => print_json(&SensitivityAnswer::new(&request.loaded, &asked, &result), streams),
    }
}
