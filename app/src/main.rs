//! The program: the commands, and the window where there is none.

use std::env;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use evenfall_app::cli::{self, Outcome, tell};
use evenfall_app::shell::AtHome;
use evenfall_app::ui::{self, Options};

fn main() -> ExitCode {
    cli::run(env::args_os(), open_window)
}

fn open_window(evening: Option<PathBuf>) -> Outcome {
    match ui::run(Options { evening, outside: Arc::new(AtHome::of_user()) }) {
        Ok(()) => Outcome::Done,
        Err(message) => {
            tell(&message);
            Outcome::MachineFailed
        }
    }
}
