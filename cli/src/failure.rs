//! Why a command stopped, and how that is told.

use crate::exit_code::ExitStatus;
use agewright_files::nearest_word::hint;
use agewright_files::{InputProblem, Problems, Refused, WritingError};
use agewright_model::tables::prior::UnknownPrior;
use agewright_model::{AskedError, CalibrationError};
use agewright_pages::terminal::page::Page;
use agewright_pages::terminal::problem_text::{message_text, problems_text};
use agewright_pages::write_up::page_error::PageError;

/// Why a command stopped.
#[derive(Debug)]
pub enum Failure {
    /// Something outside the input failed.
    Failed(String),
    /// The command line asks for what cannot be.
    Usage(String),
    /// Input is rejected.
    Input(Problems),
    /// Input is rejected as a whole, without a place to show.
    Rejected(String),
    /// A check that was asked for did not pass.
    Check(String),
    /// Standard output or error could not be written.
    Stream(std::io::Error),
}

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

    pub fn render(&self, page: Page) -> String {
        match self {
            Self::Failed(message) | Self::Usage(message) | Self::Rejected(message) | Self::Check(message) => {
                message_text(page, message)
            }
            Self::Stream(error) => format!("error: output could not be written: {error}"),
            Self::Input(problems) => problems_text(page, problems),
        }
    }

    /// A word that is none of those allowed, with the nearest of them.
    pub fn unknown_word(message: &str, word: &str, allowed: &[String]) -> Self {
        let help = hint(word, allowed).map_or_else(String::new, |help| format!("\nWhat to do: {help}"));
        Self::Usage(format!("{message}{help}"))
    }
}

impl From<InputProblem> for Failure {
    fn from(problem: InputProblem) -> Self {
        Self::Input(Problems::from_iter([problem]))
    }
}

impl From<Refused> for Failure {
    fn from(refused: Refused) -> Self {
        match refused {
            Refused::Problems(problems) => Self::Input(problems),
            Refused::NoColumn { table, column } => {
                Self::Usage(format!("--ignore {column}: {table} has no such column"))
            }
            Refused::NoSheet { workbook, sheet, sheets } => {
                Self::unknown_word(&format!("--sheet {sheet}: {workbook} has no such sheet"), &sheet, &sheets)
            }
            other => Self::Rejected(other.to_string()),
        }
    }
}

impl From<UnknownPrior> for Failure {
    fn from(error: UnknownPrior) -> Self {
        Self::unknown_word(&error.to_string(), &error.name, &error.allowed)
    }
}

impl From<AskedError> for Failure {
    fn from(error: AskedError) -> Self {
        match error {
            AskedError::Prior(error) => error.into(),
            other => Self::Rejected(other.to_string()),
        }
    }
}

impl From<CalibrationError> for Failure {
    fn from(error: CalibrationError) -> Self {
        Self::Rejected(error.to_string())
    }
}

impl From<WritingError> for Failure {
    fn from(error: WritingError) -> Self {
        Self::Failed(error.to_string())
    }
}

impl From<PageError> for Failure {
    fn from(error: PageError) -> Self {
        Self::Failed(error.to_string())
    }
}

impl From<serde_json::Error> for Failure {
    fn from(error: serde_json::Error) -> Self {
        Self::Failed(error.to_string())
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::Stream(error)
    }
}
