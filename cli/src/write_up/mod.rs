//! Write-ups: a club on paper, as a report, a catalogue entry, a label and an insurer's schedule.

mod facts;
mod folder_name;
mod object_id;
mod pages;
mod part_facts;
mod plain_words;
mod short_texts;

pub use facts::{Known, PageFacts};
pub use folder_name::folder_name;
pub use pages::pages;
