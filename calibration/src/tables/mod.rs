//! Fits of the tables, all on some of the clubs.

pub mod adjuster_fit;
pub mod all_tables;
pub(crate) mod block_fit;
pub mod collection_prior;
pub mod fit_data;
pub mod level_fit;
pub mod measured_fit;
pub mod method;
pub mod omissions;
pub mod residual_correlation;
pub mod rules;
pub(crate) mod well_read;
