//! The evening as a whole: wishes, programme, slack, the line, screens and steps, the hour of the park, the clock.

use super::Judge;
use super::clock::doubtful_times;
use crate::catalogue::TargetId;
use crate::plan::beside::{LARGEST_SCREEN_GROUP, last_picture};
use crate::plan::queue::{humane_wait_minutes, longest_standing};
use crate::plan::timing::Leg;
use crate::plan::{
    EntryKind, Evening, Finding, Limit, Prepared, Rule, Severity, Stop, StopTiming, What, free_minutes,
};
use crate::rig::PortId;
use crate::time::{Instant, Interval, IntervalSet, time_doubt};

/// How far a stop may start from its fixed entry's clock time and still be that entry, in seconds.
const ENTRY_TOLERANCE_S: f64 = 30.0;
/// Percent of the evening by which its free time may fall short before it is told.
const SLACK_TOLERANCE_PERCENT: f64 = 0.01;
/// Minutes after doors open with neither anything to show nor an entry from which on they are told. Common practice, no
/// source.
const IDLE_TOLD_MINUTES: f64 = 30.0;

impl Judge<'_, '_> {
    /// Whether visitors come long before there is anything to look at.
    fn first_minutes(&mut self) {
        let doors = self.prepared.doors;
        let runs = self.prepared.availability.iter().filter_map(|own| own.showable.as_slice().first());
        let Some(until) = runs.map(|run| run.start()).reduce(Instant::min) else { return };
        let Some(before) = Interval::new(doors.start(), until) else { return };
        let entries = self.evening.order.stops().iter().filter(|stop| stop.show().is_none());
        let filled = IntervalSet::from_intervals(entries.map(|stop| stop.interval));
        let idle_minutes: f64 = filled.gaps_in(before).as_slice().iter().map(|gap| gap.minutes()).sum();
        if idle_minutes > IDLE_TOLD_MINUTES {
            self.caution_for_evening(Rule::NothingYet { until });
        }
    }

    fn park_closes(&self) -> Option<Instant> {
        self.prepared.night.local.at(self.materials.site.park_closes?).ok()
    }

    /// Whether somebody stands in line for too long with nothing else to see.
    fn waits(&mut self) {
        let longest = longest_standing(self.line);
        let humane_minutes = humane_wait_minutes(&self.evening.house);
        if let Some(longest) = longest.filter(|long| long.standing_minutes > humane_minutes) {
            let rule = Rule::LongWait { at: longest.instant, wait_minutes: longest.standing_minutes };
            self.findings.push(Finding { severity: Severity::Caution, stop: longest.stop, rule });
        }
    }

    /// Whether all who take part in a stop can look at a screen together, and a talk there has a picture.
    fn screens(&mut self) {
        let (order, rig) = (&self.evening.order, self.materials.rig);
        for talk in order.stops().iter().filter(|stop| stop.is_screen_talk()) {
            if last_picture(order, talk, rig).is_none() {
                self.caution(talk, Rule::NoPictureYet);
            }
        }

        let house = &self.evening.house;
        let visitors = (f64::from(house.visitors) * house.share_taking_part()).round() as u32;
        let on_screen = self.evening.order.stops().iter().any(|stop| {
            let port = stop.show().and_then(|show| self.materials.rig.port(&show.port));
            port.is_some_and(|port| !port.is_eyepiece())
        });
        if on_screen && visitors > LARGEST_SCREEN_GROUP {
            let rule = Rule::TooManyForScreen { visitors, at_most: LARGEST_SCREEN_GROUP };
            self.caution_for_evening(rule);
        }
    }

    /// Ports with a step or a ladder that the evening uses.
    fn steps(&mut self) {
        for port in &self.materials.rig.ports {
            let Some(step_mm) = port.access.and_then(|access| access.step_mm) else { continue };
            let shows = |stop: &Stop| stop.show().is_some_and(|show| show.port == port.id);
            if self.evening.order.stops().iter().any(shows) {
                self.caution_for_evening(Rule::StepInUse { port: port.id.clone(), step_mm });
            }
        }
    }

