//! Files in and out.

mod calibration_document;
mod calibration_file;
mod calibration_toml;
mod calibration_writing;
mod catalogue_toml;
mod collection_csv;
mod csv_fields;
mod draw_toml;
mod marks_csv;
mod parts_toml;
mod record_file;
mod record_toml;
mod record_writing;
mod recording_sheet;
mod records;
mod rules_toml;
mod text_file;
mod whole_file;
mod workbook;

pub use calibration_toml::{LoadedCalibration, load_calibration, read_calibration_text};
pub use calibration_writing::calibration_text;
pub use catalogue_toml::{read_catalogue_text, read_catalogue_with_marks};
pub use collection_csv::{Collection, TableOptions, read_collection, read_collection_text};
pub use marks_csv::read_marks;
pub use record_file::RecordFile;
pub use record_writing::record_text;
pub use recording_sheet::{csv_sheet, xlsx_sheet};
pub use records::read_records;
pub use rules_toml::{read_rules, read_rules_text};
pub use text_file::{read_text, sha256};
pub use whole_file::{check_may_write, check_no_input, write_whole};
