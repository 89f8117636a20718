//! Clubs of known date, and how a collection is divided.

pub mod date_spread;
pub mod dated_club;
pub mod folds;
pub mod sets;
