//! How a command ended, and the messages on the way.

use std::io::{self, ErrorKind, Write};
use std::process::ExitCode;

use crate::shell::evenings::LoadError;
use crate::shell::files::FileError;

/// How a command ended; its number is the exit status. The graver is the greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Done.
    Done = 0,
    /// The input was read but holds errors.
    InputErrors = 1,
    /// The command was used wrongly, such as with a file that is not there.
    WrongUsage = 2,
    /// The machine failed.
    MachineFailed = 3,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome as u8)
    }
}

impl From<&FileError> for Outcome {
    fn from(error: &FileError) -> Self {
        if error.is_missing() {
            Self::WrongUsage
        } else if error.is_no_text() {
            Self::InputErrors
        } else {
            Self::MachineFailed
        }
    }
}

impl From<&LoadError> for Outcome {
    fn from(error: &LoadError) -> Self {
        match error {
            LoadError::Files { unread, .. } => {
                unread.iter().map(Self::from).max().unwrap_or(Self::InputErrors)
            }
            LoadError::Ephemeris(_) => Self::MachineFailed,
        }
    }
}

/// Writes a message to standard error, as far as it can be written.
pub fn tell(message: &str) {
    let _ = writeln!(io::stderr().lock(), "{message}");
}

/// Writes a result to standard output. A reader that has gone away is no failure.
pub fn give(result: &str) -> Outcome {
    let mut output = io::stdout().lock();
    match output.write_all(result.as_bytes()).and_then(|()| output.flush()) {
        Ok(()) => Outcome::Done,
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Outcome::Done,
        Err(error) => {
            tell(&format!("can't write to standard output: {error}"));
            Outcome::MachineFailed
        }
    }
}
