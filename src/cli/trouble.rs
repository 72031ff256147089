//! How a command ends, and what its exit code means.

use crate::shell::ShellError;
use crate::shop::{EnterError, ShopError};
use std::io;

/// How a command that ran ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Done: exit code 0.
    Done,
    /// The answer is "no" (it cannot be fitted by trimming, there is no plan yet): exit code 1.
    No,
    /// A log that it rests on is damaged, of a newer build or not to be read: nothing was advised from that log,
    /// and what was said of it is on standard error. Exit code 3.
    Unsound,
}

impl Answer {
    /// Its exit code.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::No => 1,
            Self::Unsound => 3,
        }
    }
}

impl Answer {
    /// This answer, unless a log it rests on cannot be trusted: that weighs more than yes or no.
    pub fn unless(self, unsound: bool) -> Self {
        if unsound { Self::Unsound } else { self }
    }
}

/// Why a command did not run to its end.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// Bad usage or bad input: exit code 2.
    #[error("{0}")]
    Input(String),
    /// Storage trouble: exit code 3.
    #[error("{0}")]
    Storage(String),
    /// The reader of our output has gone away: nothing is wrong, exit code 0.
    #[error("the reader of the output is gone")]
    NobodyReads,
}

impl Trouble {
    /// Its exit code.
    pub fn code(&self) -> u8 {
        match self {
            Self::NobodyReads => 0,
            Self::Input(_) => 2,
            Self::Storage(_) => 3,
        }
    }

    /// Trouble with writing a result.
    pub fn output(error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::BrokenPipe => Self::NobodyReads,
            _ => Self::Storage(format!("the result cannot be written: {error}")),
        }
    }
}

impl From<ShopError> for Trouble {
    fn from(error: ShopError) -> Self {
        let text = error.to_string();
        match error {
            ShopError::NotThere(_)
            | ShopError::NoDataDir
            | ShopError::Name { .. }
            | ShopError::NoOpening { .. }
            | ShopError::Exists(_)
            | ShopError::Twice { .. } => Self::Input(text),
            ShopError::Io { .. } | ShopError::Settings(_) | ShopError::ReadOnly(_) | ShopError::Json(_) => {
                Self::Storage(text)
            }
        }
    }
}

impl From<EnterError> for Trouble {
    fn from(error: EnterError) -> Self {
        match &error {
            EnterError::Refused { .. } => Self::Input(error.to_string()),
            EnterError::Append { .. } => Self::Storage(error.to_string()),
        }
    }
}

impl From<ShellError> for Trouble {
    fn from(error: ShellError) -> Self {
        match error {
            ShellError::Shop(error) => error.into(),
            ShellError::NoTerminal => Self::Input(error.to_string()),
            ShellError::Terminal(_) => Self::Storage(error.to_string()),
        }
    }
}
