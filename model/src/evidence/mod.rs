//! From readings and tables to likelihoods by year.

pub mod asked;
pub(crate) mod block;
mod copied;
pub mod evidence;
pub(crate) mod joined_evidence;
mod joined_parts;
mod joining;
mod measures;
pub(crate) mod on_shelf;
mod one_clue;
mod own_evidence;
mod own_years;
mod part_prior;
mod remaining_years;
mod remembered;
pub(crate) mod shelf_walk;
pub mod usable;
pub(crate) mod weighed;
