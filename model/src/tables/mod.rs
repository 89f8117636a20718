//! What clues look like through time: the calibration and its tables.

pub mod after_the_years;
pub mod calibration;
pub mod calibration_error;
pub mod chance_by_year;
pub(crate) mod check;
pub mod contents;
mod contents_check;
pub(crate) mod laid_shelf;
pub mod level_table;
pub mod mark_use;
pub mod measured_block;
pub mod measured_error;
pub mod origin;
pub mod prior;
pub mod prior_scale;
pub mod replacement;
pub mod shares;
pub mod shelf;
mod shelf_check;
pub mod shelf_scale;
pub mod table_set;
