//! What can be wrong with a running order, as data; worded elsewhere.

use chrono::NaiveTime;

use super::{Limit, StopId};
use crate::catalogue::{Missing, TargetId};
use crate::rig::PortId;
use crate::time::Instant;
use crate::units::{Angle, Fraction};

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// A Stopper: can't stand.
    Stopper,
    /// A Caution: needs a look.
    Caution,
}

/// What is wrong, as data; worded elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub enum Rule {
    /// Two stops share time.
    Overlap {
        /// The other stop.
        with: StopId,
    },
    /// The move does not fit into the gap before the stop.
    MoveDoesNotFit {
        /// Minutes missing.
        short_by_minutes: f64,
    },
    /// Before doors open or after they close.
    OutsideDoors,
    /// The target is not in the catalogue.
    UnknownTarget(TargetId),
    /// The port is not on the rig.
    UnknownPort(PortId),
    /// The port is out of service tonight.
    PortOutOfService(PortId),
    /// Below the horizon, behind the profile, or below the mount's limit at some minute of the stop.
    TooLow {
        /// The first such minute.
        at: Instant,
        /// Its altitude then.
        altitude: Angle,
        /// The altitude needed there.
        needed: Angle,
    },
    /// Above the mount's limit or in the keyhole at some minute of the stop.
    InKeyhole {
        /// The first such minute.
        at: Instant,
        /// Whether all of the stop is in it.
        throughout: bool,
    },
    /// In a closed part of the sky at some minute of the stop.
    InClosedSky {
        /// The first such minute.
        at: Instant,
    },
    /// Too near the Sun while the Sun is above -6 degrees.
    NearSun {
        /// Distance from the Sun.
        separation: Angle,
        /// The limit.
        limit: Angle,
    },
    /// The Sun is above the horizon.
    Daylight,
    /// The path of the slew passes too near the Sun.
    SlewNearSun {
        /// Closest distance from the Sun.
        separation: Angle,
    },
    /// The first slew, whose way from the parking place is not known, falls while the Sun is up. With the Sun below
    /// the horizon no way can meet it.
    FirstSlewInDaylight,
    /// The slew fits and keeps clear of the Sun, unless it is begun as soon as the telescope is free.
    SlewTooEarly {
        /// Closest distance from the Sun when begun too early.
        separation: Angle,
        /// From when on it keeps clear.
        from: Instant,
    },
    /// Following the target runs past the end of the cables.
    CablesEnd {
        /// The first minute that the cables don't reach.
        at: Instant,
    },
    /// Following the target across the meridian, the mount flips.
    FlipInside {
        /// The first minute that its side of the pier doesn't reach.
        at: Instant,
    },
    /// Visitors look seated, and the eyepiece stands too high or too low for them. Told once, at the first stop.
    NotSeated {
        /// Lowest and highest eyepiece through the first stop, in millimetres above the floor.
        heights_mm: (f64, f64),
        /// At how many later stops they can't look into it either.
        later_stops: usize,
    },
    /// A step or a ladder is in use at an eyepiece.
    StepInUse {
        /// Its port.
        port: PortId,
        /// Its height, in millimetres.
        step_mm: f64,
    },
    /// No view through this port: the first reason stands in the port's choice.
    NoView,
    /// A poor view (below 0.3).
    PoorView,
    /// Shorter than the visitors need.
    TooShort {
        /// Minutes it has.
        has_minutes: f64,
        /// Minutes needed.
        needed_minutes: f64,
    },
    /// The line is longer than visitors bear with nothing else to see.
    LongWait {
        /// When it is longest.
        at: Instant,
        /// Minutes until somebody who joins then has looked, without those spent at a screen beside the line.
        wait_minutes: f64,
    },
    /// A talk at the screen before any picture of this evening.
    NoPictureYet,
    /// The same target twice.
    ShownTwice {
        /// The other stop.
        with: StopId,
    },
    /// A must-show target has no stop.
    MustShowMissing(TargetId),
    /// A target that was to be left out is shown.
    LeftOutShown,
    /// The understudy is not in the catalogue.
    UnknownUnderstudy(TargetId),
    /// The understudy was to be left out.
    LeftOutUnderstudy(TargetId),
    /// The understudy can't be shown at some minute of the stop.
    UnderstudyLimited {
        /// The understudy.
        understudy: TargetId,
        /// The first minute that the limit holds.
        at: Instant,
        /// What keeps it from being shown: the Sun before all else.
        limit: Limit,
    },
    /// A comet placed by elements that are too old for it.
    OldElements {
        /// Days between their epoch and the stop.
        age_days: f64,
    },
    /// A target of which the catalogue does not tell all that its pages and its place on a port stand on.
    Incomplete {
        /// What it does not tell; never empty.
        missing: Vec<Missing>,
    },
    /// Moonlight near.
    MoonNear {
        /// The lit share of the Moon's disc then.
        lit: Fraction,
        /// Distance from the Moon.
        separation: Angle,
    },
    /// A fixed entry of the programme has no stop at its time.
    FixedEntryMissing {
        /// Its title.
        title: String,
    },
    /// Less free time than wished.
    LittleSlack {
        /// Percent of the evening that is free.
        free_percent: f64,
        /// Percent wished.
        wished_percent: f64,
    },
    /// Doors open long before anything in the catalogue can be shown, and no entry fills the time.
    NothingYet {
        /// From when on something can be shown.
        until: Instant,
    },
    /// Nothing in the catalogue can be shown while doors are open.
    NothingToShow {
        /// What limits most of the targets; `None` for an empty catalogue.
        limit: Option<Limit>,
    },
    /// More changes of port than are wished.
    TooManyPortChanges {
        /// How many there are.
        changes: u32,
        /// How many there may be.
        most: u32,
    },
    /// Fewer stops on a port than are wished.
    TooFewOnPort {
        /// Which.
        port: PortId,
        /// How many there are.
        stops: u32,
        /// How many are wished.
        least: u32,
    },
    /// More visitors take part than can look at one screen together.
    TooManyForScreen {
        /// How many take part in a stop.
        visitors: u32,
        /// How many can look at once.
        at_most: u32,
    },
    /// The evening runs past the park's closing time.
    ParkCloses,
    /// The clocks go back that night and show the time twice.
    ClockTimeTwice {
        /// Whose time.
        what: ClockTime,
        /// The first of the two, which is taken.
        taken: Instant,
    },
    /// The clocks go forward that night and jump over the time.
    ClockTimeSkipped {
        /// Whose time; never that of doors, without which no evening can be prepared.
        what: ClockTime,
        /// The time.
        time: NaiveTime,
    },
    /// Clock times are doubtful on this date (leap seconds).
    DoubtfulClock,
}

/// A time that is given by the local clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ClockTime {
    /// Doors open.
    DoorsOpen,
    /// Doors close.
    DoorsClose,
    /// A fixed entry of this title starts.
    Entry(String),
    /// The park closes.
    ParkCloses,
    /// A part of the sky closes.
    SkyCloses,
    /// A closed part of the sky opens again.
    SkyOpens,
}

/// One finding: what, how grave, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// The stop it belongs to; `None` for the whole evening.
    pub stop: Option<StopId>,
    /// What is wrong.
    pub rule: Rule,
}

impl Finding {
    /// The minute at which it bites; `None` where it holds for all of a stop or of the evening.
    pub const fn minute(&self) -> Option<Instant> {
        match self.rule {
            Rule::TooLow { at, .. }
            | Rule::InKeyhole { at, .. }
            | Rule::InClosedSky { at }
            | Rule::CablesEnd { at }
            | Rule::FlipInside { at }
            | Rule::LongWait { at, .. }
            | Rule::UnderstudyLimited { at, .. } => Some(at),
            _ => None,
        }
    }
}
