//! The calibration file: TOML that a person can read and edit.

mod block_form;
pub(crate) mod calibration_file;
mod document;
mod level_form;
mod mark_form;
mod measured_form;
pub(crate) mod parts;
mod placed;
pub(crate) mod prior_form;
pub mod reading;
mod shelf_form;
mod tidy;
pub mod writing;
