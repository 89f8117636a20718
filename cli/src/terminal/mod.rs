//! Text for a terminal of 80 columns.

mod audit_text;
mod bench_sheet;
mod comparison_text;
mod date_text;
mod fit_text;
mod messages;
mod page;
mod progress;
mod sensitivity_text;

pub use audit_text::{AuditText, audit_text};
pub use bench_sheet::bench_sheet;
pub use comparison_text::comparison_text;
pub use date_text::{DateText, date_text};
pub use fit_text::fit_text;
pub use messages::{NO_COLLECTION, clue_name, out_of_step_message, two_answers_message, unused_messages};
pub use page::signed;
pub use progress::{progress, working};
pub use sensitivity_text::sensitivity_text;
