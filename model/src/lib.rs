//! The dating model of agewright: pure computation, values in and values out.
//!
//! A club's readings become a likelihood over years for each clue, from the tables of a calibration; the likelihoods
//! and a prior become a posterior by year; the ledger says how far each clue moved the answer, and it balances.
//!
//! A club dated from its readings to its ledger:
//!
//! ```
//! use agewright_model::tables::level_table::{LevelRow, LevelTable};
//! use agewright_model::{Accounting, Asked, Axis, Calibration, CalibrationContents, Catalogue, Clue, ClueKind, Dating};
//! use agewright_model::{Ledger, Level, Origin, Part, Prior, TableSet};
//!
//! // A catalogue of one clue: teeth of the hosel that are coarse or fine, misread once in ten times.
//! let axis = Axis::new(1850, 1900, 10).unwrap();
//! let levels = vec![Level::plain("coarse"), Level::plain("fine")];
//! let nicking = Clue { levels, misread: 0.1, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
//! // Its table: coarse teeth grow rarer, from 9 in 10 in the 1850s to 1 in 10 in the 1890s.
//! let row = |r: usize| LevelRow { clubs: 5.0, shares: vec![0.9 - 0.2 * r as f64, 0.1 + 0.2 * r as f64] };
//! let rows = (0..axis.n_rows()).map(row).collect();
//! let (clue, overall) = ("nicking".to_owned(), vec![0.5, 0.5]);
//! let table = LevelTable { clue, clubs: 25, bandwidth: 10.0, weight: 1.0, overall, rows };
//! let calibration = Calibration::new(CalibrationContents {
//!     name: "small".into(),
//!     catalogue: Catalogue::new("small", axis, vec![nicking]).unwrap(),
//!     origin: Origin::default(),
//!     tables: TableSet { levels: vec![table], ..TableSet::default() },
//!     marks: Vec::new(),
//!     parts: None,
//!     shelf: None,
//!     shared_lag: 0.0,
//!     default_prior: Prior::FLAT.into(),
//!     draws: Vec::new(),
//! })
//! .unwrap();
//!
//! // A club, a question, an answer.
//! let club = calibration.catalogue().club("mine", &[("nicking", "coarse")]).unwrap();
//! let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
//! let dating = Dating::of(&asked);
//! assert!((dating.posterior.by_year().iter().sum::<f64>() - 1.0).abs() < 1e-12);
//! assert_eq!(dating.posterior.median(), 1864);
//!
//! // The ledger balances: before any clue, what each moved, with all clues.
//! let ledger = Ledger::of(&asked, Accounting::default());
//! let moved: f64 = ledger.entries.iter().map(|entry| entry.years).sum();
//! assert!((ledger.opening + moved - ledger.closing).abs() < 1e-9);
//! ```
//!
//! The folders, in the order of the computation; none imports one that stands below it:
//! [`numbers`], [`reading`], [`tables`], [`evidence`], [`answer`], [`questions`].
#![warn(missing_docs)]

pub mod answer;
pub mod evidence;
pub mod numbers;
pub mod questions;
pub mod reading;
pub mod tables;

pub use answer::band::Band;
pub use answer::dating::Dating;
pub use answer::ledger::{Accounting, Ledger};
pub use answer::posterior::Posterior;
pub use answer::short_answer::ShortAnswer;
pub use evidence::asked::{Asked, AskedError};
pub use evidence::evidence::Evidence;
pub use numbers::axis::Axis;
pub use questions::next_look::next_looks;
pub use questions::sensitivity::sensitivity;
pub use questions::warning::{Warning, warnings};
pub use questions::why_not::PeriodAccount;
pub use reading::catalogue::{Catalogue, CatalogueError};
pub use reading::cell::{Cell, Reading, Seen};
pub use reading::club::Club;
pub use reading::clue::{Clue, ClueKind, TableForm};
pub use reading::known_date::KnownDate;
pub use reading::level::Level;
pub use reading::part::Part;
pub use reading::register::Register;
pub use reading::units::Unit;
pub use tables::calibration::Calibration;
pub use tables::calibration_error::CalibrationError;
pub use tables::contents::CalibrationContents;
pub use tables::origin::Origin;
pub use tables::prior::Prior;
pub use tables::table_set::TableSet;
