//! Write-ups: a club on paper, as a report, a catalogue entry, a label and an insurer's schedule.

mod axis_bars;
mod cut_texts;
mod disagreement;
pub mod facts;
pub mod fragments;
pub mod illustrated_sheet;
pub mod known;
mod named_clues;
mod object_id;
mod on_paper;
pub mod page_error;
pub mod pages;
mod part_facts;
pub mod sheets;
pub mod short_texts;
pub mod templates;
mod told_readings;
