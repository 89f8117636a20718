//! A club as templates get it: its facts, and the texts of a fixed length.

use crate::write_up::facts::PageFacts;
use crate::write_up::object_id::{ScheduleLine, schedule};
use crate::write_up::short_texts::{catalogue_entry, catalogue_heading, label};
use serde::Serialize;

/// A club on paper.
#[derive(Serialize)]
pub(crate) struct OnPaper<'a> {
    facts: &'a PageFacts,
    heading: String,
    entry: String,
    label_title: String,
    label_text: String,
    schedule: Vec<ScheduleLine>,
}

impl<'a> OnPaper<'a> {
    pub fn new(facts: &'a PageFacts) -> Self {
        let (label_title, label_text) = label(facts);
        let (heading, entry) = (catalogue_heading(facts), catalogue_entry(facts));
        Self { facts, heading, entry, label_title, label_text, schedule: schedule(facts) }
    }
}
