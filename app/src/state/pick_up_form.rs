//! What is asked before an evening that has begun is picked up: from when, what was shown, who and what is still there.

use chrono::NaiveTime;
use evenfall_core::plan::edit::{close_sky, tick};
use evenfall_core::plan::{ClosedSky, Evening, PickUp, Prepared, Stop, StopId};
use evenfall_core::rig::PortId;
use evenfall_core::time::Instant;

use super::SkyPart;

/// Most visitors that an evening may have.
pub const MOST_VISITORS: u32 = 2000;

/// The answers so far.
#[derive(Clone, Debug, PartialEq)]
pub struct PickUpForm {
    /// From when, on the local clock.
    pub at: NaiveTime,
    /// Whether the second of two is meant, where the clock shows that time twice.
    pub again: bool,
    /// Stops that should have begun, or were ticked off, but were not shown.
    pub not_shown: Vec<StopId>,
    /// Visitors still here.
    pub visitors: u32,
    /// Ports that can't be used any more.
    pub ports_out_of_service: Vec<PortId>,
    /// The part of the sky that has closed, if one has.
    pub closed: Option<SkyPart>,
}

impl PickUpForm {
    /// From a minute on, with all shown that should have begun or was ticked off.
    pub(super) fn new(evening: &Evening, prepared: &Prepared, at: Instant) -> Self {
        let (at, again) = on_the_minute(prepared, at);
        Self {
            at,
            again,
            not_shown: Vec::new(),
            visitors: evening.house.visitors,
            ports_out_of_service: evening.wishes.ports_out_of_service.clone(),
            closed: None,
        }
    }

    /// From when; `None` where doors are not open then.
    pub fn instant(&self, prepared: &Prepared) -> Option<Instant> {
        let night = &prepared.night.local;
        let again = night.again_at(self.at).filter(|_| self.again);
        let at = again.or_else(|| night.at(self.at).ok())?;
        (at >= prepared.doors.start() && at < prepared.doors.end()).then_some(at)
    }

    /// The same from other minutes on, where doors are still open.
    #[must_use]
    pub fn shifted(&self, prepared: &Prepared, minutes: f64) -> Self {
        let at = self.instant(prepared).unwrap_or(prepared.doors.start());
        let (at, again) = on_the_minute(prepared, at.plus_minutes(minutes));
        Self { at, again, ..self.clone() }
    }

    /// The stops that should have begun by then, and those ticked off as shown before their time.
    pub fn asked_about<'e>(&self, evening: &'e Evening, prepared: &Prepared) -> Vec<&'e Stop> {
        let at = self.instant(prepared);
        let ticked = |stop: &Stop| stop.show().is_some_and(|show| evening.shown.contains(&show.target));
        let stops = evening.order.stops().iter();
        stops.filter(|stop| at.is_some_and(|at| stop.start() < at || ticked(stop))).collect()
    }

    /// The evening as it has become and where it is picked up; `None` where doors are not open then.
    pub(super) fn answered(&self, evening: &Evening, prepared: &Prepared) -> Option<(Evening, PickUp)> {
        let at = self.instant(prepared)?;
        let shown = |stop: &Stop| !self.not_shown.contains(&stop.id);
        let mut changed = match self.newly_closed(evening, prepared) {
            Some(closed) => close_sky(evening, closed),
            None => evening.clone(),
        };
        let house = &mut changed.house;
        if self.visitors < house.visitors {
            let share = f64::from(self.visitors) / f64::from(house.visitors);
            let still = |people: u32| ((f64::from(people) * share).round() as u32).min(self.visitors);
            (house.children, house.seated) = (still(house.children), still(house.seated));
        }
        house.visitors = self.visitors;
        changed.wishes.ports_out_of_service.clone_from(&self.ports_out_of_service);
        let asked_about = self.asked_about(evening, prepared);
        // A target that stands there twice is ticked off if one of them was shown.
        for was_shown in [false, true] {
            for show in
                asked_about.iter().filter(|stop| shown(stop) == was_shown).filter_map(|stop| stop.show())
            {
                changed = tick(&changed, &show.target, was_shown);
            }
        }
        let done = asked_about.iter().filter(|stop| stop.start() < at && shown(stop));
        Some((changed, PickUp { at, done: done.map(|stop| stop.id).collect() }))
    }

    /// The part of the sky that has closed, unless it is closed by then for the rest of the night already.
    fn newly_closed(&self, evening: &Evening, prepared: &Prepared) -> Option<ClosedSky> {
        let (from, to) = self.closed?.ends();
        let at = self.instant(prepared)?;
        let night = &prepared.night.local;
        let by_then =
            |own: &ClosedSky| own.since.is_none() || own.closes_at(night).is_some_and(|since| since <= at);
        let known = |own: &ClosedSky| (own.from, own.to, own.until) == (from, to, None) && by_then(own);
        let closed = ClosedSky { since_again: self.again, ..ClosedSky::new(from, to, Some(self.at), None) };
        (!evening.wishes.closed_sky.iter().any(known)).then_some(closed.on(night))
    }
}

/// A clock time while doors are open, to the minute, and whether it is the second of two.
fn on_the_minute(prepared: &Prepared, at: Instant) -> (NaiveTime, bool) {
    let doors = prepared.doors;
    let minutes = at.minutes_since(doors.start()).floor().min(doors.minutes() - 1.0).max(0.0);
    let (night, at) = (&prepared.night.local, doors.start().plus_minutes(minutes));
    let clock = night.local(at).time();
    (clock, night.again_at(clock).is_some_and(|again| at >= again))
}
