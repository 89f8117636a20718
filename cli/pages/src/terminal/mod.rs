//! Text for a terminal, of 50 to 80 columns.

#[cfg(feature = "fit")]
pub mod audit_text;
pub mod bench_sheet;
pub mod clubs_text;
pub mod collection_text;
#[cfg(feature = "fit")]
pub mod comparison_text;
pub mod date_text;
#[cfg(feature = "fit")]
pub mod fit_text;
mod ledger_text;
pub mod like_text;
pub mod next_text;
pub mod opinion_text;
pub mod page;
pub mod problem_text;
pub mod sensitivity_text;
pub mod side_by_side_text;
pub mod why_not_text;
