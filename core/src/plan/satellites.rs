//! Satellites of the catalogue in the evening's sky: passes to be told as events, never targets to be followed.

use super::Materials;
use crate::elements::{SATELLITE_USELESS_DAYS, Satellite};
use crate::events::{Pass, satellite_passes};
use crate::place::EveningSky;
use crate::time::{Instant, Interval};

/// What a satellite of the catalogue does tonight.
#[derive(Clone, Debug, PartialEq)]
pub enum SatelliteNews {
    /// It is seen.
    Pass(Box<Pass>),
    /// Its elements are this many days old, too many for times.
    TooOld {
        /// Days between their epoch and the evening.
        age_days: f64,
    },
}

/// A satellite's news, with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct SatelliteEvent {
    /// Its name.
    pub name: String,
    /// What is told of it.
    pub news: SatelliteNews,
}

impl SatelliteEvent {
    /// Its pass, if there is one.
    pub const fn pass(&self) -> Option<&Pass> {
        match &self.news {
            SatelliteNews::Pass(pass) => Some(pass),
            SatelliteNews::TooOld { .. } => None,
        }
    }
}

/// More passes than this are not told one by one: those that come highest are. Common practice, no source.
const MOST_TOLD: usize = 8;

/// The passes that are told one by one, in order of time, and how many are not.
pub fn told_passes(events: &[SatelliteEvent]) -> (Vec<(&SatelliteEvent, &Pass)>, usize) {
    let mut passes: Vec<_> = events.iter().filter_map(|event| Some((event, event.pass()?))).collect();
    let more = passes.len().saturating_sub(MOST_TOLD);
    let highest = |pass: &Pass| pass.seen_highest.altitude.radians();
    passes.sort_by(|one, other| highest(other.1).total_cmp(&highest(one.1)));
    passes.truncate(MOST_TOLD);
    passes.sort_by_key(|(_, pass)| pass.seen.0.at);
    (passes, more)
}

/// The passes seen in a span of the evening, in order, and behind them the satellites whose elements are too old.
pub(super) fn satellite_events(
    materials: &Materials<'_>,
    sky: &EveningSky<'_>,
    span: Interval,
) -> Vec<SatelliteEvent> {
    let (site, middle) = (materials.site, span.start().plus_minutes(span.minutes() / 2.0));
    let mut passes: Vec<(Instant, SatelliteEvent)> = Vec::new();
    let mut too_old = Vec::new();
    for elements in &materials.catalogue.satellites {
        // What a catalogue holds was accepted when it was read.
        let Ok(satellite) = Satellite::new(elements) else { continue };
        let event = |news| SatelliteEvent { name: elements.name.clone(), news };
        let age_days = satellite.age_days(middle);
        if age_days > SATELLITE_USELESS_DAYS {
            too_old.push(event(SatelliteNews::TooOld { age_days }));
            continue;
        }
        let found = satellite_passes(sky, &satellite, &site.horizon, site.air, span);
        passes.extend(
            found.into_iter().map(|pass| (pass.seen.0.at, event(SatelliteNews::Pass(Box::new(pass))))),
        );
    }
    passes.sort_by_key(|(at, _)| *at);
    passes.into_iter().map(|(_, event)| event).chain(too_old).collect()
}
