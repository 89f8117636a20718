//! What clues look like through time: the calibration and its tables.

pub mod calibration;
pub mod calibration_error;
pub(crate) mod check;
pub mod contents;
mod contents_check;
pub mod level_table;
pub mod mark_use;
pub mod measured_block;
pub mod measured_error;
pub mod origin;
pub mod prior;
pub mod replacement;
pub mod shares;
pub mod table_set;
