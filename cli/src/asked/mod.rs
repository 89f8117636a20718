//! What a command is asked: which clubs, by which calibration, prior and clues.

pub mod at_once;
pub mod fitting;
pub mod given_date;
pub mod in_order;
pub mod interrupted;
pub mod opinion_asked;
pub mod opinion_day;
pub mod progress;
pub mod request;
pub mod table_rows;
