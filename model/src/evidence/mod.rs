//! From readings and tables to likelihoods by year.

pub mod block;
pub mod evidence;
pub mod joined_parts;
pub mod measures;
pub mod part_prior;
