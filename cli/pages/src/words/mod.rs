//! Words for dates, chances, readings and warnings: every sentence, of no page's width.

pub mod adjusting;
pub mod after_the_years;
pub mod answered;
pub mod before;
pub mod chance;
pub mod counted;
pub mod date_line;
pub mod edtf;
pub mod given_date;
pub mod grounds;
pub mod label_date;
pub mod like;
pub mod look_again;
pub mod moves;
pub mod odds;
pub mod parts;
pub mod period;
pub mod readings;
pub mod sections;
pub mod shared_lag;
pub mod sources;
pub mod unused;
pub mod verbal;
pub mod warning_words;
pub mod years;
