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

mod axis;
mod band;
mod calibration;
mod catalogue;
mod club;
mod conflict;
mod counts;
mod dating;
mod draws;
mod evidence;
mod evidence_block;
mod favours;
mod ledger;
mod level_table;
mod ln_sums;
mod marks;
mod measure_text;
mod measured_block;
mod measured_evidence;
mod misread;
mod next_look;
mod older;
mod out_of_step;
mod part_prior;
mod parts;
mod parts_evidence;
mod periods;
mod posterior;
mod prior;
mod reading;
mod register;
mod scale;
mod sensitivity;
mod shapley;
mod side_by_side;
mod student_t;
mod subset_walk;
mod units;
mod weight_of_evidence;

pub use axis::{Axis, AxisError, Blend};
pub use band::{Band, CREDIBLE_LEVELS, Interval, interval_pieces};
pub use calibration::{AuditFigures, Calibration, CalibrationError, Origin};
pub use catalogue::{Catalogue, CatalogueError, Clue, ClueKind, Level, Part, YearRange};
pub use club::Club;
pub use conflict::{CONFLICT_OVERLAP, Conflict};
pub use counts::{RowCount, THIN_CHANCE, UncertainCount, counts_by_row, thin_rows};
pub use dating::{Dating, DatingError, DatingOptions, UnusedClue, WhyUnused};
pub use draws::DrawnAnswer;
pub use evidence::Evidence;
pub use favours::{FAVOURS_LEAST_RATIO, favoured_years};
pub use ledger::{EXACT_CLUES, Ledger, LedgerEntry, LedgerMethod, WithoutClue};
pub use level_table::{LevelRow, LevelTable, LevelTableError};
pub use ln_sums::{ln_add, ln_sum, normalised_from_ln};
pub use marks::{MarkError, MarkUse};
pub use measured_block::{LevelAdjuster, MeasuredBlock, MeasuredBlockError, MeasuredRow, MeasuredTable};
pub use misread::{DOUBTFUL_MISREAD, LEAST_MISREAD};
pub use next_look::{CHANGED_YEARS, NextLook, NextLooks, Outcome, next_looks};
pub use older::{OlderThan, chances_of_oldest};
pub use out_of_step::{OUT_OF_STEP_MISREAD, OutOfStep, out_of_step};
pub use parts::{PartsError, PartsModel, Replacement, SignTable};
pub use periods::{Period, PeriodAccount, PeriodEntry};
pub use posterior::Posterior;
pub use prior::{Prior, PriorError, PriorRow, Spread};
pub use reading::{Cell, CellError, Reading, Seen};
pub use register::{Register, RegisterError, RegisteredIn, lag_chance};
pub use scale::Scale;
pub use sensitivity::{Sensitivity, WithPrior, sensitivity};
pub use shapley::{OrderedShares, exact_shares, ordered_shares};
pub use side_by_side::{ClueSideBySide, SideBySide, side_by_side};
pub use student_t::{ln_multivariate_t, ln_student_t};
pub use units::Unit;
pub use weight_of_evidence::{decibans, weight_of_evidence};
