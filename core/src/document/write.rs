//! An evening to RON: stable order, comments that teach, instants with offset and zone.

use std::fmt::Write;

use chrono::{NaiveTime, Timelike};
use chrono_tz::Tz;

use super::EVENING_FORMAT;
use super::call::{call_lines, next_dates_lines};
use super::read::rule_key;
use super::zoned::zoned_text;
use crate::catalogue::{Kind, TargetId};
use crate::earth::EarthOrientation;
use crate::plan::{
    ClosedSky, Evening, FixedEntry, House, OrderRule, OrderRules, Programme, Stop, Version, VisitorPart,
    What, Wishes,
};
use crate::units::Angle;

/// The evening as text; reading it gives the same evening. Instants are written on the local clock of `zone` with
/// their offset and its name.
pub fn write_evening(evening: &Evening, zone: Tz) -> String {
    let order: String = evening.order.stops().iter().map(|stop| stop_line(stop, zone)).collect();
    let order = if order.is_empty() { String::new() } else { format!("\n{order}  ") };
    format!(
        "// One evening of Evenfall: when, where, with what, for whom, and in which order.\n\
         //\n\
         // Two slashes start a comment. Evenfall writes this file anew when it saves: comments of your own are lost then.\n\
         // A misspelt key is an error with its line and column. File names count from this file.\n\
         // Clock times are those of {zone_name}.\n\
         (\n\
         \x20 // Name and version of this file's form.\n\
         \x20 format: {format},\n\
         \x20 title: {title},\n\
         \x20 // The date on which the evening begins, year-month-day.\n\
         \x20 date: \"{date}\",\n\
         \x20 site: {site},\n\
         \x20 rig: {rig},\n\
         \x20 catalogue: {catalogue},\n\
         {house}{programme}{wishes}{rules}{call}{next_dates}{orientation}\
         \x20 // The running order. Leave it empty, `[]`, and Evenfall drafts it.\n\
         \x20 //   id           a whole number from 1 that no other stop has\n\
         \x20 //   start, end   local time with its offset from UTC and its zone: people's time, the move to the stop comes before\n\
         \x20 //   target, port what is shown and through which port; eyepiece counts from 1, the longest first\n\
         \x20 //   entry        instead of target and port: Welcome, Talk, Interval, ScreenTalk or Closing, with its title\n\
         \x20 //   held         what you have fixed: [Time], [Port] or [Time, Port]\n\
         \x20 //   understudy   the target that replaces it when its part of the sky closes\n\
         \x20 order: [{order}],\n\
         {versions})\n",
        zone_name = zone.name(),
        format = quoted(EVENING_FORMAT),
        title = quoted(&evening.title),
        date = evening.date.format("%Y-%m-%d"),
        site = quoted(&evening.site_file),
        rig = quoted(&evening.rig_file),
        catalogue = quoted(&evening.catalogue_file),
        house = house_lines(&evening.house),
        programme = programme_lines(&evening.programme),
        wishes = wishes_lines(&evening.wishes),
        rules = rules_lines(&evening.rules),
        call = call_lines(&evening.call),
        next_dates = next_dates_lines(&evening.next_dates),
        orientation = orientation_lines(&evening.orientation),
        versions = versions_lines(evening, zone),
    )
}

/// Other running orders and what has been shown, where there is any of it.
fn versions_lines(evening: &Evening, zone: Tz) -> String {
    let mut lines = String::new();
    if !evening.version.is_empty() {
        lines.push_str("  // What this running order is called; others that are kept follow.\n");
        lines.push_str(&format_line("version", &quoted(&evening.version)));
    }
    if !evening.versions.is_empty() {
        let versions: String = evening.versions.iter().map(|version| version_line(version, zone)).collect();
        lines.push_str(&format_line("versions", &format!("[\n{versions}  ]")));
    }
    if !evening.shown.is_empty() {
        lines.push_str("  // Targets ticked off as shown tonight.\n");
        lines.push_str(&format_line("shown", &list(evening.shown.iter().map(|target| target.0.as_str()))));
    }
    lines
}

pub(super) fn format_line(key: &str, value: &str) -> String {
    format!("  {key}: {value},\n")
}

