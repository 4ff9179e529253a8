//! The line before the eyepiece along the evening: who has come, who has looked, how long the last one waits.

mod steady;

pub use steady::{SteadyLine, Trickle, trickle};

use super::beside::{CALLED_TOGETHER, LARGEST_SCREEN_GROUP};
use super::crowd::Crowd;
use super::{Evening, House, Materials, Prepared, Stop, StopId, in_each_others_way, stop_minutes};
use crate::time::{Instant, Interval};

/// Minutes in line that call for something else to see: with children, and without. Common practice, no source.
const HUMANE_MINUTES: (f64, f64) = (15.0, 30.0);

/// The line at one minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QueueMinute {
    /// When.
    pub instant: Instant,
    /// The eyepiece stop that the line is for; none between such stops.
    pub stop: Option<StopId>,
    /// People who still have to look, those at a screen beside the line among them.
    pub people: f64,
    /// How many of them sit at a screen.
    pub at_screen: f64,
    /// Minutes until somebody who joins now has looked.
    pub wait_minutes: f64,
    /// How many of them this person stands with nothing else to see.
    pub standing_minutes: f64,
    /// Where nobody is in line although somebody looks: how the few who come now may meet by chance.
    pub trickle: Option<Trickle>,
}

/// The line before the eyepiece, minute by minute from doors open to doors closed.
///
/// * People count as a fluid: `Q(t + 1) = max(0, Q(t) + arrivals - served)`, and the last one waits `Q` over what is
///   served in a minute (published formulas for a steady line fail where as many come as are served, or more; where the
///   fluid is dry, [`trickle`] has them). When an eyepiece stop begins, all who are in the house and don't skip it stand
///   in line; those who come later join. Screens serve a group at once and have no line.
/// * Those who have left the house stand in no line: `Q` is never more than are there. As long as others are there to
///   leave, nobody gives up a place, so this is the longest that the line gets.
/// * While a talk at the screen runs beside the line, all but the next ten sit there, as many as one screen takes. They
///   keep their places: `Q` and the wait stay, fewer of its minutes are spent standing.
pub fn queue(evening: &Evening, prepared: &Prepared, materials: &Materials<'_>) -> Vec<QueueMinute> {
    let house = &evening.house;
    let crowd = Crowd::new(evening, prepared);
    let taking_part = f64::from(house.visitors) * house.share_taking_part();
    let minutes = prepared.doors.minutes().floor() as usize;
    let mut line = Vec::with_capacity(minutes + 1);
    let (mut standing_for, mut people) = (None, 0.0);
    for minute in (0..=minutes).map(|minute| minute as f64) {
        let instant = prepared.doors.start().plus_minutes(minute);
        let now = evening.order.stops().iter().find_map(|stop| {
            let runs = stop.interval.contains(instant) && instant < stop.end();
            let served = if runs { served_per_minute(house, stop, materials, taking_part) } else { None };
            served.map(|served| (stop, served))
        });
        let Some((stop, served)) = now else {
            (standing_for, people) = (None, 0.0);
            line.push(QueueMinute::empty(instant));
            continue;
        };
        if standing_for != Some(stop.id) {
            (standing_for, people) = (Some(stop.id), taking_part * crowd.present(minute));
        }
        let arriving = taking_part * (crowd.come(minute + 1.0) - crowd.come(minute));
        let talks = evening.order.stops().iter().filter(|other| {
            let beside = !in_each_others_way(stop, other, materials.rig);
            other.is_screen_talk() && beside
        });
        let own = Line { instant, people, served };
        let (at_screen, relieved_minutes) = own.beside(talks.map(|talk| talk.interval));
        let wait_minutes = people / served;
        line.push(QueueMinute {
            instant,
            stop: Some(stop.id),
            people,
            at_screen,
            wait_minutes,
            standing_minutes: (wait_minutes - relieved_minutes).max(0.0),
            trickle: (people <= 0.0).then(|| trickle(arriving, served)),
        });
        people = next_line(people, arriving, served).min(taking_part * crowd.present(minute + 1.0));
    }
    line
}

/// The minute with the longest wait, the first of equals; `None` where nobody ever waits.
pub fn longest_wait(line: &[QueueMinute]) -> Option<QueueMinute> {
    longest(line, |minute| minute.wait_minutes)
}

/// The minute with the longest wait with nothing else to see, the first of equals; `None` where nobody ever waits so.
pub(super) fn longest_standing(line: &[QueueMinute]) -> Option<QueueMinute> {
    longest(line, |minute| minute.standing_minutes)
}

fn longest(line: &[QueueMinute], minutes: impl Fn(&QueueMinute) -> f64) -> Option<QueueMinute> {
    let longer = |one: QueueMinute, other: QueueMinute| {
        if minutes(&other) > minutes(&one) { other } else { one }
    };
    line.iter().copied().filter(|minute| minutes(minute) > 0.0).reduce(longer)
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

impl QueueMinute {
    const fn empty(instant: Instant) -> Self {
        Self {
            instant,
            stop: None,
            people: 0.0,
            at_screen: 0.0,
            wait_minutes: 0.0,
            standing_minutes: 0.0,
            trickle: None,
        }
    }
}

/// A line at a minute.
struct Line {
    instant: Instant,
    people: f64,
    served: f64,
}

impl Line {
    /// How many sit at a screen now, and the minutes that somebody who joins now will spend there before looking.
    fn beside(&self, talks: impl Iterator<Item = Interval>) -> (f64, f64) {
        let (seats, standing) = (f64::from(LARGEST_SCREEN_GROUP), f64::from(CALLED_TOGETHER));
        let could_sit = (self.people - standing).max(0.0);
        // Somebody who joins now finds a seat from the first instant on, is called at the second.
        let seated = self.instant.plus_minutes((could_sit - seats).max(0.0) / self.served);
        let called = self.instant.plus_minutes(could_sit / self.served);
        let (mut at_screen, mut minutes) = (0.0, 0.0);
        for talk in talks.filter(|talk| talk.end() > self.instant) {
            if talk.start() <= self.instant {
                at_screen = could_sit.min(seats);
            }
            let (from, to) = (talk.start().max(seated), talk.end().min(called));
            minutes += to.minutes_since(from).max(0.0);
        }
        (at_screen, minutes)
    }
}

#[cfg(test)]
mod tests;
