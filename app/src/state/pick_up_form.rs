//! What is asked before an evening that has begun is picked up: from when, what was shown, who and what is still there.

use chrono::{NaiveTime, Timelike};
use evenfall_core::plan::{ClosedSky, Evening, PickUp, Prepared, Stop, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;

/// Parts of the sky that can be closed with one press, clockwise from north.
pub const SKY_PARTS: usize = 8;
/// Width of one of them, in degrees.
const PART_DEG: f64 = 45.0;

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct PickUpForm {
    /// From when, as it is being typed.
    pub at_text: String,
    /// Stops that should have begun, but were not shown.
    pub not_shown: Vec<StopId>,
    /// Visitors still here, as it is being typed.
    pub visitors_text: String,
    /// Ports that can't be used any more.
    pub ports_out_of_service: Vec<PortId>,
    /// Which parts of the sky have closed, clockwise from north.
    pub closed: [bool; SKY_PARTS],
}

impl PickUpForm {
    /// From a minute on, with all shown that should have begun.
    pub(super) fn new(evening: &Evening, prepared: &Prepared, at: Instant) -> Self {
        let doors = prepared.doors;
        let at = if at < doors.start() { doors.start() } else { at.min(doors.end()) };
        Self {
            at_text: prepared.night.local.local(at).format("%H:%M").to_string(),
            not_shown: Vec::new(),
            visitors_text: evening.house.visitors.to_string(),
            ports_out_of_service: evening.wishes.ports_out_of_service.clone(),
            closed: [false; SKY_PARTS],
        }
    }

    /// From when; `None` where it is no clock time while doors are open.
    pub fn at(&self, prepared: &Prepared) -> Option<Instant> {
        let time = NaiveTime::parse_from_str(self.at_text.trim(), "%H:%M").ok()?;
        let at = prepared.night.local.at(time).ok()?;
        (at >= prepared.doors.start() && at < prepared.doors.end()).then_some(at)
    }

    /// The same from other minutes on, where doors are still open.
    pub fn shifted(&self, prepared: &Prepared, minutes: f64) -> Self {
        let Some(at) = self.at(prepared) else { return self.clone() };
        let last = prepared.doors.end().plus_minutes(-1.0);
        let at = at.plus_minutes(minutes).max(prepared.doors.start()).min(last);
        Self { at_text: prepared.night.local.local(at).format("%H:%M").to_string(), ..self.clone() }
    }

    /// Visitors still here; `None` where it is no number of people.
    pub fn visitors(&self) -> Option<u32> {
        self.visitors_text.trim().parse().ok().filter(|visitors| *visitors <= 2000)
    }

    /// The stops that should have begun by then.
    pub fn begun<'e>(&self, evening: &'e Evening, prepared: &Prepared) -> Vec<&'e Stop> {
        let at = self.at(prepared);
        let stops = evening.order.stops().iter();
        stops.filter(|stop| at.is_some_and(|at| stop.start() < at)).collect()
    }

    /// The evening as it has become and where it is picked up; `None` while an answer can't be used.
    pub(super) fn answered(&self, evening: &Evening, prepared: &Prepared) -> Option<(Evening, PickUp)> {
        let (at, visitors) = (self.at(prepared)?, self.visitors()?);
        let shown = |id: &StopId| !self.not_shown.contains(id);
        let done = self.begun(evening, prepared).into_iter().map(|stop| stop.id).filter(shown).collect();
        let mut evening = evening.clone();
        let house = &mut evening.house;
        let share = f64::from(visitors) / f64::from(house.visitors.max(1));
        let still = |people: u32| (f64::from(people) * share).round() as u32;
        if visitors < house.visitors {
            house.children = still(house.children).min(visitors);
            house.seated = still(house.seated).min(visitors);
        }
        house.visitors = visitors;
        evening.wishes.ports_out_of_service.clone_from(&self.ports_out_of_service);
        let since = prepared.night.local.local(at).time();
        let closed = (0..SKY_PARTS).filter(|part| self.closed[*part]);
        evening.wishes.closed_sky.extend(closed.map(|part| closed_part(part, since)));
        Some((evening, PickUp { at, done }))
    }
}

/// One of the parts of the sky, closed from a clock time to the end of the night.
fn closed_part(part: usize, since: NaiveTime) -> ClosedSky {
    let middle = PART_DEG * part as f64;
    let edge = |by: f64| Angle::from_degrees((middle + by).rem_euclid(360.0));
    // Files keep whole minutes.
    let since = since.with_second(0).and_then(|since| since.with_nanosecond(0)).unwrap_or(since);
    ClosedSky { from: edge(-PART_DEG / 2.0), to: edge(PART_DEG / 2.0), since: Some(since), until: None }
}