fn version_line(version: &Version, zone: Tz) -> String {
    let order: String = version.order.stops().iter().map(|stop| stop_line(stop, zone)).collect();
    let order = if order.is_empty() { String::new() } else { format!("\n{order}    ") };
    format!("    (name: {}, order: [{order}]),\n", quoted(&version.name))
}

fn house_lines(house: &House) -> String {
    format!(
        "\x20 // The expected visitors. Children and seated visitors are counted among all; skip_percent is the share that\n\
         \x20 // skips any given stop, screen_minutes what a group spends at a screen, seconds_a_look what one look at a planet\n\
         \x20 // takes: other kinds take less or more in the usual proportion, unless you say what a kind takes:\n\
         \x20 //   seconds_by_kind: [(kind: Moon, seconds: 25)]\n\
         \x20 // When they come and when they go, if not as usual, in minutes from doors open; the same minute twice for a\n\
         \x20 // group at once. Those in no part of leaving stay to the end:\n\
         \x20 //   arrivals: [(from_min: 0, until_min: 45, percent: 80), (from_min: 60, until_min: 60, percent: 20)]\n\
         \x20 //   leaving: [(from_min: 90, until_min: 150, percent: 60)]\n\
         \x20 house: (\n\
         \x20   visitors: {}, children: {}, seated: {},\n\
         \x20   seconds_a_look: {:?}, skip_percent: {:?}, screen_minutes: {:?},\n\
         {}{}{}\x20 ),\n",
        house.visitors,
        house.children,
        house.seated,
        house.seconds_a_look,
        house.skip_percent,
        house.screen_minutes,
        kinds_line(&house.seconds_by_kind),
        if house.arrivals.is_empty() { String::new() } else { parts_line("arrivals", &house.arrivals) },
        house.leaving.as_ref().map_or_else(String::new, |leaving| parts_line("leaving", leaving)),
    )
}

fn kinds_line(seconds_by_kind: &[(Kind, f64)]) -> String {
    if seconds_by_kind.is_empty() {
        return String::new();
    }
    let kinds =
        seconds_by_kind.iter().map(|(kind, seconds)| format!("(kind: {kind:?}, seconds: {seconds:?})"));
    let kinds: Vec<String> = kinds.collect();
    format!("\x20   seconds_by_kind: [{}],\n", kinds.join(", "))
}

fn parts_line(key: &str, parts: &[VisitorPart]) -> String {
    let parts = parts.iter().map(|part| {
        let VisitorPart { from_minutes, until_minutes, percent } = part;
        format!("(from_min: {from_minutes:?}, until_min: {until_minutes:?}, percent: {percent:?})")
    });
    let parts: Vec<String> = parts.collect();
    format!("\x20   {key}: [{}],\n", parts.join(", "))
}

fn programme_lines(programme: &Programme) -> String {
    let fixed: String = programme.fixed.iter().map(fixed_line).collect();
    let fixed = if fixed.is_empty() { String::new() } else { format!("\n{fixed}    ") };
    format!(
        "\x20 // The frame. Doors that close before noon close after midnight. Kinds of fixed entry: Welcome, Talk, Interval,\n\
         \x20 // ScreenTalk (a talk over the last picture, beside the line at the eyepiece), Closing. slack_percent of the\n\
         \x20 // evening is kept free.\n\
         \x20 programme: (\n\
         \x20   doors_open: {}, doors_close: {}, slack_percent: {:?},\n\
         \x20   fixed: [{fixed}],\n\
         \x20 ),\n",
        clock(programme.doors_open),
        clock(programme.doors_close),
        programme.slack_percent,
    )
}

fn fixed_line(entry: &FixedEntry) -> String {
    let FixedEntry { title, kind, start, minutes, cue } = entry;
    let (start, title, cue) = (clock(*start), quoted(title), quoted(cue));
    format!("      (kind: {kind:?}, start: {start}, minutes: {minutes:?}, title: {title}, cue: {cue}),\n")
}

