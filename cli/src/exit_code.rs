//! Exit codes.

use std::process::ExitCode;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExitStatus {
    /// 0: done.
    Done,
    /// 1: failed (a file that cannot be read or written).
    Failed,
    /// 2: wrong usage.
    WrongUsage,
    /// 3: input rejected.
    InputRejected,
    /// 4: a check that was asked for did not pass.
    CheckFailed,
}

impl ExitStatus {
    /// The number.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Failed => 1,
            Self::WrongUsage => 2,
            Self::InputRejected => 3,
            Self::CheckFailed => 4,
        }
    }
}

impl From<ExitStatus> for ExitCode {
    fn from(status: ExitStatus) -> Self {
        Self::from(status.code())
    }
}
