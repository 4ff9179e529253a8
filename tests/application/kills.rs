//! A program killed at a random moment while it edits and saves loses nothing that it said to have saved or noted.
//!
//! `EVENFALL_KILLS=500` makes it so many kills; the usual few keep the tests short.

use std::env;
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use chrono::Timelike;
use evenfall_app::shell::{AtHome, MOST_EARLIER, earlier_saves};
use evenfall_app::state::Outside;
use evenfall_core::document::read_evening;
use evenfall_core::plan::Evening;
use evenfall_tests::draws::Draws;
use evenfall_tests::harness::changed_demo;
use tempfile::TempDir;

const USUAL_KILLS: usize = 10;
/// What a program said, and when it was heard.
struct Said {
    what: String,
    count: u32,
    heard: Instant,
}

fn count(evening: &Evening) -> u32 {
    let bedtime = evening.rules.bedtime;
    bedtime.num_seconds_from_midnight() * 1000 + bedtime.nanosecond() / 1_000_000
}

fn read(path: &Path) -> Evening {
    let text = fs::read_to_string(path).expect("the file is there");
    read_evening(&path.display().to_string(), &text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Lets the program edit and save, kills it so long after its first edit, and gives back what it said.
fn killed_after(home: &Path, evening: &Path, seed: usize, life: Duration) -> (Vec<Said>, Instant) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_edits_until_killed"))
        .args([home.as_os_str(), evening.as_os_str()])
        .arg(seed.to_string())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let lines = BufReader::new(program.stdout.take().expect("its words are asked for")).lines();
    let (first, started) = std::sync::mpsc::channel();
    let listening = thread::spawn(move || {
        let mut said = Vec::new();
        // The last line may be torn.
        for line in lines.map_while(Result::ok) {
            let Some((what, count)) = line.split_once(' ') else { break };
            let Ok(count) = count.parse() else { break };
            said.push(Said { what: what.to_owned(), count, heard: Instant::now() });
            if what == "edited" {
                let _ = first.send(());
            }
        }
        said
    });
    started.recv_timeout(Duration::from_mins(2)).expect("the program edits");
    thread::sleep(life);
    let killed = Instant::now();
    assert!(matches!(program.try_wait(), Ok(None)), "the program ended by itself");
    program.kill().expect("it can be killed");
    program.wait().expect("it has ended");
    (listening.join().expect("its words are heard"), killed)
}

#[test]
fn a_kill_at_any_moment_loses_nothing_that_was_noted() {
    let kills = env::var("EVENFALL_KILLS").ok().and_then(|kills| kills.parse().ok()).unwrap_or(USUAL_KILLS);
    let (home, files) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let evening = changed_demo(files.path(), &[]);
    let mut draws = Draws(2027);
    let (mut edits, mut notes, mut saves, mut lost) = (0, 0, 0, 0);
    for kill in 0..kills {
        let life = Duration::from_millis(50 + draws.below(1_450) as u64);
        let (said, killed) = killed_after(home.path(), &evening, kill, life);
        let last = |what: &str, before: Instant| {
            let all = said.iter().filter(|said| said.what == what && said.heard <= before);
            all.map(|said| said.count).max().unwrap_or(0)
        };
        let saved = count(&read(&evening));
        assert!(saved >= last("saved", killed), "kill {kill}: a save that was told is gone");
        for save in earlier_saves(&evening) {
            read(&save.path);
        }
        // One more where the kill fell between keeping the last and letting go of the oldest.
        assert!(earlier_saves(&evening).len() <= MOST_EARLIER + 1);
        let next = AtHome::in_folders(Some(home.path().to_owned()), None);
        let keeper = next.keeper().unwrap().unwrap();
        let left = keeper.left();
        assert!(left.len() <= 2, "kill {kill}: what is taken up is let go of once it is noted anew");
        let noted = left.iter().map(|left| count(&keeper.take_up(left).unwrap().evening)).max().unwrap_or(0);
        let had = last("edited", killed);
        let promised = last("noted", killed);
        let kept = saved.max(noted);
        assert!(kept >= promised, "kill {kill}: {kept} is left, where {promised} was said to be noted");
        notes += said.iter().filter(|said| said.what == "noted").count();
        edits += said.iter().filter(|said| said.what == "edited").count();
        saves += said.iter().filter(|said| said.what == "saved").count();
        lost = lost.max(had.saturating_sub(kept));
        keeper.close();
    }
    assert!(notes > 0 && saves > 0, "{edits} edits, {notes} noted, {saves} saves");
    println!(
        "{kills} kills, {edits} edits, {notes} noted, {saves} saves; the most edits lost in a kill: {lost}"
    );
}
