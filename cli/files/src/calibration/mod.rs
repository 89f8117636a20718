//! The calibration file: TOML that a person can read and edit.

mod document;
pub(crate) mod draws;
pub(crate) mod layout;
pub(crate) mod parts;
pub mod reading;
mod tidy;
pub mod writing;
