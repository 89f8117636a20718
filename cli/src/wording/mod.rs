//! Words for dates and chances.

mod chance;
mod date_line;
mod edtf;
mod label_date;
mod odds;
mod period;
mod verbal;
mod years;

pub use chance::{chance_in_words, level_in_words};
pub use date_line::{date_line, two_answers};
pub use edtf::{earliest_and_latest, edtf, edtf_level_1};
pub use label_date::{label_date, stands_for};
pub use odds::odds_in_words;
pub use period::read_period;
pub use verbal::{in_a_hundred, in_words, percent};
pub use years::{period_name, span, year};
