//! What is read on a club, and how: the catalogue, its clues, cells and measures.

pub mod catalogue;
pub mod cell;
pub mod club;
pub mod measure_text;
pub mod misread;
pub mod register;
pub mod scale;
pub mod units;
