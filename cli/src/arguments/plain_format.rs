//! The forms that most results come in.

use clap::ValueEnum;

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlainFormat {
    /// For people.
    Text,
    /// JSON, an object a line.
    Json,
}
