//! The program without a window, as scripts and tired people meet it: files, messages, exit statuses.

mod arrange;
mod convert;
mod reference;
mod rows;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::{TempDir, tempdir};

fn evenfall() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenfall"));
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("WAYLAND_SOCKET");
    command
}

fn run(arguments: &[&str]) -> Output {
    evenfall().args(arguments).output().expect("the program starts")
}

fn run_on(arguments: &[&str], input: &str) -> Output {
    let mut child = evenfall()
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child.stdin.take().expect("piped").write_all(input.as_bytes()).expect("the program reads its input");
    child.wait_with_output().expect("the program ends")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("ended by itself")
}

fn messages(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn results(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn demo_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../catalog-demo").join(name)
}

/// The demo's four files in a folder of their own, one of them changed.
fn demo_with(file: &str, from: &str, to: &str) -> TempDir {
    let folder = tempdir().expect("a temporary folder");
    for name in ["catalogue", "site", "rig", "evening"].map(|part| format!("heron-fell.{part}.ron")) {
        let mut text = fs::read_to_string(demo_file(&name)).expect("the demo can be read");
        if name == file {
            assert!(text.contains(from), "{file} does not hold {from}");
            text = text.replacen(from, to, 1);
        }
        fs::write(folder.path().join(name), text).expect("the copy can be written");
    }
    folder
}

fn path_text(path: &Path) -> &str {
    path.to_str().expect("temporary paths are plain text")
}

/// What `plan` writes where nothing is named.
const WHOLE_SET: [&str; 20] = [
    "call-card-a4.pdf",
    "captions-a4.pdf",
    "cautions-a4.pdf",
    "cloud-card-a4.pdf",
    "door-card-a4.pdf",
    "evening-crew.ics",
    "evening-visitors.ics",
    "hand-over-card-a4.pdf",
    "handbill-a4.pdf",
    "handbill-easy-words-a4.pdf",
    "handbill-large-print-a4.pdf",
    "host-card-a4.pdf",
    "night-report-a4.pdf",
    "queue-card-a4.pdf",
    "run-sheet-a4.pdf",
    "running-order.csv",
    "running-order.json",
    "site-plan.geojson",
    "timeline.png",
    "timeline.svg",
];

#[test]
fn plan_writes_the_demo_evening_twice_alike() {
    let (first, second) = (tempdir().expect("a folder"), tempdir().expect("a folder"));
    for folder in [&first, &second] {
        let output = run(&["plan", "--out", path_text(folder.path())]);
        assert_eq!(status(&output), 0, "{}", messages(&output));
        assert!(!messages(&output).contains("Stopper"), "{}", messages(&output));
    }
    let mut written: Vec<String> = fs::read_dir(first.path())
        .expect("the folder")
        .map(|file| file.expect("a file").file_name().into_string().expect("plain text"))
        .collect();
    written.sort_unstable();
    assert_eq!(written, WHOLE_SET);
    let mut whole = 0;
    for name in &written {
        let bytes = fs::read(first.path().join(name)).expect(name);
        assert!(bytes.len() > 1000, "{name} has {} bytes", bytes.len());
        assert_eq!(bytes, fs::read(second.path().join(name)).expect(name), "{name} differs");
        whole += bytes.len();
    }
    // What an evening takes in a mail to everyone who helps.
    assert!(whole < 600_000, "the set has {whole} bytes");
    let order = fs::read_to_string(first.path().join("running-order.json")).expect("the order");
    let order: Value = serde_json::from_str(&order).expect("valid JSON");
    assert_eq!(order["format"], "evenfall-running-order/1");
    assert!(order["stops"].as_array().is_some_and(|stops| stops.len() > 5));
}

#[test]
fn only_what_is_asked_for_is_written() {
    let folder = tempdir().expect("a folder");
    assert_eq!(status(&run(&["plan", "--out", path_text(folder.path()), "--csv"])), 0);
    let names: Vec<_> =
        fs::read_dir(folder.path()).expect("listed").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(names, ["running-order.csv"]);
}

#[test]
fn pages_come_in_the_paper_that_is_named() {
    let folder = tempdir().expect("a folder");
    for (paper, expected) in [
        ("letter", &["door-card-letter.pdf"][..]),
        ("both", &["door-card-a4.pdf", "door-card-letter.pdf"][..]),
    ] {
        let out = folder.path().join(paper);
        let output = run(&["plan", "--out", path_text(&out), "--door-card", "--paper", paper]);
        assert_eq!(status(&output), 0, "{}", messages(&output));
        let mut written: Vec<_> =
            fs::read_dir(&out).expect("the folder").map(|file| file.expect("a file").file_name()).collect();
        written.sort_unstable();
        assert_eq!(written, expected);
    }
}

#[test]
fn a_calendar_written_over_an_older_one_counts_its_changes() {
    let folder = demo_with("heron-fell.evening.ron", "title: \"Spring star night", "title: \"Star night");
    let out = folder.path().join("pages");
    let calendar = |evening: &Path| {
        let output = run(&["plan", path_text(evening), "--out", path_text(&out), "--calendar"]);
        assert_eq!(status(&output), 0, "{}", messages(&output));
        fs::read_to_string(out.join("evening-visitors.ics")).expect("the calendar")
    };
    assert!(calendar(&demo_file("heron-fell.evening.ron")).contains("\r\nSEQUENCE:0\r\n"));
    let changed = folder.path().join("heron-fell.evening.ron");
    for _ in 0..2 {
        // RFC 5545, 3.8.7.4: a changed event has a higher number; the same once more has the same.
        assert!(calendar(&changed).contains("\r\nSEQUENCE:1\r\n"));
    }
    fs::write(out.join("evening-visitors.ics"), "no calendar").expect("written");
    let output = run(&["plan", path_text(&changed), "--out", path_text(&out), "--calendar"]);
    assert!(messages(&output).contains("can't be read"), "{}", messages(&output));
}

#[test]
fn an_evening_written_as_numbers_is_arranged() {
    let folder = tempdir().expect("a folder");
    let out = folder.path().join("pages");
    let evening = demo_file("heron-fell.evening.ron");
    let output = run(&["plan", path_text(&evening), "--out", path_text(&out), "--problem"]);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    let written: Vec<_> =
        fs::read_dir(&out).expect("the folder").map(|file| file.expect("a file").file_name()).collect();
    assert_eq!(written, ["heron-fell.problem.json"]);
    let problem = fs::read_to_string(out.join("heron-fell.problem.json")).expect("the problem");
    assert!(problem.contains("\"evening-schedule/1\""), "no format in it");
    let arranged = run_on(&["arrange", "--effort", "20000"], &problem);
    assert_eq!(status(&arranged), 0, "{}", messages(&arranged));
    assert!(results(&arranged).contains("\"stops\": [\n"), "{}", results(&arranged));
}

#[test]
fn faults_name_line_column_key_and_remedy() {
    for (file, from, to, place, remedy) in [
        ("heron-fell.evening.ron", "seated:", "seeted:", "house.seeted", "Did you mean `seated`?"),
        ("heron-fell.evening.ron", "2027-03-13", "2027-02-30", "date", "Write year-month-day"),
        (
            "heron-fell.site.ron",
            "Europe/London",
            "Europe/Lundon",
            "time_zone",
            "Did you mean \"Europe/London\"?",
        ),
        (
            "heron-fell.site.ron",
            "latitude_deg: 55.1",
            "latitude_deg: 155.1",
            "latitude_deg",
            "from -90 to 90",
        ),
        ("heron-fell.site.ron", "sun_exclusion_deg: 30", "sun_exclusion_deg: 3", "sun_exclusion_deg", "30"),
        ("heron-fell.catalogue.ron", "kind: Moon", "kind: Mooon", "targets[0].kind", "Moon"),
        ("heron-fell.rig.ron", "aperture_mm: 600", "aperture_mm: 0", "aperture_mm", "Give a number"),
    ] {
        let folder = demo_with(file, from, to);
        let path = folder.path().join(file);
        let line = fs::read_to_string(&path)
            .expect("the copy")
            .lines()
            .position(|line| line.contains(to))
            .expect("the changed line")
            + 1;
        let output = run(&["check", path_text(&path)]);
        let said = results(&output) + &messages(&output);
        assert_eq!(status(&output), 1, "{said}");
        assert!(said.contains(&format!("{file}:{line}:")), "line {line} of {file}:\n{said}");
        assert!(said.contains(place) && said.contains(remedy), "{place}, {remedy}:\n{said}");
    }
}

#[test]
fn each_fault_is_told_once_and_the_evening_keeps_its_own_line() {
    let folder = demo_with("heron-fell.rig.ron", "aperture_mm: 600", "aperture_mm: 0");
    let path = |name: &str| path_text(&folder.path().join(name)).to_owned();
    let change = |name: &str, from: &str, to: &str| {
        let text = fs::read_to_string(path(name)).expect("the copy").replacen(from, to, 1);
        fs::write(path(name), text).expect("the copy can be written");
    };
    change("heron-fell.site.ron", "latitude_deg: 55.1", "latitude_deg: 155.1");
    change("heron-fell.catalogue.ron", "kind: Moon", "kind: Mooon");
    let again = "again.evening.ron";
    fs::copy(path("heron-fell.evening.ron"), path(again)).expect("a second evening");
    let faults = ["aperture_mm: 0", "latitude_deg: 155.1", "`Mooon`"];
    let evenings = [path("heron-fell.evening.ron"), path(again)];
    let parts = ["catalogue", "rig", "site"].map(|part| path(&format!("heron-fell.{part}.ron")));
    for files in [
        [&evenings[..], &parts].concat(),
        [&parts[..], &evenings].concat(),
        evenings.to_vec(),
        // The same file by another name.
        vec![path("heron-fell.evening.ron"), path("./heron-fell.rig.ron")],
    ] {
        let arguments: Vec<&str> = ["check"].into_iter().chain(files.iter().map(String::as_str)).collect();
        let output = run(&arguments);
        let said = results(&output);
        assert_eq!(status(&output), 1, "{said}");
        for fault in faults {
            assert_eq!(said.matches(fault).count(), 1, "{fault} of {files:?}:\n{said}");
        }
        for evening in files.iter().filter(|file| file.ends_with("evening.ron")) {
            let own = format!("{evening}: not judged before the faults are mended in ");
            assert_eq!(said.matches(&own).count(), 1, "{own}:\n{said}");
        }
        assert!(!said.contains("no fault"), "{said}");
    }

    // A bad target alone leaves an evening to be judged.
    change("heron-fell.rig.ron", "aperture_mm: 0", "aperture_mm: 600");
    change("heron-fell.site.ron", "latitude_deg: 155.1", "latitude_deg: 55.1");
    let output = run(&["check", &evenings[0], &parts[0]]);
    let said = results(&output);
    assert_eq!(said.matches("`Mooon`").count(), 1, "{said}");
    assert!(said.starts_with(&format!("{}: judged without what is faulty in ", evenings[0])), "{said}");
}

#[test]
fn one_bad_target_does_not_hide_the_others() {
    let folder = demo_with("heron-fell.catalogue.ron", "appeal: 1.0", "appeal: 7.0");
    let out = folder.path().join("pages");
    let output =
        run(&["plan", path_text(&folder.path().join("heron-fell.evening.ron")), "--out", path_text(&out)]);
    assert_eq!(status(&output), 1, "{}", messages(&output));
    assert!(messages(&output).contains("appeal"), "{}", messages(&output));
    let order = fs::read_to_string(out.join("running-order.csv")).expect("the pages are there all the same");
    assert!(order.contains("Jupiter") && !order.contains("The Moon"), "{order}");
}

#[test]
fn an_evening_with_stoppers_is_written_but_never_passed_off_as_one_to_run() {
    let stop = |id: u32, target: &str| {
        format!(
            "(id: {id}, start: \"2027-03-13T20:40:00+00:00\", end: \"2027-03-13T21:00:00+00:00\", target: \"{target}\", \
             port: \"eyepiece\")"
        )
    };
    let order = format!("order: [{}, {}]", stop(1, "jupiter"), stop(2, "moon"));
    let folder = demo_with("heron-fell.evening.ron", "order: []", &order);
    let out = folder.path().join("pages");
    let evening = folder.path().join("heron-fell.evening.ron");
    let plan = run(&["plan", path_text(&evening), "--out", path_text(&out)]);
    let said = messages(&plan);
    // As `check` has it: a Stopper counts as an error.
    assert_eq!((status(&plan), status(&run(&["check", path_text(&evening)]))), (1, 1), "{said}");
    let stoppers = said.lines().filter(|line| line.starts_with("Stopper: ")).count();
    assert!(stoppers > 0, "{said}");
    let whole = format!("{stoppers} Stopper{}", if stoppers == 1 { "" } else { "s" });
    assert!(said.contains(&format!("{whole}: not to be run as it stands")), "{said}");
    assert!(out.join("run-sheet-a4.pdf").is_file() && out.join("running-order.csv").is_file());
}

#[test]
fn wrong_usage_and_a_failing_machine_have_their_own_status() {
    assert_eq!(status(&run(&["plan"])), 2);
    assert_eq!(status(&run(&["plan", "--out", "pages", "--handbell"])), 2);
    assert_eq!(status(&run(&["check", "no-such-file.evening.ron"])), 2);
    let mistyped = run(&["chekc"]);
    assert_eq!(status(&mistyped), 2);
    assert!(messages(&mistyped).contains("can't read chekc"), "{}", messages(&mistyped));
    let folder = tempdir().expect("a folder");
    let in_the_way = folder.path().join("a-file");
    fs::write(&in_the_way, "not a folder").expect("written");
    let output = run(&["plan", "--out", path_text(&in_the_way)]);
    assert_eq!(status(&output), 3, "{}", messages(&output));
    assert_eq!(fs::read_to_string(&in_the_way).expect("still there"), "not a folder");
}

#[test]
fn without_a_display_the_window_says_so_in_one_line() {
    let output = run(&[]);
    assert_eq!(status(&output), 3);
    assert_eq!(messages(&output).trim().lines().count(), 1, "{}", messages(&output));
    assert!(messages(&output).contains("display"), "{}", messages(&output));
}

#[test]
fn every_command_shows_an_example() {
    for command in ["plan", "check", "positions", "almanac", "arrange"] {
        let output = run(&[command, "--help"]);
        assert_eq!(status(&output), 0);
        assert!(results(&output).contains(&format!("evenfall {command}")), "{}", results(&output));
    }
}

/// The text of a file in tests/data; where it comes from stands in its README.
fn data(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/data").join(name)).expect(name)
}

#[test]
fn a_bad_row_leaves_the_others_answered() {
    let input = r#"[{"id": "a", "body": "mars", "utc": "2027-03-13T20:00:00Z", "latitude_deg": 91, "longitude_deg": 0,
                     "elevation_m": 0},
                    {"id": "b", "body": "mars", "utc": "2027-03-13T20:00:00Z", "latitude_deg": 55.1,
                     "longitude_deg": -2.5, "elevation_m": 260},
                    {"id": "c", "body": "vulcan", "utc": "2227-03-13T20:00:00Z", "latitude_deg": 0,
                     "longitude_deg": 0, "elevation_m": 0}]"#;
    let output = run_on(&["positions"], input);
    assert_eq!(status(&output), 1);
    let rows: Vec<Value> = serde_json::from_str(&results(&output)).expect("valid JSON");
    assert!(rows[0]["error"].as_str().is_some_and(|error| error.contains("latitude_deg")), "{}", rows[0]);
    assert!(
        rows[1]["altitude_airless_deg"].as_f64().is_some() && rows[1].get("error").is_none(),
        "{}",
        rows[1]
    );
    assert!(rows[2]["error"].as_str().is_some() && rows[2]["id"] == "c", "{}", rows[2]);
}
