//! What a command is asked: which clubs, by which calibration, prior and clues.

pub mod clue_orders;
pub mod fitting;
pub mod progress;
pub mod request;
