//! What a user expects of the program as a whole, one test a capability.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::{demo_file, demo_with, messages, path_text, results, run, status};

#[test]
fn row_16_what_is_not_known_of_a_target_shown_tonight_is_told_by_check() {
    let words = "line: \"The giant of the planets: eleven Earths would fit across it.\",\n      ";
    let folder = demo_with("heron-fell.catalogue.ron", words, "");
    let evening = folder.path().join("heron-fell.evening.ron");
    let output = run(&["check", path_text(&evening)]);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    let wanted = "Jupiter: The catalogue does not tell all of it: its line is none of its own.";
    let told = results(&output);
    assert_eq!(told.lines().filter(|line| line.contains(wanted)).count(), 1, "{told}");
    let demo = run(&["check", path_text(&demo_file("heron-fell.evening.ron"))]);
    assert!(!results(&demo).contains("does not tell all"), "{}", results(&demo));
}

#[test]
fn row_29_an_evening_of_2031_is_planned_and_told_how_old_the_tables_are() {
    let folder = demo_with("heron-fell.evening.ron", "date: \"2027-03-13\"", "date: \"2031-03-15\"");
    let evening = folder.path().join("heron-fell.evening.ron");
    let out = folder.path().join("pages");
    let plan = run(&["plan", path_text(&evening), "--out", path_text(&out), "--run-sheet", "--csv"]);
    let check = run(&["check", path_text(&evening)]);
    assert_eq!((status(&plan), status(&check)), (0, 0), "{}{}", messages(&plan), results(&check));
    // The list of leap seconds that the core has: IERS Bulletin C 72 of July 2026, which holds to 28 June 2027.
    let note = "Caution: Leap seconds are not announced for this date: the table of them here is of July 2026 and holds to \
                28 June 2027. Times may be off by some seconds.";
    for told in [messages(&plan), results(&check)] {
        assert_eq!(told.lines().filter(|line| line.contains(note)).count(), 1, "{told}");
    }
    let order = fs::read_to_string(out.join("running-order.csv")).expect("it is written");
    assert!(order.lines().count() > 6, "{order}");
    let now = run(&["check", path_text(&demo_file("heron-fell.evening.ron"))]);
    assert!(!results(&now).contains("Leap seconds"), "{}", results(&now));
}

#[test]
fn row_85_times_name_their_zone_and_another_zone_than_the_sites_is_told_at_its_place() {
    let stops = |zone: &str| {
        format!(
            "order: [(id: 1, start: \"2027-03-13T20:40:00+00:00{zone}\", end: \"2027-03-13T21:00:00+00:00{zone}\", \
             target: \"jupiter\", port: \"planetary\")]"
        )
    };
    let checked = |zone: &str| {
        let folder = demo_with("heron-fell.evening.ron", "order: []", &stops(zone));
        let evening = folder.path().join("heron-fell.evening.ron");
        let output = run(&["check", path_text(&evening)]);
        (status(&output), results(&output))
    };
    // The instant is the same with and without the zone.
    let (without, with) = (checked(""), checked("[Europe/London]"));
    assert_eq!((without.0, with.0), (0, 0), "{}{}", without.1, with.1);
    assert_eq!(checked("[Africa/Abidjan]").0, 0, "another name, but the same clock");
    let (other, told) = checked("[Europe/Paris]");
    assert_eq!(other, 1);
    assert!(told.contains("order[0].start: ") && told.contains("the site's is Europe/London"), "{told}");
    let (unknown, told) = checked("[Europe/Lundon]");
    assert_eq!(unknown, 1);
    assert!(told.contains("Did you mean \"Europe/London\"?"), "{told}");
}

/// Keys by which an evening may speak of people: counts, shares and times of many, and the one who decides.
const OF_PEOPLE: [&str; 10] = [
    "visitors",
    "children",
    "seated",
    "seconds_a_look",
    "skip_percent",
    "screen_minutes",
    "seconds_by_kind",
    "arrivals",
    "leaving",
    "decided_by",
];

