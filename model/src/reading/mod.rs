//! What is read on a club, and how: the catalogue, its clues, cells and measures.

pub mod catalogue;
pub mod cell;
pub mod cell_error;
pub mod club;
pub mod clue;
pub mod clue_check;
pub mod document_path;
pub mod drawing;
pub mod known_date;
pub mod level;
mod measure_text;
pub mod misread;
pub mod needs;
pub mod needs_met;
pub mod part;
pub mod period_text;
pub mod register;
pub mod scale;
pub mod silence;
pub mod silent_on;
pub mod specialist;
pub mod trap;
pub mod units;
