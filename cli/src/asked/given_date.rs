//! The date that a record gives, told beside what its clues say.

use crate::asked::request::Request;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_pages::words::given_date::given_sentence;

/// Says what date the only club is given, where it is given one.
pub fn tell_given(request: &Request, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let Some(date) = request.one_listed()?.date else { return Ok(()) };
    Ok(writeln!(streams.stdout, "\n{}", streams.page.wrapped(&given_sentence(&date), "  "))?)
}
