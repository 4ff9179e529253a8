//! The document: what the user decides and saves about one evening.

use chrono::{NaiveDate, NaiveTime};

use super::{Call, ClosedSky, EntryKind, OrderRules, RunningOrder, VisitorPart};
use crate::catalogue::{Catalogue, Kind, TargetId};
use crate::earth::EarthOrientation;
use crate::ephemeris::Ephemeris;
use crate::rig::{PortId, Rig};
use crate::site::Site;

/// The expected visitors.
#[derive(Clone, Debug, PartialEq)]
pub struct House {
    /// How many come.
    pub visitors: u32,
    /// How many of them are children.
    pub children: u32,
    /// How many look seated (each takes 180 seconds at an eyepiece; common practice, no source).
    pub seated: u32,
    /// Seconds for one look through an eyepiece at a planet, without children and seated visitors; other kinds take
    /// less or more in the usual proportion.
    pub seconds_a_look: f64,
    /// Seconds for one look at a kind of target where the usual proportion does not hold; each kind once.
    pub seconds_by_kind: Vec<(Kind, f64)>,
    /// Share that skips any given stop, in percent.
    pub skip_percent: f64,
    /// Minutes a group spends at a screen, at least.
    pub screen_minutes: f64,
    /// When they come; empty for the usual way.
    pub arrivals: Vec<VisitorPart>,
    /// When they go, in shares of all; whoever is in no part stays until doors close. `None` for the usual way.
    pub leaving: Option<Vec<VisitorPart>>,
}

impl House {
    /// The share of the house that takes part in any given stop.
    pub fn share_taking_part(&self) -> f64 {
        (1.0 - self.skip_percent / 100.0).clamp(0.0, 1.0)
    }
}

/// Something fixed that needs no telescope: welcome, talk, interval, a talk at the screen, closing.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedEntry {
    /// What it is called.
    pub title: String,
    /// What sort of entry.
    pub kind: EntryKind,
    /// When it starts, on the local clock.
    pub start: NaiveTime,
    /// How long it takes.
    pub minutes: f64,
    /// What to say, in few words.
    pub cue: String,
}

/// The frame of the evening.
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    /// Doors open, on the local clock.
    pub doors_open: NaiveTime,
    /// Doors close, on the local clock; before noon means after midnight.
    pub doors_close: NaiveTime,
    /// Fixed entries, in any order.
    pub fixed: Vec<FixedEntry>,
    /// Minutes to keep free, in percent of the evening.
    pub slack_percent: f64,
}

/// What the user wants beyond the programme.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Targets that must be shown.
    pub must_show: Vec<TargetId>,
    /// Targets never to be shown tonight.
    pub leave_out: Vec<TargetId>,
    /// Ports that can't be used tonight.
    pub ports_out_of_service: Vec<PortId>,
    /// Parts of the sky that are closed tonight.
    pub closed_sky: Vec<ClosedSky>,
    /// The most changes of port in the evening; none for as many as it takes.
    pub most_port_changes: Option<u32>,
    /// The least stops on a port, each port once.
    pub least_stops: Vec<(PortId, u32)>,
}

/// The longest name of a running order, in characters.
pub const LONGEST_VERSION_NAME: usize = 24;

/// A running order kept beside the one that stands, such as for a cloudy sky.
#[derive(Clone, Debug, PartialEq)]
pub struct Version {
    /// What it is called.
    pub name: String,
    /// The order.
    pub order: RunningOrder,
}

/// One evening, as saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Evening {
    /// Its title for people.
    pub title: String,
    /// The date of its evening.
    pub date: NaiveDate,
    /// The file of its site, relative to its own.
    pub site_file: String,
    /// The file of its rig.
    pub rig_file: String,
    /// The file of its catalogue.
    pub catalogue_file: String,
    /// The expected visitors.
    pub house: House,
    /// The frame.
    pub programme: Programme,
    /// Wishes.
    pub wishes: Wishes,
    /// How much the trade's rules count in a draft.
    pub rules: OrderRules,
    /// Go or no-go, and when the crew comes.
    pub call: Call,
    /// The next public evenings, each in a line for visitors.
    pub next_dates: Vec<String>,
    /// UT1 - UTC and polar motion, where the user has them.
    pub orientation: EarthOrientation,
    /// The running order; empty until drafted.
    pub order: RunningOrder,
    /// What the running order that stands is called; empty where there is only one.
    pub version: String,
    /// Other running orders for the same evening, each under a name of its own.
    pub versions: Vec<Version>,
    /// Targets that have been shown tonight, ticked off in any version.
    pub shown: Vec<TargetId>,
}

/// What an evening stands on.
#[derive(Clone, Copy, Debug)]
pub struct Materials<'m> {
    /// Where.
    pub site: &'m Site,
    /// With what.
    pub rig: &'m Rig,
    /// Out of which targets.
    pub catalogue: &'m Catalogue,
    /// Under which sky.
    pub ephemeris: &'m Ephemeris,
}

impl Materials<'_> {
    /// Position of a target in the catalogue, and so in all that is prepared by target.
    pub fn target_index(&self, target: &TargetId) -> Option<usize> {
        self.catalogue.targets.iter().position(|own| &own.id == target)
    }
}
