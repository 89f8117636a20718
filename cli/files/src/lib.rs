//! The file formats of agewright: from text to values and back. No input, no output, no terminal.
//!
//! A club dated by the built-in starter rules, from a record to a date and its ledger:
//!
//! ```
//! use agewright_files::{SourceText, built_in, read_record};
//! use agewright_model::{Accounting, Asked, Dating, Ledger, Part};
//!
//! let loaded = built_in().unwrap();
//! let calibration = &loaded.calibration;
//! let record = r#"
//!     id = "cleek"
//!     [readings]
//!     hosel_to_crease = "4 1/4 in"
//!     face_scoring = "smooth"
//!     nicking_regularity = "fair"
//! "#;
//! let club = read_record(&SourceText::new("cleek.toml", record), calibration.catalogue()).unwrap();
//!
//! let asked = Asked::new(calibration, &club, Part::Head, None, &[]).unwrap();
//! let dating = Dating::of(&asked);
//! let band = dating.band(0.8);
//! assert!(band.contains(1890), "{band:?}");
//! for entry in Ledger::of(&asked, Accounting::default()).by_size() {
//!     println!("{}: {:+.1} years", calibration.catalogue().name_of(&entry.clue), entry.years);
//! }
//! // Nothing but rules of thumb stands behind it, and every answer has to say so.
//! assert!(calibration.is_of_rules_alone());
//! ```
//!
//! Features: `fit` reads rules of thumb and dated clubs for a fit of one's own, `workbook` reads and writes
//! spreadsheets, `photograph` makes pictures ready for a page, `schema` tells the formats as JSON Schema.
#![warn(missing_docs)]

pub mod built_in;
pub mod calibration;
pub mod catalogue;
mod clubs_table;
pub mod collection;
mod csv_fields;
mod decimal_habit;
pub mod drawings;
pub mod marks;
pub mod nearest_word;
#[cfg(feature = "workbook")]
mod ods_cells;
pub mod opinion;
#[cfg(feature = "photograph")]
pub mod photograph;
pub mod photograph_list;
pub mod problem;
pub mod record;
pub mod recording_sheet;
#[cfg(feature = "workbook")]
pub mod recording_workbook;
#[cfg(feature = "fit")]
pub mod rules;
#[cfg(feature = "schema")]
pub mod schemas;
pub mod sha256;
#[cfg(feature = "workbook")]
mod sheet_cells;
mod table_columns;
mod table_dates;
mod table_row;
#[cfg(feature = "workbook")]
pub mod table_workbook;
pub mod text_of_bytes;
mod toml_places;
#[cfg(feature = "workbook")]
pub mod workbook;

pub use built_in::{BUILT_IN, STARTER_CATALOGUE, STARTER_MARKS, STARTER_RULES, built_in};
pub use calibration::reading::LoadedCalibration;
pub use calibration::writing::calibration_text;
pub use catalogue::{CatalogueFile, read_catalogue};
pub use clubs_table::clubs_table;
pub use collection::{Collection, ListedClub, TableOptions, read_collection};
pub use marks::{add_marks, read_marks};
pub use problem::{InputProblem, Problems, Refused, SourceText, WritingError};
pub use record::{
    dated_record_text, listed_club, period_text, read_dated_record, read_record, record_text, written_grade,
};
#[cfg(feature = "fit")]
pub use rules::read_rules;
pub use sha256::sha256;
pub use table_columns::clue_named;
