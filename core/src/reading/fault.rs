//! One fault in a file: where it is, what was expected and what to do.

use std::fmt;

/// A fault in an input file or in a row of input.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The file, as the caller named it.
    pub file: String,
    /// Line from 1; 0 where the fault has no line.
    pub line: usize,
    /// Column from 1, in characters; 0 where the fault has no column.
    pub column: usize,
    /// The key it belongs to, as a path such as `targets[3].ra_deg`; empty for the whole file.
    pub key: String,
    /// What is wrong and what was expected.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

/// All faults of a file.
pub type Faults = Vec<Fault>;

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, ":{}:{}", self.line, self.column)?;
        }
        if !self.key.is_empty() {
            write!(f, ": {}", self.key)?;
        }
        write!(f, ": {}", self.message)?;
        if !self.remedy.is_empty() {
            write!(f, ". {}", self.remedy)?;
        }
        Ok(())
    }
}

impl std::error::Error for Fault {}
