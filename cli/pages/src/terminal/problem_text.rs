//! Problems of an input as they are shown: where, what is wrong, how it stands there, and what to do.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use agewright_files::collection::NO_VALUE;
use agewright_files::{InputProblem, Problems};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::Range;

/// More problems than this are counted, not shown.
const MOST_SHOWN: usize = 10;
/// Letters of a line that are shown before and behind what is wrong, at the most.
const AROUND: usize = 22;
/// A longer message holds a value that nobody reads.
const LONGEST: usize = 600;
/// Letters of what is wrong that are shown, at the most.
const MOST_MARKED: usize = 30;

/// The first problems, each with its place, how many more there are, and where to begin.
#[must_use]
pub fn problems_text(page: Page, problems: &Problems) -> String {
    let shown = problems.told().iter().take(MOST_SHOWN).map(|problem| printable(&problem_text(page, problem)));
    let mut text = shown.collect::<Vec<String>>().join("\n\n");
    let more = problems.count().saturating_sub(MOST_SHOWN);
    let more = if more > 0 { format!("and {more} more: ") } else { String::new() };
    if problems.count() > 1 {
        let count = counted(problems.count(), "mistake", "mistakes");
        let told = format!("{more}{count} in all. {}", where_to_begin(problems));
        let _ = write!(text, "\n\n{}", indented(page, &printable(&told)));
    }
    text
}

/// The column that most mistakes are of, or the first mistake.
fn where_to_begin(problems: &Problems) -> String {
    let mut columns: BTreeMap<&str, usize> = BTreeMap::new();
    for problem in problems.told() {
        let column = problem.place.as_ref().and_then(|place| place.rsplit_once("column "));
        *columns.entry(column.map_or("", |(_, column)| column)).or_default() += 1;
    }
    let told = problems.told().len();
    match columns.iter().max_by_key(|(_, count)| **count) {
        Some((column, count)) if !column.is_empty() && columns.len() > 1 && 2 * count > told => {
            let of = if told < problems.count() { format!("the first {told}") } else { "them".to_owned() };
            format!("Begin with column {column}: {count} of {of} are of it.")
        }
        Some((column, _)) if !column.is_empty() && columns.len() == 1 => {
            format!("All{} are of column {column}.", if told < problems.count() { " that were looked at" } else { "" })
        }
        // Cells of a table do not hang on each other; parts of a catalogue may.
        Some((column, _)) if !column.is_empty() => "They are of several columns, each by itself.".to_owned(),
        _ => "Begin with the first: later ones may follow from it.".to_owned(),
    }
}

fn problem_text(page: Page, problem: &InputProblem) -> String {
    let source = &problem.source;
    let place = problem.place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
    let what_to_do = problem.help.iter().map(|help| format!("What to do: {help}"));
    let Some(bytes) = problem.bytes.clone() else {
        let lines = [format!("error: {}{place}: {}", source.name, problem.message)].into_iter().chain(what_to_do);
        return lines.map(|line| indented(page, &line)).collect::<Vec<_>>().join("\n  ");
    };
    let bytes = on_letters(&source.text, bytes);
    let joint = if source.is_sheet { ", " } else { ":" };
    let mut text = indented(page, &format!("error: {}{joint}{}{place}", source.name, source.place_of(bytes.start)));
    // A sheet has cells and no line that a reader would know again.
    let there = match source.is_sheet {
        true => excerpt(&source.text[bytes.clone()], 0..bytes.len()),
        false => excerpt(&source.text, bytes),
    };
    let there = format!("There: {there}");
    for line in [in_short(&problem.message), there].into_iter().chain(what_to_do) {
        let _ = write!(text, "\n  {}", indented(page, &line));
    }
    text
}

/// A message with a value that is too long to be read is cut in its middle.
fn in_short(message: &str) -> String {
    let letters: Vec<char> = message.chars().collect();
    if letters.len() <= LONGEST {
        return message.to_owned();
    }
    let (head, tail) = (&letters[..LONGEST / 2], &letters[letters.len() - LONGEST / 2..]);
    head.iter().chain(&['.', '.', '.']).chain(tail).collect()
}

/// An error without a place to show; what to do stands on lines of its own.
#[must_use]
pub fn message_text(page: Page, message: &str) -> String {
    let lines: Vec<String> = format!("error: {message}").lines().map(|line| indented(page, line)).collect();
    lines.join("\n  ")
}

/// The same without what a terminal would obey: a file is shown, never run.
fn printable(text: &str) -> String {
    // What a sheet has no value for is marked, and the mark is ours.
    let shown = text.chars().filter(|c| *c != NO_VALUE);
    shown.map(|c| if c.is_control() && c != '\n' { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

/// Wrapped, with room for two blanks before it.
fn indented(page: Page, text: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(page.width() - 2).subsequent_indent("  "))
}

/// What is wrong between two marks, with what stands around it on its line.
fn excerpt(text: &str, bytes: Range<usize>) -> String {
    let starts = text[..bytes.start].rfind('\n').map_or(0, |at| at + 1);
    let ends = text[bytes.start..].find('\n').map_or(text.len(), |at| bytes.start + at);
    let end = bytes.end.clamp(bytes.start, ends);
    let (before, marked, after) = (&text[starts..bytes.start], &text[bytes.start..end], text[end..ends].trim_end());
    let skipped = before.chars().count().saturating_sub(AROUND);
    let before: String = before.chars().skip(skipped).collect();
    let [before_dots, after_dots] =
        [skipped > 0, after.chars().count() > AROUND].map(|cut| if cut { "..." } else { "" });
    let after: String = after.chars().take(AROUND).collect();
    let dots = if marked.chars().count() > MOST_MARKED { "..." } else { "" };
    let marked: String = marked.chars().take(MOST_MARKED).collect();
    format!("{before_dots}{before}\u{bb}{marked}{dots}\u{ab}{after}{after_dots}")
}

/// Bytes that begin and end with whole letters of the text.
fn on_letters(text: &str, bytes: Range<usize>) -> Range<usize> {
    let mut start = bytes.start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = bytes.end.clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;
    use agewright_files::SourceText;

    #[test]
    fn what_is_wrong_stands_between_marks() {
        let text = "id,pin\nK-7,sideside\nK-8,\n";
        assert_eq!(excerpt(text, 11..19), "K-7,\u{bb}sideside\u{ab}");
        assert_eq!(excerpt(text, 24..24), "K-8,\u{bb}\u{ab}", "an empty cell");
        assert_eq!(excerpt(text, 7..99), "\u{bb}K-7,sideside\u{ab}", "no further than its line");
        let long = format!("{}x{}", "a".repeat(50), "b".repeat(50));
        let want = format!("...{}\u{bb}x\u{ab}{}...", "a".repeat(22), "b".repeat(22));
        assert_eq!(excerpt(&long, 50..51), want);
        assert_eq!(excerpt(&long, 0..101), format!("\u{bb}{}...\u{ab}", "a".repeat(30)));
        // Within a letter of two bytes.
        assert_eq!(on_letters("\u{e9}", 1..1), 0..2);
        assert_eq!(printable("A\u{1b}[31m\r\nB"), "A\u{fffd}[31m\u{fffd}\nB");
        let source = SourceText::new("clubs.csv", "id\n\u{e9}\u{e9}x\n");
        assert_eq!(source.place_of(7), "2:3");
    }
}
