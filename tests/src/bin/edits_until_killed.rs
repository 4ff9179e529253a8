//! Edits and saves an evening without a window until it is killed, and says what it has done: for the test of kills.
//!
//! The bedtime of the order rules serves as a counter: every edit makes it a millisecond later. Each line that is printed, a
//! word and a count, is true by then: `edited` of what stands in the window, `noted` of what stands in the notes, `saved` of what
//! the file holds.

use std::env::args_os;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::thread::sleep;
use std::time::Duration;

use chrono::{NaiveTime, Timelike};
use evenfall_app::shell::AtHome;
use evenfall_app::state::{AppState, Command, Dialog, Effort, Notice, apply};
use evenfall_tests::draws::Draws;

/// An edit comes this long after the one before, in milliseconds; at random up to it.
const MOST_PAUSE_MS: usize = 12;

fn main() -> ExitCode {
    let mut arguments = args_os().skip(1);
    let (Some(home), Some(evening), Some(seed)) = (arguments.next(), arguments.next(), arguments.next())
    else {
        eprintln!("give the folder of the settings, the evening and a seed");
        return ExitCode::from(2);
    };
    let seed = seed.to_string_lossy().parse().unwrap_or(1);
    match edit(PathBuf::from(home), PathBuf::from(evening), seed) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn edit(home: PathBuf, evening: PathBuf, seed: u64) -> io::Result<()> {
    let outside = Arc::new(AtHome::in_folders(Some(home), None));
    let least = Effort { draft: 1, appraisal: 1, bound: 1 };
    let mut state = AppState::with_effort(outside, Some(evening), least);
    let mut draws = Draws(seed);
    loop {
        wait(&mut state, |state| state.open().is_some() && !state.is_computing());
        if matches!(state.view.dialog, Some(Dialog::LeftUnsaved(_)))
            && let Some(left) = state.left_unsaved().first().cloned()
        {
            say("left", state.left_unsaved().len())?;
            apply(&mut state, Command::TakeUp(left));
            wait(&mut state, |state| !state.is_opening());
        }
        let Some(count) = count(&state) else { return Err(io::Error::other("no evening is open")) };
        apply(&mut state, Command::SetBedtime(time(count + 1)));
        say("edited", (count + 1) as usize)?;
        state.take_answers();
        if draws.below(16) == 0 {
            save(&mut state)?;
        }
        sleep(Duration::from_millis(draws.below(MOST_PAUSE_MS + 1) as u64));
        state.take_answers();
        if state.is_noted() {
            say("noted", (count + 1) as usize)?;
        }
    }
}

fn save(state: &mut AppState) -> io::Result<()> {
    let count = count(state).unwrap_or_default();
    apply(state, Command::Save);
    wait(state, |state| !state.is_writing());
    match &state.view.notice {
        Some(Notice::Saved(_)) => say("saved", count as usize),
        other => Err(io::Error::other(format!("not saved: {other:?}, {:?}", state.view.dialog))),
    }
}

/// The count of an evening: its bedtime in milliseconds.
fn count(state: &AppState) -> Option<u32> {
    let bedtime = state.open()?.document.evening.rules.bedtime;
    Some(bedtime.num_seconds_from_midnight() * 1000 + bedtime.nanosecond() / 1_000_000)
}

fn time(count: u32) -> NaiveTime {
    NaiveTime::from_num_seconds_from_midnight_opt(count / 1000, count % 1000 * 1_000_000).unwrap_or_default()
}

fn wait(state: &mut AppState, until: impl Fn(&AppState) -> bool) {
    state.take_answers();
    while !until(state) {
        sleep(Duration::from_millis(1));
        state.take_answers();
    }
}

fn say(what: &str, count: usize) -> io::Result<()> {
    let mut out = io::stdout().lock();
    writeln!(out, "{what} {count}")?;
    out.flush()
}
