//! The catalogue as a sheet for the bench.

use crate::terminal::page::Page;
use agewright_model::{Catalogue, Cell, Clue, Level, Register};

/// Each clue with its unit or levels and how to take the reading.
#[must_use]
pub fn bench_sheet(page: Page, catalogue: &Catalogue) -> String {
    let mut out = format!("{}, {} to {}\n\n", catalogue.name(), catalogue.axis().from(), catalogue.axis().last());
    out.push_str(&fill(
        page,
        "Leave blank what was not examined. Write \"unreadable\" for worn or covered, \"altered\" for known later \
         work, a | b for one of these, and ? behind a doubtful reading. \"absent\" is a reading: looked for on a sound \
         surface and not there. Nothing is cleaned, unwound or taken apart for a reading; chisel-cut points are sharp.",
        "",
    ));
    out.push('\n');
    for (number, clue) in (1..).zip(catalogue.clues()) {
        clue_entry(page, &mut out, number, clue);
    }
    out
}

/// A clue as it is asked for at the bench: what may be answered, how the reading is taken, and the answer there is.
#[must_use]
pub fn clue_prompt(page: Page, clue: &Clue, number: usize, of: usize, now: Option<&Cell>) -> String {
    let mut out = fill(page, &format!("{number} of {of}  {}", clue.name()), "");
    let is_choice = !clue.levels.is_empty();
    for (choice, words) in (1..).zip(what_may_be_written(clue)) {
        out.push_str(&fill(page, &if is_choice { format!("{choice} {words}") } else { words }, "  "));
    }
    if !clue.how.is_empty() {
        out.push_str(&fill(page, &clue.how, "  "));
    }
    let now = match now {
        Some(Cell::Read(reading)) => &reading.text,
        Some(Cell::Unreadable) => "unreadable",
        Some(Cell::Altered) => "altered",
        _ => return out,
    };
    out.push_str(&fill(page, &format!("now: {now}"), "  "));
    out
}

/// What may be written for a clue: its unit and range, what a number looks like, or each of its levels.
fn what_may_be_written(clue: &Clue) -> Vec<String> {
    match clue.register {
        _ if clue.kind.is_measure() => vec![measure_words(clue)],
        Some(register) => vec![number_words(register)],
        None => clue.levels.iter().map(level_words).collect(),
    }
}

/// A level by the name that it is entered and printed by, with its look.
fn level_words(level: &Level) -> String {
    let look = if level.look.is_empty() { String::new() } else { format!(": {}", level.look) };
    format!("{}{look}", level.name())
}

/// What a register's number looks like.
fn number_words(register: Register) -> String {
    let year = if register == Register::GbPatents { ", its year behind a stroke (10811/97)" } else { "" };
    format!("number of the {}{year}; ? for a digit that cannot be read, (?) behind a doubtful one", register.name())
}

/// Unit, range and tolerance of a measured clue.
fn measure_words(clue: &Clue) -> String {
    let range = clue.range.map_or_else(String::new, |[low, high]| format!(", {low} to {high}"));
    let tolerance = clue.tolerance.map_or_else(String::new, |t| format!(", to within {t}"));
    format!("{}{range}{tolerance}", clue.unit.plural())
}

fn fill(page: Page, text: &str, indent: &str) -> String {
    format!(
        "{}
",
        page.indented(text, indent)
    )
}

fn clue_entry(page: Page, out: &mut String, number: usize, clue: &Clue) {
    let what = if clue.adjusts { "of the {}; no evidence of date by itself" } else { "dates the {}" };
    let what = what.replace("{}", clue.part.word());
    out.push_str(&fill(page, &format!("{number}. {}", clue.name()), ""));
    out.push_str(&fill(page, &format!("[{}; {what}]", clue.id), "   "));
    for words in what_may_be_written(clue) {
        out.push_str(&fill(page, &if clue.levels.is_empty() { words } else { format!("- {words}") }, "   "));
    }
    if !clue.how.is_empty() {
        out.push_str(&fill(page, &clue.how, "   "));
    }
    out.push('\n');
}
