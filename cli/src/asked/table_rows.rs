//! Answers as rows of a table: one for each part that was read, the first part of a club always.

use crate::asked::request::{Request, ShownAccount};
use crate::failure::Failure;
use agewright_files::ListedClub;
use agewright_model::Part;
use agewright_pages::json::row::row;

/// Rows of a club; with `reasons` an account is worked out for them.
pub fn rows_of(
    request: &Request,
    listed: &ListedClub,
    before: Option<i32>,
    reasons: bool,
) -> Result<Vec<Vec<String>>, Failure> {
    let of_part = |part: Part| Ok(row(&request.answer(listed, part, ShownAccount::Years)?, before, reasons));
    request.parts_of(&listed.club).map(of_part).collect()
}
