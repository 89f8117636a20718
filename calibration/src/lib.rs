//! Fits the tables of the dating model from clubs of known date: values in, values out.
//!
//! Clubs of a dated collection are spread over the years by a kernel; level clues become smoothed shares, measured
//! clues a drifting mean with one residual correlation, and the dates themselves a prior. Bandwidths and smoothing are
//! averaged by their exact leave-one-out scores.
#![warn(missing_docs)]

mod adjuster_fit;
mod audit;
mod audit_scores;
mod collection_prior;
mod comparison;
mod date_narrowing;
mod date_spread;
mod dated_club;
mod fit;
mod fit_data;
mod fold_evidence;
mod folds;
mod invented_club;
mod kernels;
mod level_fit;
mod line;
mod measured_fit;
mod method;
mod moments;
mod plain_product;
mod resampling;
mod residual_correlation;
mod rule_conflicts;
mod rules;
mod score_weights;
mod scores;
mod table_fit;
mod theil_sen;
mod weight_fit;

pub use audit::{Audit, AuditPlan, AuditedClub, Surprise, audit, n_fits};
pub use audit_scores::{AuditScores, Means};
pub use comparison::{ClueChange, Comparison, DateChange, RowChange, compare};
pub use dated_club::{DateGrade, DatedClub, DatedClubError};
pub use fit::{Fit, FitError, FitReport, FitSettings, LeftOut, Narrowing, SetAside, fit};
pub use folds::{folds_by_date, thinned};
pub use invented_club::draw_club;
pub use level_fit::predictive_share;
pub use line::Line;
pub use method::FitMethod;
pub use moments::{Moments, weighted_moments};
pub use plain_product::product_posterior;
pub use residual_correlation::{Shrinkage, shrunk_correlation};
pub use rule_conflicts::RuleConflict;
pub use rules::{Cause, Effect, LevelRule, MeasuredRule, Rules};
pub use scores::{absolute_error, covered_share, crps, log_score, randomised_pit};
pub use table_fit::WhyLeftOut;
pub use theil_sen::{median, theil_sen};