/// All other keys of an evening, of which none has to do with a visitor.
const OF_THE_EVENING: [&str; 66] = [
    "format",
    "title",
    "date",
    "site",
    "rig",
    "catalogue",
    "house",
    "programme",
    "wishes",
    "rules",
    "call",
    "next_dates",
    "order",
    "earth_orientation",
    "version",
    "versions",
    "shown",
    "kind",
    "seconds",
    "from_min",
    "until_min",
    "percent",
    "doors_open",
    "doors_close",
    "slack_percent",
    "fixed",
    "start",
    "end",
    "minutes",
    "cue",
    "must_show",
    "leave_out",
    "ports_out_of_service",
    "closed_sky",
    "most_port_changes",
    "least_stops",
    "from_deg",
    "to_deg",
    "since",
    "until",
    "since_again",
    "until_again",
    "port",
    "stops",
    "bedtime",
    "bright_first_percent",
    "sets_first_percent",
    "children_first_percent",
    "faint_apart_percent",
    "in_turn_percent",
    "crescendo_percent",
    "favourite_last_percent",
    "decide_before_min",
    "crew_before_min",
    "decision",
    "decided_at",
    "ut1_minus_utc_s",
    "pole_x_arcsec",
    "pole_y_arcsec",
    "id",
    "target",
    "eyepiece",
    "understudy",
    "entry",
    "held",
    "name",
];

/// Every key that a source asks for by its name: a word in quotation marks that a call begins with.
fn asked_keys(source: &str) -> BTreeSet<&str> {
    let source = source.split("#[cfg(test)]").next().unwrap_or_default();
    let quoted = source.split("(\"").skip(1).filter_map(|rest| rest.split('"').next());
    let is_key = |text: &&str| {
        !text.is_empty() && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
    };
    quoted.filter(is_key).collect()
}

#[test]
fn row_86_an_evening_knows_visitors_by_counts_alone() {
    let allowed: BTreeSet<&str> = OF_PEOPLE.into_iter().chain(OF_THE_EVENING).collect();
    // What the demo's file says.
    let demo = fs::read_to_string(demo_file("heron-fell.evening.ron")).expect("the demo can be read");
    let mut given = BTreeSet::new();
    for line in demo.lines().filter(|line| !line.trim_start().starts_with("//")) {
        let outside: String = line.split('"').step_by(2).collect::<Vec<_>>().join(" ");
        let words = outside.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == ':'));
        given.extend(words.filter_map(|word| word.strip_suffix(':')).map(str::to_owned));
    }
    assert!(given.len() > 40, "{given:?}");
    for key in &given {
        assert!(allowed.contains(key.as_str()), "the demo's evening has the key {key}");
    }
    // What its readers ask for.
    let mut asked = 0;
    let readers = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src/document");
    for file in
        fs::read_dir(readers).expect("the folder of the readers").map(|file| file.expect("a file").path())
    {
        let source = fs::read_to_string(&file).expect("a source can be read");
        for key in asked_keys(&source) {
            assert!(allowed.contains(key), "{} asks for {key}", file.display());
            asked += 1;
        }
    }
    assert!(asked > 40, "only {asked} keys were found");
    // A name among the visitors is refused, whatever it is called.
    for name in ["names: [\"A\"]", "email: \"a\"", "visitor_list: []"] {
        let folder = demo_with("heron-fell.evening.ron", "visitors: 60,", &format!("visitors: 60, {name},"));
        let output = run(&["check", path_text(&folder.path().join("heron-fell.evening.ron"))]);
        assert_eq!(status(&output), 1, "{name}");
        let key = name.split(':').next().unwrap_or_default();
        assert!(results(&output).contains(&format!("house.{key}")), "{}", results(&output));
    }
}

#[test]
fn row_86_nothing_that_the_program_is_built_of_speaks_over_a_network() {
    // Clients and servers, name resolution and the security below them. What stays in the lock file speaks to the desktop on
    // the same machine (zbus), or is for other systems.
    let networking = [
        "reqwest",
        "hyper",
        "ureq",
        "curl",
        "isahc",
        "surf",
        "attohttpc",
        "minreq",
        "rustls",
        "native-tls",
        "openssl",
        "h2",
        "h3",
        "quinn",
        "tungstenite",
        "trust-dns-resolver",
        "hickory-resolver",
        "libp2p",
        "lettre",
        "russh",
        "ssh2",
        "suppaftp",
        "self_update",
        "sentry",
        "opentelemetry",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let lock = fs::read_to_string(root.join("Cargo.lock")).expect("the lock file");
    let packages: BTreeSet<&str> =
        lock.lines().filter_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"')).collect();
    assert!(packages.len() > 100 && packages.contains("evenfall"));
    for name in networking {
        assert!(!packages.contains(name), "{name} is among the packages");
    }
    // Its own sources open no socket.
    let mut folders = vec![root.join("app/src"), root.join("core/src")];
    let mut read = 0;
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let source = fs::read_to_string(&path).expect("a source can be read");
                for word in ["std::net", "TcpStream", "UdpSocket", "ToSocketAddrs"] {
                    assert!(!source.contains(word), "{} says {word}", path.display());
                }
                read += 1;
            }
        }
    }
    assert!(read > 200, "only {read} sources");
}
