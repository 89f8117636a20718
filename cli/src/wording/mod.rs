//! Words for dates and chances.

mod chance;
mod date_line;
mod edtf;
mod years;

pub use chance::{chance_in_words, level_in_words};
pub use date_line::{date_line, two_answers};
pub use edtf::edtf;
pub use years::{span, year};
