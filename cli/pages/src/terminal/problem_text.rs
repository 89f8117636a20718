//! Problems of an input as they are shown: where, what is wrong, how it stands there, and what to do.

use crate::terminal::page::WIDTH;
use agewright_files::{InputProblem, SourceText};
use std::fmt::Write as _;
use std::ops::Range;

/// More problems than this are counted, not shown.
const MOST_SHOWN: usize = 10;
/// Letters of a line that are shown before and behind what is wrong, at the most.
const AROUND: usize = 22;
/// Letters of what is wrong that are shown, at the most.
const MOST_MARKED: usize = 30;

/// The first problems, each with its place, and how many more there are.
#[must_use]
pub fn problems_text(problems: &[InputProblem]) -> String {
    let shown = problems.iter().take(MOST_SHOWN).map(|problem| printable(&problem_text(problem)));
    let mut text = shown.collect::<Vec<String>>().join("\n\n");
    if problems.len() > MOST_SHOWN {
        let _ = write!(text, "\n\nand {} more", problems.len() - MOST_SHOWN);
    }
    text
}

fn problem_text(problem: &InputProblem) -> String {
    let source = &problem.source;
    let place = problem.place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
    let what_to_do = problem.help.iter().map(|help| format!("What to do: {help}"));
    let Some(bytes) = problem.bytes.clone() else {
        let lines = [format!("error: {}{place}: {}", source.name, problem.message)].into_iter().chain(what_to_do);
        return lines.map(|line| indented(&line)).collect::<Vec<_>>().join("\n  ");
    };
    let bytes = on_letters(&source.text, bytes);
    let mut text = indented(&format!("error: {}:{}{place}", source.name, line_and_column(source, bytes.start)));
    let there = format!("There: {}", excerpt(&source.text, bytes));
    for line in [problem.message.clone(), there].into_iter().chain(what_to_do) {
        let _ = write!(text, "\n  {}", indented(&line));
    }
    text
}

/// An error without a place to show; what to do stands on lines of its own.
#[must_use]
pub fn message_text(message: &str) -> String {
    let lines: Vec<String> = format!("error: {message}").lines().map(indented).collect();
    lines.join("\n  ")
}

/// The same without what a terminal would obey: a file is shown, never run.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() && c != '\n' { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

/// Wrapped, with room for two blanks before it.
fn indented(text: &str) -> String {
    textwrap::fill(text, textwrap::Options::new(WIDTH - 2).subsequent_indent("  "))
}

/// `17:34`, both from 1, columns by letters.
fn line_and_column(source: &SourceText, byte: usize) -> String {
    let line_starts = source.text[..byte].rfind('\n').map_or(0, |at| at + 1);
    format!("{}:{}", source.line_of(byte), source.text[line_starts..byte].chars().count() + 1)
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
        assert_eq!(line_and_column(&source, 7), "2:3");
    }
}
