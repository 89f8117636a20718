//! From evidence and a prior to the answer: posterior, bands, ledger.

mod all_sets;
pub mod band;
pub mod clue_standing;
pub mod conflict;
pub mod dating;
pub mod draws;
mod entropy_walk;
pub mod favours;
pub mod ledger;
pub mod out_of_step;
pub mod posterior;
pub mod short_answer;
pub(crate) mod subset_sums;
pub mod two_witnesses;
