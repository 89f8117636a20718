//! Answers laid out in rows and sentences, for a terminal and for a page alike: what is told is worked out once.

pub mod period_account;
pub mod side_by_side;
