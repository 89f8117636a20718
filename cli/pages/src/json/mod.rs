//! Answers for programs, as JSON and as rows of a table: a contract with a schema number, its fields documented in
//! cli/JSON.md. Numbers are given in full, for others to compute with.

#[cfg(feature = "fit")]
pub mod audit;
pub mod clues;
pub mod collection;
pub mod dating;
pub mod grounds;
pub mod like;
pub mod linked_art;
pub mod next;
pub mod opinion;
pub mod row;
#[cfg(feature = "schema")]
pub mod schema;
pub mod sensitivity;
mod shared;
pub mod side_by_side;
pub mod why_not;
pub mod write_up;