fn wishes_lines(wishes: &Wishes) -> String {
    let targets = |targets: &[TargetId]| list(targets.iter().map(|target| target.0.as_str()));
    format!(
        "\x20 // Wishes, by the ids of the catalogue and of the rig. closed_sky are parts of the sky closed tonight, by a bank\n\
         \x20 // of cloud, a crane, a neighbour's light: clockwise from one azimuth to another, all night or since and until:\n\
         \x20 //   closed_sky: [(from_deg: 90, to_deg: 180, since: \"21:30\", until: \"22:10\")]\n\
         \x20 // When clocks go back, a time that comes twice is the first of the two, but for since_again: true, until_again: true.\n\
         \x20 // How often the port may change, and how many stops each port is to have at least:\n\
         \x20 //   most_port_changes: 6, least_stops: [(port: \"spectrograph\", stops: 2)]\n\
         \x20 wishes: (\n\
         \x20   must_show: {},\n\
         \x20   leave_out: {},\n\
         \x20   ports_out_of_service: {},\n\
         \x20   closed_sky: {},\n\
         {ports}\x20 ),\n",
        targets(&wishes.must_show),
        targets(&wishes.leave_out),
        list(wishes.ports_out_of_service.iter().map(|port| port.0.as_str())),
        parts_of_sky(&wishes.closed_sky),
        ports = port_wishes(wishes),
    )
}

/// The limits on the use of ports, where there are some.
fn port_wishes(wishes: &Wishes) -> String {
    let mut lines = String::new();
    if let Some(most) = wishes.most_port_changes {
        writeln!(lines, "    most_port_changes: {most},").expect("writing to a String can't fail");
    }
    if !wishes.least_stops.is_empty() {
        let ports = wishes.least_stops.iter();
        let ports = ports.map(|(port, stops)| format!("(port: {}, stops: {stops})", quoted(&port.0)));
        let ports = ports.collect::<Vec<_>>().join(", ");
        writeln!(lines, "    least_stops: [{ports}],").expect("writing to a String can't fail");
    }
    lines
}

fn parts_of_sky(closed_sky: &[ClosedSky]) -> String {
    let parts = closed_sky.iter().map(|closed| {
        let ClosedSky { from, to, since, until, since_again, until_again } = closed;
        let mut part = format!("(from_deg: {}, to_deg: {}", degrees(*from), degrees(*to));
        for (key, time) in [("since", since), ("until", until)] {
            if let Some(time) = time {
                write_key(&mut part, key, &clock(*time));
            }
        }
        for (key, again) in [("since_again", since_again), ("until_again", until_again)] {
            if *again {
                write_key(&mut part, key, "true");
            }
        }
        part.push(')');
        part
    });
    format!("[{}]", parts.collect::<Vec<_>>().join(", "))
}

fn rules_lines(rules: &OrderRules) -> String {
    let weight = |rule| format!("{}: {}", rule_key(rule), rules.get(rule));
    let weights = OrderRule::ALL.map(weight);
    let (first, rest) = weights.split_at(4);
    format!(
        "\x20 // How much the trade's rules count when Evenfall drafts a running order: whole percent, 0 is off.\n\
         \x20 //   bright_first   bright and easy early: such a stop counts up to so much more\n\
         \x20 //   sets_first     what sets first goes first: a stop whose target goes soon counts up to so much more\n\
         \x20 //   children_first what children like best before bedtime: such a stop counts up to so much more\n\
         \x20 //   faint_apart    never two faint smudges in a row: the second loses so much of its worth\n\
         \x20 //   in_turn        eyepiece and screen in turn: a stop after another of its sort loses so much\n\
         \x20 //   crescendo      one crescendo at 60 to 70 percent of the evening: the stop there counts up to so much more\n\
         \x20 //   favourite_last a long-lived favourite last: such a stop at the end counts up to so much more\n\
         \x20 rules: (\n\
         \x20   {},\n\
         \x20   {},\n\
         \x20   bedtime: {},\n\
         \x20 ),\n",
        first.join(", "),
        rest.join(", "),
        clock(rules.bedtime),
    )
}

fn orientation_lines(orientation: &EarthOrientation) -> String {
    if *orientation == EarthOrientation::default() {
        return String::new();
    }
    format!(
        "\x20 // Measured values from the bulletins of the Earth rotation service, for the date.\n\
         \x20 earth_orientation: (ut1_minus_utc_s: {:?}, pole_x_arcsec: {}, pole_y_arcsec: {}),\n",
        orientation.ut1_minus_utc_s,
        arcseconds(orientation.pole_x),
        arcseconds(orientation.pole_y),
    )
}

