//! Problems of an input as they are shown: the place in the file, what is wrong, and what to do.

use crate::terminal::page::WIDTH;
use agewright_files::InputProblem;
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::fmt::Write as _;
use std::ops::Range;

/// More problems than this are counted, not shown.
const MOST_SHOWN: usize = 10;

/// The first problems, each with its place, and how many more there are.
#[must_use]
pub fn problems_text(problems: &[InputProblem]) -> String {
    let mut text = String::new();
    for problem in problems.iter().take(MOST_SHOWN) {
        let _ = writeln!(text, "{}\n", problem_text(problem));
    }
    if problems.len() > MOST_SHOWN {
        let _ = write!(text, "and {} more", problems.len() - MOST_SHOWN);
    }
    text.trim_end().to_owned()
}

fn problem_text(problem: &InputProblem) -> String {
    let Some(bytes) = problem.bytes.clone() else {
        let help = problem.help.as_ref().map_or_else(String::new, |help| format!("\n= help: {help}"));
        return message_text(&format!("{}: {}{help}", problem.source.name, problem.message));
    };
    let bytes = marked(&problem.source.text, bytes);
    let (message, help) = (broken(&problem.message, 7), problem.help.as_ref().map(|help| broken(help, 12)));
    let label = problem.place.clone().unwrap_or_default();
    let mark = AnnotationKind::Primary.span(bytes).label(label.as_str());
    let snippet = Snippet::source(problem.source.text.as_str()).path(problem.source.name.as_str()).annotation(mark);
    let group = Level::ERROR.primary_title(message.as_str()).element(snippet);
    let group = match &help {
        Some(help) => group.element(Level::HELP.message(help.as_str())),
        None => group,
    };
    Renderer::plain().term_width(WIDTH).render(&[group])
}

/// An error without a place to show.
#[must_use]
pub fn message_text(message: &str) -> String {
    textwrap::fill(&format!("error: {message}"), textwrap::Options::new(WIDTH).subsequent_indent("  "))
}

/// Bytes to put a mark under: at least one letter, whole letters only.
fn marked(text: &str, bytes: Range<usize>) -> Range<usize> {
    let mut start = bytes.start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    // An empty cell still needs a mark under it.
    let mut end = bytes.end.max(start + 1).min(text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    start..end
}

/// Long sentences are broken to stay within the page; the renderer indents the later lines.
fn broken(text: &str, indent: usize) -> String {
    textwrap::fill(text, WIDTH - indent)
}
