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

pub use audit::audit::{Audit, AuditPlan, audit};
pub use audit::audit_scores::Means;
pub use audit::learning_curve::{AuditOf, AuditVariants, CurvePoint, learning_curve, without_each_clue};
pub use dated::dated_club::DatedClub;
pub use fit::comparison::{Comparison, compare};
pub use fit::fit::{Fit, FitError, FitReport, FitSettings, fit};
pub use simulate::drawn_club::draw_club;
pub use tables::method::FitMethod;
pub use tables::rules::Rules;