fn stop_line(stop: &Stop, zone: Tz) -> String {
    let (start, end) = (zoned_text(stop.start(), zone), zoned_text(stop.end(), zone));
    let mut line = format!("    (id: {}, start: \"{start}\", end: \"{end}\"", stop.id.0);
    match &stop.what {
        What::Show(show) => {
            write_key(&mut line, "target", &quoted(&show.target.0));
            write_key(&mut line, "port", &quoted(&show.port.0));
            if let Some(eyepiece) = show.eyepiece {
                write_key(&mut line, "eyepiece", &(eyepiece + 1).to_string());
            }
            if let Some(understudy) = &show.understudy {
                write_key(&mut line, "understudy", &quoted(&understudy.0));
            }
        }
        What::Entry { kind, title, cue } => {
            write_key(&mut line, "entry", &format!("{kind:?}"));
            write_key(&mut line, "title", &quoted(title));
            write_key(&mut line, "cue", &quoted(cue));
        }
    }
    match (stop.held.time, stop.held.port) {
        (true, true) => write_key(&mut line, "held", "[Time, Port]"),
        (true, false) => write_key(&mut line, "held", "[Time]"),
        (false, true) => write_key(&mut line, "held", "[Port]"),
        (false, false) => {}
    }
    line.push_str("),\n");
    line
}

fn write_key(line: &mut String, key: &str, value: &str) {
    write!(line, ", {key}: {value}").expect("writing to a String can't fail");
}

pub(super) fn list<'a>(names: impl Iterator<Item = &'a str>) -> String {
    format!("[{}]", names.map(quoted).collect::<Vec<_>>().join(", "))
}

/// A text in quotation marks; RON knows the same escapes as Rust.
pub(super) fn quoted(text: &str) -> String {
    format!("{text:?}")
}

pub(super) fn clock(time: NaiveTime) -> String {
    let form = if time.second() == 0 && time.nanosecond() == 0 { "\"%H:%M\"" } else { "\"%H:%M:%S%.f\"" };
    time.format(form).to_string()
}

/// The shortest number of arcseconds that reads back as the same angle.
fn arcseconds(angle: Angle) -> String {
    shortest(angle, angle.arcseconds(), Angle::from_arcseconds)
}

/// The shortest number of degrees that reads back as the same angle.
fn degrees(angle: Angle) -> String {
    shortest(angle, angle.degrees(), Angle::from_degrees)
}

