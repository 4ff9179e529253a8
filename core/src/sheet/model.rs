//! The run sheet as text only: head, rows, notices.

/// One line of the run sheet. What does not apply is empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Number of the stop, from 1.
    pub number: String,
    /// Date of its start on the local calendar, such as `2027-03-13`.
    pub date: String,
    /// Start on the local clock, such as `20:40`.
    pub start: String,
    /// End on the local clock.
    pub end: String,
    /// Zone at the start, such as `GMT`.
    pub zone: String,
    /// Target or entry.
    pub title: String,
    /// What it is, such as `Open cluster`.
    pub kind: String,
    /// Port with its letter, such as `C Eyepiece`.
    pub port: String,
    /// What to put on the port, such as `24 mm, 175×` or `expose 10 s`, and what is seen of a target larger than the field, such
    /// as `part of it: 64% across`.
    pub port_detail: String,
    /// The length of a camera's frame, such as `10 s`.
    pub exposure: String,
    /// How much of a target larger than the field is seen, such as `64% across`; empty where all of it is.
    pub part_seen: String,
    /// Altitude at start and end, such as `46° → 44°`.
    pub altitude: String,
    /// Azimuth at start and end with a compass word, such as `SE 135° → 141°`.
    pub azimuth: String,
    /// Altitude at the start, in whole degrees.
    pub altitude_start_deg: String,
    /// Altitude at the end, in whole degrees.
    pub altitude_end_deg: String,
    /// Azimuth at the start, in whole degrees.
    pub azimuth_start_deg: String,
    /// Azimuth at the end, in whole degrees.
    pub azimuth_end_deg: String,
    /// When the move must begin, rounded down to the minute, such as `20:38`.
    pub move_start: String,
    /// How long the move before it takes, such as `50 s`.
    pub move_time: String,
    /// Which way the mount turns, seen from above, such as `right 34°`.
    pub move_turn: String,
    /// Seconds of the move.
    pub move_s: String,
    /// Framing or exposing after the move, such as `frame 30 s`.
    pub lead_time: String,
    /// Seconds of framing or exposing.
    pub lead_s: String,
    /// People's time, such as `20 min`.
    pub people_time: String,
    /// Minutes of people's time.
    pub people_min: String,
    /// Focus offset of the port, with its unit, such as `focus +120 steps`.
    pub focus: String,
    /// The same in whole steps.
    pub focus_steps: String,
    /// Which way the slit faces, such as `slit SE → S`.
    pub dome: String,
    /// The same without its word, such as `SE → S`.
    pub slit_faces: String,
    /// Where the line of visitors forms, such as `line west`.
    pub line_forms: String,
    /// The same without its word, such as `west`.
    pub line_side: String,
    /// What to say.
    pub cue: String,
    /// Understudy, or empty.
    pub understudy: String,
    /// The satellites that pass while it runs or before the next, the first stop with those before it and the last with those after,
    /// in order of time, such as `20:13 MILL POND passes`.
    pub passes: Vec<String>,
    /// Its Stoppers and Cautions in words.
    pub cautions: Vec<String>,
    /// What the user has fixed: `held`, `time held`, `port held`, or nothing.
    pub held: String,
}

/// A label with its value, such as `Sunset` and `18:08 GMT`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What.
    pub label: String,
    /// Its value, with unit or zone.
    pub value: String,
}

impl Notice {
    /// A notice.
    pub fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self { label: label.into(), value: value.into() }
    }
}

/// The run sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunSheet {
    /// Title of the evening.
    pub title: String,
    /// Date, site and rig in one line.
    pub subtitle: String,
    /// The zone of all times, such as `All times GMT (Europe/London)`.
    pub zone: String,
    /// That it can't be run, and why: `3 Stoppers: not to be run as it stands`; empty for an evening without Stoppers.
    pub warning: String,
    /// Sunset, dusk, dark, Moon, doors, slack, park closing.
    pub head: Vec<Notice>,
    /// One row a stop.
    pub rows: Vec<Row>,
    /// Findings of the whole evening, in words.
    pub findings: Vec<String>,
    /// Safety cautions in short form: topic and what to do; the site's own come first.
    pub cautions: Vec<Notice>,
    /// The site's weather limits.
    pub limits: Vec<Notice>,
    /// The footer of every page.
    pub footer: String,
    /// Version stamp: what the page was made by, and a mark by which two copies are told to be the same.
    pub stamp: String,
}
