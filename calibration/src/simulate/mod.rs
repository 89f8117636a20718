//! Clubs drawn from the tables.

pub mod drawn_club;
