//! From evidence and a prior to the answer: posterior, bands, ledger.

pub mod band;
pub mod conflict;
pub mod dating;
pub mod draws;
pub mod favours;
pub mod ledger;
pub mod out_of_step;
pub mod posterior;
pub mod short_answer;
pub mod subset_walk;
pub mod two_witnesses;
