//! Why a command stopped, and how that is told.

use crate::exit_code::ExitStatus;
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::fmt::Write as _;
use std::ops::Range;
use std::rc::Rc;

/// A file that input came from: its name as given and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    pub name: String,
    pub text: String,
}

/// One thing wrong with an input, with its place.
#[derive(Debug, Clone)]
pub struct InputProblem {
    pub source: Rc<SourceText>,
    /// Bytes of the text concerned; `None` for the file as a whole.
    pub bytes: Option<Range<usize>>,
    pub message: String,
    /// Row and column by name, e.g. `club W017, column pin_direction`.
    pub place: Option<String>,
    pub help: Option<String>,
}

impl InputProblem {
    pub fn new(source: &Rc<SourceText>, bytes: Option<Range<usize>>, message: impl Into<String>) -> Self {
        Self { source: Rc::clone(source), bytes, message: message.into(), place: None, help: None }
    }

    pub fn at(mut self, place: impl Into<String>) -> Self {
        self.place = Some(place.into());
        self
    }

    pub fn help(mut self, help: Option<String>) -> Self {
        self.help = help;
        self
    }

    fn render(&self) -> String {
        let Some(bytes) = self.bytes.clone() else {
            let help = self.help.as_ref().map_or_else(String::new, |help| format!("\n= help: {help}"));
            let text = format!("error: {}: {}{help}", self.source.name, self.message);
            return textwrap::fill(&text, textwrap::Options::new(80).subsequent_indent("  "));
        };
        let bytes = marked(&self.source.text, bytes);
        let (message, help) = (broken(&self.message, 7), self.help.as_ref().map(|help| broken(help, 12)));
        let label = self.place.clone().unwrap_or_default();
        let mark = AnnotationKind::Primary.span(bytes).label(label.as_str());
        let snippet = Snippet::source(self.source.text.as_str()).path(self.source.name.as_str()).annotation(mark);
        let group = Level::ERROR.primary_title(message.as_str()).element(snippet);
        let group = match &help {
            Some(help) => group.element(Level::HELP.message(help.as_str())),
            None => group,
        };
        Renderer::plain().term_width(80).render(&[group])
    }
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

/// Long sentences are broken to stay within 80 columns; the renderer indents the later lines.
fn broken(text: &str, indent: usize) -> String {
    textwrap::fill(text, 80 - indent)
}

/// Why a command stopped.
#[derive(Debug)]
pub enum Failure {
    /// Something outside the input failed.
    Failed(String),
    /// The command line asks for what cannot be.
    Usage(String),
    /// Input is rejected.
    Input(Vec<InputProblem>),
    /// Input is rejected as a whole, without a place to show.
    Rejected(String),
    /// A check that was asked for did not pass.
    Check(String),
    /// Standard output or error could not be written.
    Stream(std::io::Error),
}

/// More problems than this are counted, not shown.
const MOST_SHOWN: usize = 10;

impl Failure {
    pub fn exit_status(&self) -> ExitStatus {
        match self {
            Self::Failed(_) => ExitStatus::Failed,
            Self::Stream(_) if self.is_closed_pipe() => ExitStatus::Done,
            Self::Stream(_) => ExitStatus::Failed,
            Self::Usage(_) => ExitStatus::WrongUsage,
            Self::Input(_) | Self::Rejected(_) => ExitStatus::InputRejected,
            Self::Check(_) => ExitStatus::CheckFailed,
        }
    }

    pub fn is_closed_pipe(&self) -> bool {
        matches!(self, Self::Stream(error) if error.kind() == std::io::ErrorKind::BrokenPipe)
    }

    pub fn render(&self) -> String {
        match self {
            Self::Failed(message) | Self::Usage(message) | Self::Rejected(message) | Self::Check(message) => {
                textwrap::fill(&format!("error: {message}"), textwrap::Options::new(80).subsequent_indent("  "))
            }
            Self::Stream(error) => format!("error: output could not be written: {error}"),
            Self::Input(problems) => {
                let mut text = String::new();
                for problem in problems.iter().take(MOST_SHOWN) {
                    let _ = writeln!(text, "{}\n", problem.render());
                }
                if problems.len() > MOST_SHOWN {
                    let _ = write!(text, "and {} more", problems.len() - MOST_SHOWN);
                }
                text.trim_end().to_owned()
            }
        }
    }
}

impl From<InputProblem> for Failure {
    fn from(problem: InputProblem) -> Self {
        Self::Input(vec![problem])
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::Stream(error)
    }
}
