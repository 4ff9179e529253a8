//! Clock times that a change of clocks makes doubtful: those that the night has twice, and those it does not have.

use chrono::{MappedLocalTime, NaiveTime, TimeZone};

use crate::plan::{ClockTime, Evening, Rule};
use crate::site::Site;
use crate::time::{Instant, LocalNight};

/// What is doubtful about the clock times of programme, park and closed parts of the sky.
pub(super) fn doubtful_times(evening: &Evening, site: &Site, local: &LocalNight) -> Vec<Rule> {
    let programme = &evening.programme;
    let doors =
        [(ClockTime::DoorsOpen, programme.doors_open), (ClockTime::DoorsClose, programme.doors_close)];
    let entries = programme.fixed.iter().map(|entry| (ClockTime::Entry(entry.title.clone()), entry.start));
    let park = site.park_closes.map(|time| (ClockTime::ParkCloses, time));
    let closed = evening.wishes.closed_sky.iter().flat_map(|closed| {
        // Where the second of two is meant, that was chosen.
        let closed = closed.on(local);
        let since = closed.since.filter(|_| !closed.since_again);
        let until = closed.until.filter(|_| !closed.until_again);
        [since.map(|time| (ClockTime::SkyCloses, time)), until.map(|time| (ClockTime::SkyOpens, time))]
    });
    let all = doors.into_iter().chain(entries).chain(park).chain(closed.flatten());
    all.filter_map(|(what, time)| doubt(what, time, local)).collect()
}

fn doubt(what: ClockTime, time: NaiveTime, local: &LocalNight) -> Option<Rule> {
    match local.at(time) {
        Err(_) => Some(Rule::ClockTimeSkipped { what, time }),
        Ok(taken) => comes_twice(taken, local).then_some(Rule::ClockTimeTwice { what, taken }),
    }
}

/// Whether the clocks show the time of an instant once more.
fn comes_twice(instant: Instant, local: &LocalNight) -> bool {
    let shown = local.local(instant).naive_local();
    matches!(local.zone().from_local_datetime(&shown), MappedLocalTime::Ambiguous(..))
}
