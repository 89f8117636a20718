//! A club as it was read.

use crate::reading::cell::Cell;
use std::collections::BTreeMap;

/// One club: its readings in catalogue order, and words for the page that are never evidence.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Club {
    /// Name of the club in its table or record.
    pub id: String,
    /// One cell for each clue of the catalogue, in its order.
    pub cells: Vec<Cell>,
    /// Title, inscription, condition and the like: for the page, never evidence.
    pub text: BTreeMap<String, String>,
    /// A note; for the page, never evidence.
    pub note: String,
}
