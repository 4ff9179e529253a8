//! The run sheet as text only: head, rows, notices.

/// One line of the run sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Number of the stop, from 1.
    pub number: String,
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
    /// Port, with eyepiece and magnification or exposure.
    pub port: String,
    /// Altitude at start and end, such as `46° → 44°`.
    pub altitude: String,
    /// Azimuth at start and end with a compass word, such as `SE 135° → 141°`.
    pub azimuth: String,
    /// The move before it, such as `50 s, turn right 34°`.
    pub move_time: String,
    /// People's time, such as `20 min`.
    pub people_time: String,
    /// What to say.
    pub cue: String,
    /// Understudy, or empty.
    pub understudy: String,
    /// Its Stoppers and Cautions in words.
    pub cautions: Vec<String>,
    /// Whether it is held.
    pub held: bool,
}

/// A label with its value, such as `Sunset` and `18:08 GMT`.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// What.
    pub label: String,
    /// Its value, with unit or zone.
    pub value: String,
}

/// The run sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct RunSheet {
    /// Title of the evening.
    pub title: String,
    /// Date, site and zone in one line.
    pub subtitle: String,
    /// Sunset, dusk, dark, Moon, doors, slack, park closing.
    pub head: Vec<Notice>,
    /// One row a stop.
    pub rows: Vec<Row>,
    /// Findings of the whole evening, in words.
    pub findings: Vec<String>,
    /// Safety cautions in short form.
    pub cautions: Vec<String>,
    /// The site's weather limits, one a line.
    pub limits: Vec<String>,
    /// The footer of every page.
    pub footer: String,
    /// Version stamp: what the page was made from.
    pub stamp: String,
}
