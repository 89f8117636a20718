//! How good the answers are.

pub mod audit;
pub mod audit_scores;
pub mod learning_curve;
pub mod plain_product;
pub mod scores;
pub mod truth;
