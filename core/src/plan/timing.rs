//! What happens between stops: the move to each, when it must begin, and the time left over.

use super::slew::slew_near_sun;
use super::{Materials, Moment, Prepared, RunningOrder, Sample, Stop, StopId, lead_s};
use crate::catalogue::TargetId;
use crate::rig::{Aim, Move, MoveParts, Pointing, PortId, Rig, move_between};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// The move to one stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopTiming {
    /// The stop.
    pub stop: StopId,
    /// The move's parts; all zero for an entry without the telescope.
    pub parts: MoveParts,
    /// Framing or exposing after the move, in seconds.
    pub lead_s: f64,
    /// When the move must begin for the stop to start on time.
    pub leave: Instant,
    /// How far the azimuth axis turns, positive from north through east.
    pub azimuth_turn: Angle,
    /// Minutes free before the move, since the end of what came before; negative if the move does not fit. Not below 0
    /// for an entry, which needs no move and may run beside a target, where the move runs during an entry, or before the
    /// first target, when the telescope may be made ready while doors are still closed.
    pub free_minutes: f64,
}

/// The timing of every stop of an order, in its order. The telescope follows its target through a stop. Entries need no
/// telescope: a move may run during one, and is best begun before the visitors are back. A stop of an unknown target or
/// port leaves the telescope where it is.
pub fn timings(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<StopTiming> {
    legs(order, prepared, materials).into_iter().map(|leg| leg.timing).collect()
}

/// The mount's way to one stop and through it, its azimuth counted as the cables see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// The move to the stop.
    pub timing: StopTiming,
    /// Where the mount leaves from and arrives; `None` where it does not move, or leaves its parking place by a way that
    /// is not known.
    pub slew: Option<(Pointing, Pointing)>,
    /// Where it points at every minute of the stop; empty where no known target is shown.
    pub follows: Vec<(Instant, Pointing)>,
}