fn shortest(angle: Angle, number: f64, read: impl Fn(f64) -> Angle) -> String {
    let mut written = (1..=17).map(|decimals| format!("{number:.decimals$}"));
    let same = |text: &String| text.parse().is_ok_and(|value| read(value) == angle);
    // A product rounds twice, so the number that was read may be the next but one.
    let (below, above) = (number.next_down(), number.next_up());
    let near = [below, above, below.next_down(), above.next_up()].map(|near| format!("{near:?}"));
    written.find(same).or_else(|| near.into_iter().find(same)).unwrap_or_else(|| format!("{number:?}"))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;
    use chrono_tz::{Australia, Europe};

    use super::write_evening;
    use crate::catalogue::{Kind, TargetId};
    use crate::document::read_evening;
    use crate::earth::EarthOrientation;
    use crate::plan::{
        Call, ClosedSky, Decision, EntryKind, Evening, Held, OrderRule, RunningOrder, Show, Stop, StopId,
        Version, VisitorPart, What,
    };
    use crate::rig::PortId;
    use crate::time::{Instant, Interval};
    use crate::units::Angle;

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.evening.ron");

    fn demo() -> Evening {
        read_evening("heron-fell.evening.ron", DEMO).unwrap()
    }

    /// An evening that uses every key, with times across a change of clocks.
    fn full() -> Evening {
        // 2027-03-28 00:30 UTC, half an hour before the clocks go forward in London.
        let from = Instant::from_utc("2027-03-28T00:30:00Z".parse().unwrap());
        let interval =
            |start: f64, end: f64| Interval::new(from.plus_minutes(start), from.plus_minutes(end)).unwrap();
        let show = Show {
            target: TargetId("lantern-drift".into()),
            port: PortId("eyepiece".into()),
            eyepiece: Some(2),
            understudy: Some(TargetId("moon".into())),
        };
        let title = "Tea, \"scones\" \\ Skáld's\u{301} tale".to_owned();
        let entry = What::Entry { kind: EntryKind::Interval, title, cue: String::new() };
        let held = Held { time: true, port: false };
        let stops = vec![
            Stop { id: StopId(7), what: What::Show(show), interval: interval(0.0, 45.0), held },
            Stop {
                id: StopId(3),
                what: entry,
                interval: interval(45.0, 60.000_000_001),
                held: Held::default(),
            },
        ];
        let orientation = EarthOrientation {
            ut1_minus_utc_s: -0.123_456_7,
            pole_x: Angle::from_arcseconds(0.123_4),
            pole_y: Angle::from_arcseconds(-0.367_891),
        };
        let mut evening = demo();
        evening.order = RunningOrder::new(stops);
        evening.orientation = orientation;
        evening.wishes.must_show.push(TargetId("moon".into()));
        evening.wishes.ports_out_of_service.push(PortId("wide".into()));
        let closed = |from, to, since, until| {
            ClosedSky::new(Angle::from_degrees(from), Angle::from_degrees(to), since, until)
        };
        let clock = |hour, minute, second| NaiveTime::from_hms_opt(hour, minute, second);
        evening.wishes.closed_sky = vec![
            closed(90.0, 180.0, clock(21, 30, 0), clock(0, 10, 30)),
            closed(337.5, 22.1, None, clock(1, 5, 0)),
            closed(0.0, 360.0, None, None),
            ClosedSky { until_again: true, ..closed(0.0, 10.0, clock(1, 10, 0), clock(1, 10, 0)) },
            ClosedSky { since_again: true, ..closed(0.0, 10.0, clock(1, 10, 0), None) },
        ];
        for (rule, percent) in OrderRule::ALL.into_iter().zip([0, 100, 1, 99, 33, 67, 5]) {
            evening.rules.set(rule, percent);
        }
        evening.rules.bedtime = clock(20, 15, 0).unwrap();
        evening.wishes.most_port_changes = Some(6);
        evening.wishes.least_stops = vec![(PortId("wide".into()), 2), (PortId("eyepiece".into()), 0)];
        evening.call = Call {
            decide_before_minutes: 90.5,
            crew_before_minutes: 45.0,
            decision: Decision::NoGo,
            decided_at: clock(16, 30, 0),
            decided_by: "The \"lead\"".into(),
        };
        evening.next_dates = vec!["Friday 9 April, 20:30".into()];
        evening.version = "Clear".into();
        evening.versions = vec![
            Version {
                name: "Cloud \"thick\"".into(),
                order: RunningOrder::new(evening.order.stops()[..1].to_vec()),
            },
            Version { name: "Nobody comes".into(), order: RunningOrder::default() },
        ];
        evening.shown = vec![TargetId("moon".into()), TargetId("lantern-drift".into())];
        evening.house.seconds_a_look = 0.1 + 30.2;
        evening.house.seconds_by_kind = vec![(Kind::Galaxy, 75.5), (Kind::Moon, 20.0)];
        let group = VisitorPart { from_minutes: 60.0, until_minutes: 60.0, percent: 33.3 };
        evening.house.arrivals =
            vec![group, VisitorPart { from_minutes: 0.0, until_minutes: 45.5, percent: 66.7 }];
        evening.house.leaving =
            Some(vec![VisitorPart { from_minutes: 90.0, until_minutes: 150.25, percent: 60.1 }]);
        evening
    }

    #[test]
    fn what_is_written_reads_back_the_same() {
        for zone in [Europe::London, Australia::Lord_Howe] {
            for evening in [demo(), full()] {
                let text = write_evening(&evening, zone);
                assert_eq!(read_evening("again", &text).as_ref(), Ok(&evening), "{text}");
                assert_eq!(write_evening(&evening, zone), text);
            }
        }
        assert!(
            write_evening(&full(), Europe::London)
                .contains("end: \"2027-03-28T02:15:00+01:00[Europe/London]\"")
        );
    }

    #[test]
    fn the_demo_is_what_would_be_written() {
        assert_eq!(write_evening(&demo(), Europe::London), DEMO);
    }
}
