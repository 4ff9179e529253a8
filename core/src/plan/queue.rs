//! The line before the eyepiece along the evening: who has come, who has looked, how long the last one waits.

use super::{Evening, House, Materials, Prepared, Stop, StopId, stop_minutes};
use crate::time::Instant;

/// A part of the visitors, and when it comes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrivals {
    /// Minutes from doors open to the first of them.
    pub from_minutes: f64,
    /// Minutes from doors open to the last of them; the same for a group that comes all at once, as after a talk.
    pub until_minutes: f64,
    /// Its share of those who come, in percent.
    pub percent: f64,
}

/// How visitors come to open doors where an evening does not say. Common practice, no source: a tenth and more stand
/// before the doors, half and more come in the first three quarters of an hour, the rest tapers off.
const USUAL_ARRIVALS: [Arrivals; 4] = [
    Arrivals { from_minutes: 0.0, until_minutes: 0.0, percent: 12.0 },
    Arrivals { from_minutes: 0.0, until_minutes: 45.0, percent: 55.0 },
    Arrivals { from_minutes: 45.0, until_minutes: 90.0, percent: 23.0 },
    Arrivals { from_minutes: 90.0, until_minutes: 150.0, percent: 10.0 },
];

/// Minutes in line that call for something else to see: with children, and without. Common practice, no source.
const HUMANE_MINUTES: (f64, f64) = (15.0, 30.0);

/// The line at one minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QueueMinute {
    /// When.
    pub instant: Instant,
    /// The eyepiece stop that the line stands for; none between such stops.
    pub stop: Option<StopId>,
    /// People in line.
    pub people: f64,
    /// Minutes until somebody who joins now has looked.
    pub wait_minutes: f64,
}

/// The line before the eyepiece, minute by minute from doors open to doors closed.
///
/// People count as a fluid: `Q(t + 1) = max(0, Q(t) + arrivals - served)`, and the last one waits `Q` over what is served
/// in a minute (published formulas for a steady line fail where more come than are served). When an eyepiece stop begins,
/// all who have come and don't skip it stand in line; those who come later join. Screens serve a group at once and have
/// no line. Nobody counts as gone home, so this is the longest that the line gets.
pub fn queue(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<QueueMinute> {
    let house = &evening.house;
    let taking_part = f64::from(house.visitors) * (1.0 - house.skip_percent / 100.0).clamp(0.0, 1.0);
    let come = |minute: f64| taking_part * share_arrived(house, minute);
    let minutes = prepared.doors.minutes().floor() as usize;
    let mut line = Vec::with_capacity(minutes + 1);
    let (mut standing_for, mut people) = (None, 0.0);
    for minute in (0..=minutes).map(|minute| minute as f64) {
        let instant = prepared.doors.start().plus_minutes(minute);
        let stop =
            evening.order.stops().iter().find(|stop| stop.interval.contains(instant) && instant < stop.end());
        let served = stop.and_then(|stop| served_per_minute(house, stop, materials, taking_part));
        let stop = stop.filter(|_| served.is_some()).map(|stop| stop.id);
        if stop != standing_for {
            (standing_for, people) = (stop, if stop.is_some() { come(minute) } else { 0.0 });
        }
        let wait_minutes = served.map_or(0.0, |served| people / served);
        line.push(QueueMinute { instant, stop, people, wait_minutes });
        people = served.map_or(0.0, |served| next_line(people, come(minute + 1.0) - come(minute), served));
    }
    line
}

/// The minute with the longest wait, the first of equals; `None` where nobody ever waits.
pub fn longest_wait(line: &[QueueMinute]) -> Option<QueueMinute> {
    let longer = |one: QueueMinute, other: QueueMinute| {
        if other.wait_minutes > one.wait_minutes { other } else { one }
    };
    line.iter().copied().filter(|minute| minute.wait_minutes > 0.0).reduce(longer)
}

/// The longest wait that a house bears with nothing else to see, in minutes.
pub const fn humane_wait_minutes(house: &House) -> f64 {
    if house.children > 0 { HUMANE_MINUTES.0 } else { HUMANE_MINUTES.1 }
}

/// People served in a minute at an eyepiece stop; `None` for anything else and an empty house.
fn served_per_minute(house: &House, stop: &Stop, materials: &Materials<'_>, taking_part: f64) -> Option<f64> {
    let show = stop.show()?;
    let port = materials.rig.port(&show.port).filter(|port| port.is_eyepiece())?;
    let target = &materials.catalogue.targets[materials.target_index(&show.target)?];
    (taking_part > 0.0).then(|| taking_part / stop_minutes(house, port, target.kind))
}

fn next_line(people: f64, arriving: f64, served: f64) -> f64 {
    (people + arriving - served).max(0.0)
}

/// The share of the visitors that has come, some minutes after doors open.
fn share_arrived(house: &House, minute: f64) -> f64 {
    let arrivals = if house.arrivals.is_empty() { &USUAL_ARRIVALS[..] } else { &house.arrivals };
    let all: f64 = arrivals.iter().map(|part| part.percent).sum();
    let come: f64 = arrivals.iter().map(|part| part.percent * part.share_come(minute)).sum();
    if all > 0.0 { come / all } else { 1.0 }
}

impl Arrivals {
    /// The share of this part that has come by a minute after doors open.
    fn share_come(&self, minute: f64) -> f64 {
        let lasts = self.until_minutes - self.from_minutes;
        if lasts > 0.0 {
            ((minute - self.from_minutes) / lasts).clamp(0.0, 1.0)
        } else if minute >= self.from_minutes {
            1.0
        } else {
            0.0
        }
    }
}

#[cfg(test)]
mod tests;