/// The mount's ways through an order, one for each of its stops.
pub fn turns(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<Turn> {
    let legs = legs(order, prepared, materials).into_iter();
    legs.map(|leg| Turn { timing: leg.timing, slew: leg.path, follows: leg.follows }).collect()
}

/// A stop's timing with the way the mount goes.
pub(super) struct Leg {
    pub(super) timing: StopTiming,
    /// Where the mount leaves from and arrives, where it moves at all.
    pub(super) path: Option<(Pointing, Pointing)>,
    /// Whether the mount leaves its parking place, by a way that is not known.
    pub(super) leaves_parking: bool,
    /// When the telescope is done with what came before, so that the move may begin.
    pub(super) free_from: Option<Instant>,
    /// The first minute of the stop to which the cables don't reach.
    pub(super) cables_end: Option<Instant>,
    /// The flip at the meridian within the stop.
    pub(super) flip: Option<Flip>,
    /// Whether the stop shows a target.
    needs_telescope: bool,
    /// Where the mount points at every minute of the stop.
    follows: Vec<(Instant, Pointing)>,
}

/// A flip at the meridian while a target is followed.
pub(super) struct Flip {
    /// The first minute that the side of the pier doesn't reach.
    pub(super) at: Instant,
    /// Where the mount points, on the one side of the pier and on the other.
    pub(super) path: (Pointing, Pointing),
}

pub(super) fn legs(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<Leg> {
    let mut walk = Walk::new(prepared);
    order.stops().iter().map(|stop| walk.leg(stop, stop.interval, prepared, materials)).collect()
}

/// How far the evening has come before a stop: all that its leg takes from those before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Walk<'o> {
    stands: Stands<'o>,
    /// When people, and when the telescope, are done with what came before.
    people_done: Instant,
    telescope_done: Option<Instant>,
    /// What was shown last, where and through which eyepiece.
    on: Option<(&'o TargetId, &'o PortId, Option<usize>)>,
}

impl<'o> Walk<'o> {
    /// Before the first stop.
    pub(super) fn new(prepared: &Prepared) -> Self {
        Self {
            stands: Stands::default(),
            people_done: prepared.doors.start(),
            telescope_done: None,
            on: None,
        }
    }

    /// Goes on through the next stop, over an interval that need not be its own.
    pub(super) fn leg(
        &mut self,
        stop: &'o Stop,
        interval: Interval,
        prepared: &Prepared,
        materials: &Materials<'o>,
    ) -> Leg {
        let (start, end) = (interval.start(), interval.end());
        let telescope_done = self.telescope_done;
        let mut leg = Leg {
            timing: StopTiming {
                stop: stop.id,
                parts: MoveParts::default(),
                lead_s: 0.0,
                leave: start,
                azimuth_turn: Angle::ZERO,
                free_minutes: 0.0,
            },
            path: None,
            leaves_parking: false,
            free_from: telescope_done,
            cables_end: None,
            flip: None,
            needs_telescope: stop.show().is_some(),
            follows: Vec::new(),
        };
        let known = stop.show().and_then(|show| {
            let target_index = materials.target_index(&show.target)?;
            Some((target_index, materials.rig.port(&show.port)?))
        });
        if let Some((target_index, port)) = known {
            let (first, last) = (prepared.moment_index(start), prepared.moment_index(end));
            let samples = prepared.samples(target_index, first..=last);
            if let Some(travel) = self.stands.arrive(materials, &samples, &port.id) {
                let lead_s = lead_s(port, materials.catalogue.targets[target_index].kind);
                // What was on the same port until now is followed, and framed, unless the mount flips.
                let shows = stop.show().map(|show| (&show.target, &show.port, show.eyepiece));
                let follows_on = telescope_done == Some(start) && self.on == shows;
                let from = self.stands.pointing;
                let goes_on = follows_on && from.is_some_and(|from| from.pier == travel.end.pier);
                self.on = shows;
                let (parts, lead_s) =
                    if goes_on { (MoveParts::default(), 0.0) } else { (travel.parts, lead_s) };
                leg.leaves_parking = from.is_none();
                leg.path = from.map(|from| (from, travel.end));
                let way = followed(materials.rig, &samples, &prepared.moments[first..=last], travel.end);
                leg.cables_end = cables_end(materials.rig, &way);
                leg.flip = flip(&way);
                let pointing = way.last().map_or(travel.end, |(_, at)| *at);
                leg.follows = way;
                leg.timing.parts = parts;
                leg.timing.lead_s = lead_s;
                leg.timing.leave = start.plus_seconds(-parts.total_s() - lead_s);
                leg.timing.azimuth_turn = if goes_on { Angle::ZERO } else { travel.azimuth_turn };
                self.stands = Stands { pointing: Some(pointing), port: Some(&port.id) };
            }
        }
        let free_minutes = leg.timing.leave.minutes_since(self.people_done);
        leg.timing.free_minutes = match (stop.show(), telescope_done) {
            (None, _) | (Some(_), None) => free_minutes.max(0.0),
            (Some(_), Some(done)) if leg.timing.leave >= done => free_minutes.max(0.0),
            (Some(_), Some(done)) => leg.timing.leave.minutes_since(done),
        };
        self.people_done = self.people_done.max(end);
        if stop.show().is_some() {
            self.telescope_done = Some(telescope_done.map_or(end, |done| done.max(end)));
        }
        leg
    }
}

/// Where the mount points at every minute of a stop, from `arrived` on.
fn followed(
    rig: &Rig,
    samples: &[Sample],
    moments: &[Moment],
    arrived: Pointing,
) -> Vec<(Instant, Pointing)> {
    let mut at = arrived;
    let minutes = samples.iter().zip(moments);
    let way = minutes.map(|(sample, moment)| {
        at = rig.mount.followed(at, sample.azimuth, sample.altitude, sample.hour_angle);
        (moment.instant, at)
    });
    way.collect()
}

/// The first minute to which the cables don't reach.
fn cables_end(rig: &Rig, way: &[(Instant, Pointing)]) -> Option<Instant> {
    way.iter().find(|(_, at)| !rig.mount.cables_reach(at.cable_azimuth)).map(|(minute, _)| *minute)
}

/// The first change of the side of the pier.
fn flip(way: &[(Instant, Pointing)]) -> Option<Flip> {
    way.windows(2)
        .find(|two| two[0].1.pier != two[1].1.pier)
        .map(|two| Flip { at: two[1].0, path: (Pointing { pier: two[0].1.pier, ..two[1].1 }, two[1].1) })
}

impl Leg {
    /// Whether the move to a target fits and keeps clear of the Sun, the cables last, and no flip breaks the stop; an entry
    /// needs no move.
    pub(super) fn can_be_made(&self, prepared: &Prepared, materials: &Materials<'_>) -> bool {
        let near_sun = |path| slew_near_sun(materials, prepared, path, self.timing.leave).is_some();
        !self.needs_telescope
            || (self.timing.free_minutes >= 0.0
                && self.cables_end.is_none()
                && self.flip.is_none()
                && !self.path.is_some_and(near_sun))
    }
}

/// The stops of an order to which no move can be made in the time there is.
pub(super) fn misfits(order: &RunningOrder, prepared: &Prepared, materials: &Materials<'_>) -> Vec<StopId> {
    let legs = legs(order, prepared, materials).into_iter();
    let misfits = legs.filter(|leg| !leg.can_be_made(prepared, materials));
    misfits.map(|leg| leg.timing.stop).collect()
}

/// Whether every move that can be made in an order still can be after a change, and those of what came new.
pub(super) fn moves_still_fit(
    before: &RunningOrder,
    after: &RunningOrder,
    prepared: &Prepared,
    materials: &Materials<'_>,
) -> bool {
    let known = misfits(before, prepared, materials);
    misfits(after, prepared, materials).iter().all(|stop| known.contains(stop))
}

/// Where the telescope stands between stops: pointing and port, none of both before the first.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Stands<'p> {
    pub(super) pointing: Option<Pointing>,
    pub(super) port: Option<&'p PortId>,
}