    /// Whether the order changes ports as seldom, and uses each as often, as is wished.
    fn ports(&mut self) {
        let evening = self.evening;
        let shown: Vec<&PortId> =
            evening.order.stops().iter().filter_map(|stop| Some(&stop.show()?.port)).collect();
        let changes = shown.windows(2).filter(|two| two[0] != two[1]).count() as u32;
        if let Some(most) = evening.wishes.most_port_changes.filter(|most| changes > *most) {
            self.caution_for_evening(Rule::TooManyPortChanges { changes, most });
        }
        for (port, least) in &evening.wishes.least_stops {
            let stops = shown.iter().filter(|own| **own == port).count() as u32;
            if stops < *least {
                self.caution_for_evening(Rule::TooFewOnPort { port: port.clone(), stops, least: *least });
            }
        }
    }

    /// What concerns the evening as a whole.
    pub(super) fn whole(&mut self, legs: &[Leg]) {
        let (evening, prepared) = (self.evening, self.prepared);
        let shown = |target: &TargetId| {
            evening.order.stops().iter().any(|stop| stop.show().is_some_and(|show| &show.target == target))
        };
        for target in evening.wishes.must_show.iter().filter(|target| !shown(target)) {
            self.caution_for_evening(Rule::MustShowMissing(target.clone()));
        }
        for entry in &evening.programme.fixed {
            // A time that the clocks jump over is told by itself.
            let Ok(start) = prepared.night.local.at(entry.start) else { continue };
            let stops = evening.order.stops().iter();
            if !stops.into_iter().any(|stop| is_entry(stop, entry.kind, &entry.title, start)) {
                self.caution_for_evening(Rule::FixedEntryMissing { title: entry.title.clone() });
            }
        }
        if !evening.order.stops().is_empty() {
            let free_percent = free_percent(evening, prepared, legs);
            let wished_percent = evening.programme.slack_percent;
            if free_percent + SLACK_TOLERANCE_PERCENT < wished_percent {
                self.caution_for_evening(Rule::LittleSlack { free_percent, wished_percent });
            }
        }
        self.ports();
        self.waits();
        self.screens();
        self.steps();
        self.first_minutes();
        if prepared.availability.iter().all(|own| own.showable.is_empty()) {
            self.caution_for_evening(Rule::NothingToShow { limit: main_limit(prepared) });
        }
        let ends = evening.order.stops().iter().map(Stop::end).fold(prepared.doors.end(), Instant::max);
        if self.park_closes().is_some_and(|closes| ends > closes) {
            self.caution_for_evening(Rule::ParkCloses);
        }
        for rule in doubtful_times(evening, self.materials.site, &prepared.night.local) {
            self.caution_for_evening(rule);
        }
        if time_doubt(evening.date).is_some() {
            self.caution_for_evening(Rule::DoubtfulClock);
        }
    }
}

/// What limits most of the targets most; of equals the gravest.
fn main_limit(prepared: &Prepared) -> Option<Limit> {
    let mut limits: Vec<Limit> =
        prepared.availability.iter().filter_map(|own| own.limits.first().copied()).collect();
    limits.sort_unstable();
    let most = limits.chunk_by(|one, other| one == other).rev().max_by_key(|same| same.len());
    most.and_then(|same| same.first().copied())
}

/// Whether a stop is a fixed entry at its clock time.
fn is_entry(stop: &Stop, kind: EntryKind, title: &str, start: Instant) -> bool {
    match &stop.what {
        What::Entry { kind: own_kind, title: own_title, .. } => {
            *own_kind == kind
                && own_title == title
                && stop.start().seconds_since(start).abs() <= ENTRY_TOLERANCE_S
        }
        What::Show(_) => false,
    }
}

/// Percent of the time within doors taken by neither stops nor moves.
fn free_percent(evening: &Evening, prepared: &Prepared, legs: &[Leg]) -> f64 {
    let timings: Vec<StopTiming> = legs.iter().map(|leg| leg.timing).collect();
    let free = free_minutes(&evening.order, &timings, prepared.doors);
    100.0 * free / prepared.doors.minutes().max(1.0)
}
