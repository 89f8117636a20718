//! The dating model of agewright: pure computation, values in and values out.
//!
//! A club's readings become a likelihood over years for each clue, from the tables of a calibration; the likelihoods
//! and a prior become a posterior by year; the ledger says how far each clue moved the answer, and it balances.
//!
//! ```
//! use agewright_model::{Axis, Prior, Posterior};
//!
//! let axis = Axis::new(1850, 1900, 10).unwrap();
//! let prior = Prior::flat(axis);
//! // A clue that is twice as likely in every year from 1880 as before it.
//! let ln_likelihood: Vec<f64> = axis.years().map(|y| if y < 1880 { 0.0 } else { 2_f64.ln() }).collect();
//! let posterior = Posterior::new(axis, &[prior.ln_by_year(), &ln_likelihood]);
//! assert!((posterior.probability_between(1880, 1899) - 4.0 / 7.0).abs() < 1e-12);
//! ```
#![warn(missing_docs)]

pub mod answer;
pub mod evidence;
pub mod numbers;
pub mod questions;
pub mod reading;
pub mod tables;

pub use answer::band::{Band, CREDIBLE_LEVELS, Interval, interval_pieces};
pub use answer::conflict::{CONFLICT_OVERLAP, Conflict};
pub use answer::dating::{Dating, DatingError, DatingOptions, UnusedClue, WhyUnused};
pub use answer::draws::DrawnAnswer;
pub use answer::favours::{FAVOURS_LEAST_RATIO, favoured_years};
pub use answer::ledger::{EXACT_CLUES, Ledger, LedgerEntry, LedgerMethod, WithoutClue};
pub use answer::out_of_step::{OUT_OF_STEP_MISREAD, OutOfStep, out_of_step};
pub use answer::posterior::Posterior;
pub use evidence::evidence::Evidence;
pub use numbers::axis::{Axis, AxisError, Blend};
pub use numbers::ln_sums::{ln_add, ln_sum, normalised_from_ln};
pub use numbers::shapley::{OrderedShares, exact_shares, ordered_shares};
pub use numbers::student_t::{ln_multivariate_t, ln_student_t};
pub use questions::counts_by_decade::{RowCount, THIN_CHANCE, UncertainCount, counts_by_row, thin_rows};
pub use questions::next_look::{CHANGED_YEARS, NextLook, NextLooks, Outcome, next_looks};
pub use questions::sensitivity::{Sensitivity, WithPrior, sensitivity};
pub use questions::side_by_side::{ClueSideBySide, SideBySide, side_by_side};
pub use questions::weight_of_evidence::{decibans, weight_of_evidence};
pub use questions::which_is_older::{OlderThan, chances_of_oldest};
pub use questions::why_not::{Period, PeriodAccount, PeriodEntry};
pub use reading::catalogue::{Catalogue, CatalogueError, Clue, ClueKind, Level, Part, YearRange};
pub use reading::cell::{Cell, CellError, Reading, Seen};
pub use reading::club::Club;
pub use reading::misread::{DOUBTFUL_MISREAD, LEAST_MISREAD};
pub use reading::register::{Register, RegisterError, RegisteredIn, lag_chance};
pub use reading::scale::Scale;
pub use reading::units::Unit;
pub use tables::calibration::{AuditFigures, Calibration, CalibrationError, Origin};
pub use tables::level_table::{LevelRow, LevelTable, LevelTableError};
pub use tables::mark_use::{MarkError, MarkUse};
pub use tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredBlockError, MeasuredRow, MeasuredTable};
pub use tables::prior::{Prior, PriorError, PriorRow, Spread};
pub use tables::replacement::{PartsError, PartsModel, Replacement, SignTable};
