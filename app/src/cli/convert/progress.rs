//! How far a long conversion is: one line on a terminal, written over again and again.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// What takes less shows nothing.
const SHOWN_AFTER: Duration = Duration::from_millis(500);
/// It is written over so often.
const SHOWN_EVERY: Duration = Duration::from_millis(100);

/// The line, on standard error and only where that is a terminal.
pub(super) struct ProgressLine {
    is_terminal: bool,
    begun: Instant,
    shown: Option<Instant>,
}

impl ProgressLine {
    pub(super) fn begin() -> Self {
        Self { is_terminal: io::stderr().is_terminal(), begun: Instant::now(), shown: None }
    }

    /// Shows some words, unless it is too early for the first time or for another one.
    pub(super) fn show(&mut self, words: &str) {
        let now = Instant::now();
        let is_due = match self.shown {
            None => now - self.begun > SHOWN_AFTER,
            Some(shown) => now - shown > SHOWN_EVERY,
        };
        if self.is_terminal && is_due {
            let _ = write!(io::stderr(), "\r{words}\x1b[K");
            self.shown = Some(now);
        }
    }

    /// Makes room for other words.
    pub(super) fn clear(&mut self) {
        if self.shown.is_some() {
            let _ = write!(io::stderr(), "\r\x1b[K");
        }
    }
}
