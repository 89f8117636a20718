//! The schedule for an insurer: the headings of Object ID (International Council of Museums), and no value.

use crate::write_up::disagreement::left_out_on_request;
use crate::write_up::facts::{PageFacts, ReadingFacts};
use serde::Serialize;

/// A heading of the schedule and what stands under it.
#[derive(Debug, Serialize)]
pub struct ScheduleLine {
    pub heading: &'static str,
    pub text: String,
}

const NOT_RECORDED: &str = "not recorded";

/// The schedule, every heading filled or marked as not recorded.
///
/// The headings follow R. Thornes, Introduction to Object ID, 1999 (from memory; the wording of what stands under them
/// is ours). The maker is left open: agewright does not attribute.
pub fn schedule(facts: &PageFacts) -> Vec<ScheduleLine> {
    let text = |keys: &[&str]| {
        let found: Vec<&str> = keys.iter().filter_map(|key| facts.text(key)).collect();
        if found.is_empty() { NOT_RECORDED.to_owned() } else { in_a_row(&found) }
    };
    let of_kind = |is_of: fn(&ReadingFacts) -> bool| {
        let readings = facts.readings.iter().filter(|reading| reading.counts && is_of(reading));
        readings.map(|reading| format!("{}: {}", reading.clue, reading.reading)).collect::<Vec<_>>().join("; ")
    };
    let or_not = |text: String| if text.is_empty() { NOT_RECORDED.to_owned() } else { text };
    let inscriptions = [facts.text("inscription"), facts.text("marks"), Some(&of_kind(|reading| reading.inscribed))];
    let inscriptions: Vec<&str> = inscriptions.into_iter().flatten().filter(|text| !text.is_empty()).collect();
    let features = of_kind(|reading| !reading.measured && !reading.inscribed);
    let dates: Vec<String> = facts
        .parts
        .iter()
        .map(|part| {
            let later =
                part.later.as_ref().map_or_else(String::new, |later| format!(" ({})", later.trim_end_matches('.')));
            format!("{}: {}{later}", part.part, part.date_line)
        })
        .collect();
    let altered: Vec<&str> =
        facts.readings.iter().filter(|reading| !reading.counts).map(|reading| reading.clue.as_str()).collect();
    let altered = if altered.is_empty() {
        String::new()
    } else {
        format!(". Worn, covered or later work: {}", altered.join("; "))
    };
    let given = facts.given.as_ref().map_or_else(String::new, |given| format!(" {given}"));
    let not_counted = left_out_on_request(facts).first().map_or_else(String::new, |said| format!(" {said}"));
    let line = |heading, text| ScheduleLine { heading, text };
    vec![
        line("Number", facts.id.clone()),
        line("Type of object", facts.title.clone()),
        line(
            "Date or period",
            format!("{}. An opinion of {} from the readings.{not_counted}{given}", dates.join("; "), facts.on),
        ),
        line("Materials and techniques", materials(facts, &text(&["materials"]))),
        line("Measurements", or_not(of_kind(|reading| reading.measured))),
        line("Inscriptions and markings", or_not(in_a_row(&inscriptions))),
        line("Distinguishing features", or_not(features)),
        line("Condition and damage", format!("{}{altered}", text(&["condition", "damage"]).trim_end_matches('.'))),
        line("Photographs", or_not(photographs(facts))),
        line("Maker", text(&["maker"])),
        line("Provenance", text(&["provenance"])),
        line("References", text(&["reference"])),
        line("Examined by, and when", text(&["examined_by", "examined_on"])),
        line("Value", "left to a valuer".to_owned()),
    ]
}

/// Texts behind one another, each but the last without its full stop.
fn in_a_row(texts: &[&str]) -> String {
    let last = texts.len().saturating_sub(1);
    let bare = texts.iter().enumerate().map(|(place, text)| match place {
        _ if place < last => text.trim().trim_end_matches(['.', ';']),
        _ => text.trim(),
    });
    bare.collect::<Vec<_>>().join("; ")
}

/// What the record says of materials; where it says nothing, that the readings may.
fn materials(facts: &PageFacts, told: &str) -> String {
    let is_told = told != NOT_RECORDED || !facts.readings.iter().any(|reading| reading.counts);
    if is_told { told.to_owned() } else { "as far as they were read: see distinguishing features".to_owned() }
}

/// What is said of photographs, and those that stand on the page.
fn photographs(facts: &PageFacts) -> String {
    let named = facts.photographs.iter().map(|photograph| match photograph.caption.as_str() {
        "" => photograph.file.clone(),
        caption => format!("{} ({caption})", photograph.file),
    });
    facts.text("photographs").map(str::to_owned).into_iter().chain(named).collect::<Vec<_>>().join("; ")
}