impl<'p> Stands<'p> {
    /// The move to a target that is shown on a port over an interval, and where the telescope stands afterwards.
    /// `None` if the target was not prepared.
    pub(super) fn go(
        self,
        materials: &Materials<'_>,
        prepared: &Prepared,
        target_index: usize,
        port: &'p PortId,
        interval: Interval,
    ) -> Option<(Move, Self)> {
        let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
        let samples = prepared.samples(target_index, first..=last);
        let travel = self.arrive(materials, &samples, port)?;
        let tracked = samples.iter().fold(travel.end, |at, sample| {
            materials.rig.mount.followed(at, sample.azimuth, sample.altitude, sample.hour_angle)
        });
        Some((travel, Self { pointing: Some(tracked), port: Some(port) }))
    }

    /// The move to where a target stands in the first of some samples, to follow it through them; `None` without any.
    fn arrive(self, materials: &Materials<'_>, samples: &[Sample], port: &PortId) -> Option<Move> {
        let start = samples.first()?;
        let steps = samples.windows(2).map(|two| (two[1].azimuth - two[0].azimuth).wrapped_signed());
        let follows = steps.fold(Angle::ZERO, |turned, step| turned + step);
        let aim = Aim { azimuth: start.azimuth, altitude: start.altitude, follows };
        let latitude = materials.site.place.latitude;
        Some(move_between(materials.rig, latitude, self.pointing, self.port, aim, port))
    }
}

#[cfg(test)]
mod tests {
    use super::timings;
    use crate::catalogue::TargetId;
    use crate::plan::invented::{Invented, march_evening};
    use crate::plan::{EntryKind, Held, RunningOrder, Show, Stop, StopId, What};
    use crate::rig::PortId;
    use crate::time::{Instant, Interval};

    #[test]
    fn a_move_begins_before_its_stop_and_may_run_during_an_entry() {
        let invented = Invented::new(1);
        let prepared = invented.prepare(&march_evening());
        let stop = |id, from: f64, to: f64, what| {
            let at = |minute: f64| prepared.doors.start().plus_minutes(minute);
            let interval = Interval::new(at(from), at(to)).expect("in order");
            Stop { id: StopId(id), what, interval, held: Held::default() }
        };
        let show = |target: &str, port: &str| {
            What::Show(Show {
                target: TargetId(target.to_owned()),
                port: PortId(port.to_owned()),
                eyepiece: None,
                understudy: None,
            })
        };
        let title = "Interval".to_owned();
        let entry = What::Entry { kind: EntryKind::Interval, title, cue: String::new() };
        let title = "The picture".to_owned();
        let talk = What::Entry { kind: EntryKind::ScreenTalk, title, cue: String::new() };
        let order = RunningOrder::new(vec![
            stop(1, 0.0, 20.0, show("jupiter", "eyepiece")),
            stop(2, 25.0, 40.0, show("moon", "wide")),
            stop(3, 42.0, 50.0, entry),
            stop(4, 50.0, 60.0, show("jupiter", "wide")),
            stop(5, 60.0, 70.0, show("nowhere", "wide")),
            stop(6, 71.0, 80.0, show("jupiter", "wide")),
            stop(7, 75.0, 85.0, talk),
        ]);
        let all = timings(&order, &prepared, &invented.materials());
        let minute = |at: Instant| at.minutes_since(prepared.doors.start());
        // The first is ready when doors open.
        assert_eq!(all[0].free_minutes, 0.0);
        // leave = start - move - lead; free = leave - end of the stop before
        let seconds = all[1].parts.total_s() + all[1].lead_s;
        assert!(seconds > 60.0 && all[1].azimuth_turn.degrees().abs() > 30.0);
        assert!((minute(all[1].leave) - (25.0 - seconds / 60.0)).abs() < 1e-6);
        assert!((all[1].free_minutes - (5.0 - seconds / 60.0)).abs() < 1e-6);
        assert!((all[2].free_minutes - 2.0).abs() < 1e-9);
        // The move back runs during the interval.
        assert!(minute(all[3].leave) < 50.0);
        assert_eq!(all[3].free_minutes, 0.0);
        // An unknown target moves nothing: Jupiter is found where it was left, some degrees on.
        assert_eq!(all[4].parts.total_s(), 0.0);
        assert!(all[5].azimuth_turn.degrees().abs() < 8.0, "{:?}", all[5].azimuth_turn);
        // A talk beside a target waits for nothing.
        assert_eq!((all[6].free_minutes, minute(all[6].leave)), (0.0, 75.0));
    }
}
