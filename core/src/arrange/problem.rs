//! The evening to arrange as one plain value, all in whole numbers, so that two programs get the same score.

use serde::{Deserialize, Serialize};

/// The format that [`Problem::format`] names.
pub const PROBLEM_FORMAT: &str = "evening-schedule/1";

/// What may be shown when, for how long, at what worth, and what stands in the way.
///
/// Times are steps of `step_s` seconds from the evening's start, angles hundredths of a degree. The keys of the JSON
/// form are those of the fields, or as renamed beside them.
///
/// Of thousands of targets, angles (`A`) and worths (`V`) fill the memory: they are as narrow as a sound problem lets them
/// be. While a text is read both are `i64`, so that any number in it can be told as it stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem<A = i32, V = u16> {
    /// [`PROBLEM_FORMAT`].
    pub format: String,
    /// A label.
    #[serde(default)]
    pub name: String,
    /// Seconds a step.
    pub step_s: i64,
    /// Number of steps; nothing ends later.
    pub steps: i64,
    /// Positions are given once in this many steps: that of step `d` stands at index `d / pos_every`.
    pub pos_every: i64,
    /// The ports of the selector.
    pub ports: Vec<ProblemPort>,
    /// Time of the selector from port to port, in seconds: `port_change_s[from][to]`.
    pub port_change_s: Vec<Vec<i64>>,
    /// How the telescope moves.
    pub slew: Slew,
    /// Where it stands at first.
    pub start: Start,
    /// Kinds of target, each worth less the more of them are shown.
    pub kinds: Vec<Kind>,
    /// Times without viewing.
    #[serde(default)]
    pub blocks: Vec<Block>,
    /// What may be shown.
    pub targets: Vec<ProblemTarget<A, V>>,
    /// What must be shown, and how.
    #[serde(default)]
    pub pins: Vec<Pin>,
    /// Indices of targets that are never shown.
    #[serde(default)]
    pub excluded: Vec<usize>,
    /// Which of a kind counts as the first.
    #[serde(default)]
    pub rank_by: RankBy,
    /// The most changes of port in the evening.
    pub max_port_changes: i64,
    /// The least stops on each port.
    pub min_stops: Vec<i64>,
    /// What is lost when an option of one class is shown right after one of another, blocks between them or not:
    /// `in_a_row[earlier][later]`, from 0; nothing where empty. A key of this program beyond the format's own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub in_a_row: Vec<Vec<i64>>,
}

/// A port of the selector.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ProblemPort {
    /// Its name.
    pub name: String,
    /// Refocusing after a change to it, in seconds.
    pub focus_s: i64,
}

/// How the telescope moves: both axes at once, each at its rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slew {
    /// Hundredths of a degree a second on axis 1.
    pub rate1: i64,
    /// Hundredths of a degree a second on axis 2.
    pub rate2: i64,
    /// 36 000 where axis 1 may go either way round, 0 where not.
    pub wrap1: i64,
    /// Settling after every move, in seconds.
    pub settle_s: i64,
}

/// Where the telescope stands at first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Start {
    /// The step from which it may move.
    pub step: i64,
    /// The port that is set, or -1 for none.
    pub port: i64,
    /// Hundredths of a degree.
    pub axis1: i64,
    /// Hundredths of a degree.
    pub axis2: i64,
    /// The class of what was shown last before, for [`Problem::in_a_row`]; none where nothing was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<usize>,
}

/// A kind of target.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kind {
    /// Its name.
    pub name: String,
    /// What the first, second, ... shown of it counts, in thousandths; the last goes on.
    pub factors: Vec<i64>,
}

/// A time without viewing; moving during it is allowed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Block {
    /// Its name.
    pub name: String,
    /// First step of it.
    pub from: i64,
    /// First step after it.
    pub to: i64,
}

/// Something that may be shown, at most once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ProblemTarget<A = i32, V = u16> {
    /// Its name.
    pub name: String,
    /// Index of its kind.
    pub kind: usize,
    /// Axis 1 over the evening, hundredths of a degree.
    pub axis1: Vec<A>,
    /// Axis 2 over the evening, hundredths of a degree.
    pub axis2: Vec<A>,
    /// Ways to show it.
    pub options: Vec<ShowingOption<V>>,
}

/// A way to show a target: through one port, for so long.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShowingOption<V = u16> {
    /// Index of the port.
    pub port: usize,
    /// Steps of viewing.
    #[serde(rename = "dur")]
    pub duration: i64,
    /// Exposure or framing before viewing, in seconds.
    pub lead_s: i64,
    /// The step that `values[0]` belongs to.
    #[serde(rename = "t0")]
    pub first_start: i64,
    /// Worth of the stop when viewing starts at step `first_start + n`; 0, or outside, is not allowed.
    #[serde(rename = "v")]
    pub values: Vec<V>,
    /// Its class in [`Problem::in_a_row`].
    #[serde(default, skip_serializing_if = "is_zero")]
    pub class: usize,
}

fn is_zero<N: Default + PartialEq>(number: &N) -> bool {
    *number == N::default()
}

/// A target that must be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pin {
    /// Index of the target.
    pub target: usize,
    /// Through this port; none or negative for any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub port: Option<i64>,
    /// Starting at this step.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<i64>,
    /// By so many steps `at` may be missed; 0 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tol: Option<i64>,
}

impl Pin {
    /// Whether a stop on a port, starting at a step, is as this pin wants it.
    pub fn fits(&self, port: usize, start: i64) -> bool {
        self.fits_port(port) && self.fits_start(start)
    }

    /// Whether a port is the one wanted.
    pub fn fits_port(&self, port: usize) -> bool {
        self.port.is_none_or(|wanted| wanted < 0 || usize::try_from(wanted) == Ok(port))
    }

    /// Whether a start is near enough to the one wanted.
    pub fn fits_start(&self, start: i64) -> bool {
        self.at.is_none_or(|at| (start - at).abs() <= self.tol.unwrap_or(0))
    }
}

/// Which of a kind counts as the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RankBy {
    /// The most valuable.
    #[default]
    Value,
    /// The earliest.
    Time,
}

/// A stop of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AnswerStop {
    /// Index of the target.
    pub target: usize,
    /// Index of its option.
    pub option: usize,
    /// The step at which viewing starts.
    pub start: i64,
}

/// A running order for a [`Problem`], with what is known about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    /// The stops in order of time.
    pub stops: Vec<AnswerStop>,
    /// Its score in the format, nothing taken off for what is shown in a row.
    pub score: i64,
    /// What is lost by what is shown in a row.
    #[serde(rename = "in_a_row_loss", default, skip_serializing_if = "is_zero")]
    pub loss: i64,
    /// No order that keeps the wishes which this one keeps is worth more.
    pub bound: i64,
}

impl Answer {
    /// What the order is worth: its score less what is lost in a row.
    pub const fn worth(&self) -> i64 {
        self.score - self.loss
    }

    /// Whether nothing better exists.
    pub const fn is_best(&self) -> bool {
        self.worth() >= self.bound
    }

    /// By how much a better order could be better at most, as a share of this one.
    pub fn gap(&self) -> f64 {
        (self.bound - self.worth()).max(0) as f64 / self.worth().max(1) as f64
    }
}
