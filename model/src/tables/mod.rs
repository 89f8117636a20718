//! What clues look like through time: the calibration and its tables.

pub mod calibration;
pub mod level_table;
pub mod mark_use;
pub mod measured_block;
pub mod prior;
pub mod replacement;
