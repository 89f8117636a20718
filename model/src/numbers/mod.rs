//! Numbers that the rest stands on: the axis of years, sums in ln, densities, Shapley values. Imports nothing of the
//! house.

pub mod axis;
pub mod between;
pub mod cholesky;
pub mod ln_sums;
pub mod normal;
pub mod normal_sums;
pub mod shapley;
pub mod shared_lag;
pub mod student_t;
