//! Answers as pieces of HTML, for a page that has its own frame.

use crate::laid_out::period_account::LaidOutPeriods;
use crate::laid_out::side_by_side::LaidOutClubs;
use crate::write_up::page_error::PageError;
use crate::write_up::templates::environment;
use minijinja::value::{Serde, Value};
use serde::Serialize;

/// Why one period and not another.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn period_account_html(told: &LaidOutPeriods) -> Result<String, PageError> {
    filled("period-account.html", told)
}

/// Clubs side by side.
///
/// # Errors
/// As [`period_account_html`].
pub fn side_by_side_html(told: &LaidOutClubs) -> Result<String, PageError> {
    filled("side-by-side.html", told)
}

fn filled(name: &str, told: &impl Serialize) -> Result<String, PageError> {
    Ok(environment()?.get_template(name)?.render(Value::from(Serde(told)))?)
}
