//! Fits the tables of the dating model from clubs of known date: values in, values out.
//!
//! Clubs of a dated collection are spread over the years by a kernel; level clues become smoothed shares, measured
//! clues a drifting mean with one residual correlation, and the dates themselves a prior. Bandwidths and smoothing are
//! averaged by their exact leave-one-out scores.
//!
//! A collection fitted, audited and asked; the clubs are drawn from a truth, so that the answer is known:
//!
//! ```
//! use agewright_calibration::{AuditPlan, DatedClub, FitSettings, audit, fit};
//! use agewright_model::{Asked, Axis, Catalogue, Clue, ClueKind, KnownDate, Part, Posterior, Unit};
//!
//! // A catalogue of one clue: a hosel that shortens by a hundredth of an inch a year.
//! let hosel = Clue { unit: Unit::Inch, misread: 0.02, ..Clue::new("hosel", ClueKind::Measured, Part::Head) };
//! let catalogue = Catalogue::new("small", Axis::new(1840, 1920, 10).unwrap(), vec![hosel]).unwrap();
//! let dated = |n: i32| {
//!     let year = 1845 + n * 7 % 70;
//!     let length = 5.0 - 0.01 * f64::from(year - 1845) + 0.1 * f64::from(n * 5 % 7 - 3) / 3.0;
//!     let club = catalogue.club(&format!("no. {n}"), &[("hosel", &format!("{length:.2}"))]).unwrap();
//!     DatedClub::new(club, KnownDate::new(catalogue.axis(), year, year, Default::default()).unwrap())
//! };
//! let clubs: Vec<DatedClub> = (0..60).map(dated).collect();
//!
//! // Tables, exponents and a prior from the clubs; then each tenth of them dated by a fit on the rest.
//! let settings = FitSettings::default();
//! let fitted = fit(&catalogue, &clubs, &settings).unwrap();
//! let audited = audit(&catalogue, &clubs, &settings, AuditPlan::Folds(10), 1, &|| {}).unwrap();
//! let [model, prior_alone, _] = audited.means();
//! assert!(model.crps < 0.5 * prior_alone.crps);
//!
//! // The calibration dates a club that it has not seen.
//! let club = catalogue.club("undated", &[("hosel", "4.55 in")]).unwrap();
//! let asked = Asked::new(&fitted.calibration, &club, Part::Head, None, &[]).unwrap();
//! let median = Posterior::of(asked.evidence(), asked.prior(), |_| true).median();
//! assert!((1885..=1895).contains(&median), "{median}");
//! ```
//!
//! The folders, lowest first; none imports one that stands below it in this list: [`dated`] (dates of clubs, folds),
//! [`smooth`] (kernels, lines, moments), [`tables`] (every table from its readings), [`mod@fit`] (exponents, narrowing,
//! draws, comparison), and beside each other [`mod@audit`] and [`simulate`].
#![warn(missing_docs)]

pub mod audit;
pub mod dated;
pub mod fit;
pub mod shelf;
pub mod simulate;
pub mod smooth;
pub mod tables;

pub use audit::audit::{Audit, AuditPlan, audit};
pub use audit::audit_scores::Means;
pub use audit::learning_curve::{AuditOf, AuditVariants, CurvePoint, learning_curve, without_each_clue};
pub use dated::dated_club::DatedClub;
pub use fit::comparison::{Comparison, compare};
pub use fit::fit::{Fit, FitError, FitReport, FitSettings, fit};
pub use simulate::drawn_club::{draw_club, draw_club_by};
pub use tables::method::FitMethod;
pub use tables::rules::Rules;
