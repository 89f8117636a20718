//! Fits the tables of the dating model from clubs of known date: values in, values out.
//!
//! Clubs of a dated collection are spread over the years by a kernel; level clues become smoothed shares, measured
//! clues a drifting mean with one residual correlation, and the dates themselves a prior. Bandwidths and smoothing are
//! averaged by their exact leave-one-out scores.
#![warn(missing_docs)]

pub mod audit;
pub mod dated;
pub mod fit;
pub mod simulate;
pub mod smooth;
pub mod tables;

pub use audit::audit::{Audit, AuditPlan, AuditedClub, Surprise, audit, n_fits};
pub use audit::audit_scores::{AuditScores, Means};
pub use audit::plain_product::product_posterior;
pub use audit::scores::{absolute_error, covered_share, crps, log_score, randomised_pit};
pub use dated::dated_club::{DateGrade, DatedClub, DatedClubError};
pub use dated::folds::{folds_by_date, thinned};
pub use fit::comparison::{ClueChange, Comparison, DateChange, RowChange, compare};
pub use fit::fit::{Fit, FitError, FitReport, FitSettings, LeftOut, Narrowing, SetAside, fit};
pub use fit::rule_conflicts::RuleConflict;
pub use simulate::drawn_club::draw_club;
pub use smooth::line::Line;
pub use smooth::moments::{Moments, weighted_moments};
pub use smooth::theil_sen::{median, theil_sen};
pub use tables::all_tables::WhyLeftOut;
pub use tables::level_fit::predictive_share;
pub use tables::method::FitMethod;
pub use tables::residual_correlation::{Shrinkage, shrunk_correlation};
pub use tables::rules::{Cause, Effect, LevelRule, MeasuredRule, Rules};
