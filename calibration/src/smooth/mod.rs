//! Smoothing over years: kernels, lines, moments.

pub(crate) mod bounded_search;
pub mod kernels;
pub mod line;
pub mod moments;
pub mod score_weights;
pub mod theil_sen;
