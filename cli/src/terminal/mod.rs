//! Text for a terminal of 80 columns.

mod audit_text;
mod bench_sheet;
mod collection_text;
mod comparison_text;
mod date_text;
mod fit_text;
mod messages;
mod next_text;
mod page;
mod progress;
mod sensitivity_text;
mod side_by_side_text;
mod traps;
mod why_not_text;

pub use audit_text::{AuditText, audit_text};
pub use bench_sheet::{bench_sheet, clue_prompt};
pub use collection_text::collection_text;
pub use comparison_text::comparison_text;
pub use date_text::{DateText, date_text};
pub use fit_text::{audit_words, fit_text};
pub use messages::{
    NO_COLLECTION, clue_how, clue_name, conflict_message, other_priors_message, out_of_step_message, part_of,
    replaced_message, section_of, specialist_message, two_answers_message, unused_messages,
};
pub use next_text::next_text;
pub use page::{row_name, signed, wrapped};
pub use progress::{progress, working};
pub use sensitivity_text::sensitivity_text;
pub use side_by_side_text::side_by_side_text;
pub use traps::{Caution, cautions};
pub use why_not_text::why_not_text;
