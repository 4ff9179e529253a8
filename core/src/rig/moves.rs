//! Seconds from one pointing and port to the next: slew, dome, selector, focus, settle.

use super::mount::{
    AltAzimuth, Axis, Drive, Equatorial, PierSide, hour_angle_and_declination, parallactic_angle,
};
use super::{Mount, PortId, Rig, dome_azimuth};
use crate::units::Angle;

/// Azimuth kept free before the end of the cable wrap that a target is followed towards, where there is a choice: about
/// what an hour of the sky turns, for a stop that runs late.
const CABLE_SPARE: Angle = Angle::from_degrees(20.0);

/// Where the telescope points, with the azimuth counted as the cables see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointing {
    /// Azimuth without wrapping, within the cable wrap.
    pub cable_azimuth: Angle,
    /// Altitude.
    pub altitude: Angle,
    /// The side of the pier the tube stands on, for an equatorial mount that flips.
    pub pier: Option<PierSide>,
}

impl Pointing {
    /// Where the mount points after tracking to a place in the sky by the short way, as the cables see it. The
    /// azimuth may run past the cable wrap; [`Mount::cables_reach`] tells.
    #[must_use]
    pub fn tracked_to(self, azimuth: Angle, altitude: Angle) -> Self {
        let turn = (azimuth - self.cable_azimuth).wrapped_signed();
        Self { cable_azimuth: self.cable_azimuth + turn, altitude, ..self }
    }
}

/// A place in the sky to move to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// Azimuth from north through east.
    pub azimuth: Angle,
    /// Altitude.
    pub altitude: Angle,
    /// How far the azimuth turns while it is followed there, positive from north through east; 0 where it is not known.
    pub follows: Angle,
}

/// The parts of a move, each in seconds. What turns together runs together; selector and rotator included. Settling and
/// focusing follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MoveParts {
    /// Mount, the slower of its two axes, and the flip where the tube changes the side of the pier.
    pub slew_s: f64,
    /// Dome.
    pub dome_s: f64,
    /// Selector.
    pub selector_s: f64,
    /// The port's rotator, where its pace is known.
    pub rotator_s: f64,
    /// Settling.
    pub settle_s: f64,
    /// Focusing.
    pub focus_s: f64,
}

impl MoveParts {
    /// What runs together: the longest of slew, dome, selector and rotator.
    pub fn together_s(self) -> f64 {
        self.slew_s.max(self.dome_s).max(self.selector_s).max(self.rotator_s)
    }

    /// Total: what runs together, then settle, then focus.
    pub fn total_s(self) -> f64 {
        self.together_s() + self.settle_s + self.focus_s
    }
}

/// A move and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Its parts.
    pub parts: MoveParts,
    /// Where the mount ends, cables counted.
    pub end: Pointing,
    /// How far the azimuth axis turns, positive from north through east; for an equatorial mount how far the direction
    /// changes, by the short way.
    pub azimuth_turn: Angle,
}

impl AltAzimuth {
    /// The turn of an azimuth that the cables allow while it is followed, nearest to `near`; the nearest turn of all where
    /// the wrap allows none (a wrap narrower than a full turn).
    fn cable_azimuth(&self, aim: Aim, near: Angle) -> Angle {
        let nearest = near + (aim.azimuth - near).wrapped_signed();
        let within = |follows: Angle, spare: Angle| {
            let before = if follows <= Angle::ZERO { spare - follows } else { Angle::ZERO };
            let after = if follows >= Angle::ZERO { spare + follows } else { Angle::ZERO };
            let (low, high) = (self.cable_wrap.0 + before, self.cable_wrap.1 - after);
            if (low..=high).contains(&nearest) {
                return Some(nearest);
            }
            // The first turns inside from below and from above; one of them is the nearest to `near`.
            let from_low = low + (nearest - low).wrapped();
            let from_high = high - (high - nearest).wrapped();
            [from_low, from_high].into_iter().filter(|turn| (low..=high).contains(turn)).min_by(
                |one, other| (*one - near).abs().radians().total_cmp(&(*other - near).abs().radians()),
            )
        };
        within(aim.follows, CABLE_SPARE)
            .or_else(|| within(aim.follows, Angle::ZERO))
            .or_else(|| within(Angle::ZERO, Angle::ZERO))
            .unwrap_or(nearest)
    }

    fn slew(&self, from: Option<Pointing>, aim: Aim) -> Slew {
        let wrap_middle = (self.cable_wrap.0 + self.cable_wrap.1) / 2.0;
        let near = from.map_or(wrap_middle, |from| from.cable_azimuth);
        let altitude = aim.altitude;
        let end = Pointing { cable_azimuth: self.cable_azimuth(aim, near), altitude, pier: None };
        let from = from.unwrap_or(end);
        let azimuth_turn = end.cable_azimuth - from.cable_azimuth;
        let seconds = axis_seconds(self.azimuth, azimuth_turn)
            .max(axis_seconds(self.altitude, end.altitude - from.altitude));
        Slew { from, end, azimuth_turn, seconds }
    }
}

impl Equatorial {
    fn slew(&self, latitude: Angle, from: Option<Pointing>, Aim { azimuth, altitude, .. }: Aim) -> Slew {
        let (to_hour_angle, to_declination) = hour_angle_and_declination(latitude, azimuth, altitude);
        let pier = self.flip.map(|_| PierSide::for_hour_angle(to_hour_angle));
        let end = Pointing { cable_azimuth: azimuth, altitude, pier };
        let Some(from) = from else {
            return Slew { from: end, end, azimuth_turn: Angle::ZERO, seconds: 0.0 };
        };
        let end = Pointing { pier, ..from.tracked_to(azimuth, altitude) };
        let (hour_angle, declination) =
            hour_angle_and_declination(latitude, from.cable_azimuth, from.altitude);
        // On one side of the pier the axis can't turn through the pier; without one the short way is free.
        let hour_angle_turn = match (from.pier, pier) {
            (Some(side), Some(to)) if side == to => {
                side.axes(to_hour_angle, to_declination).0 - side.axes(hour_angle, declination).0
            }
            _ => (to_hour_angle - hour_angle).wrapped_signed(),
        };
        let flip_s = self.flip.filter(|_| from.pier != pier).map_or(0.0, |flip| flip.flip_s);
        let seconds = axis_seconds(self.hour_angle, hour_angle_turn)
            .max(axis_seconds(self.declination, to_declination - declination))
            + flip_s;
        Slew { from, end, azimuth_turn: end.cable_azimuth - from.cable_azimuth, seconds }
    }
}

/// What the mount does in a move.
struct Slew {
    from: Pointing,
    end: Pointing,
    azimuth_turn: Angle,
    seconds: f64,
}

impl Mount {
    /// Where the mount points after following a target to a place in the sky, cables and side of the pier counted.
    #[must_use]
    pub fn followed(&self, at: Pointing, azimuth: Angle, altitude: Angle, hour_angle: Angle) -> Pointing {
        let pier = if self.must_flip(at.pier, hour_angle) { at.pier.map(PierSide::other) } else { at.pier };
        Pointing { pier, ..at.tracked_to(azimuth, altitude) }
    }
}

/// Seconds for one axis to travel `distance`: a trapezoid of speed.
///
/// Source: uniform acceleration; `t = 2 sqrt(D/a)` where the top speed isn't reached, else `D/v + v/a`.
pub fn axis_seconds(axis: Axis, distance: Angle) -> f64 {
    let d = distance.degrees().abs();
    let (v, a) = (axis.rate_deg_per_s, axis.acceleration_deg_per_s2);
    if d <= v * v / a { 2.0 * (d / a).sqrt() } else { d / v + v / a }
}

/// The move from one pointing and port to a place in the sky and a port. An alt-azimuth mount takes the shorter way that
/// its cable wrap allows while the target is followed, with some cable to spare where there is a choice; an equatorial one turns in hour angle and
/// declination and flips where its aim stands in the other half of the sky. The dome is taken to have followed the
/// telescope, and so is the rotator of the port.
///
/// * `latitude`: of the place; for an equatorial mount and for rotators;
/// * `from`: where the mount points, `None` for its parking place (taken as already there: no slew, dome or settling);
/// * `from_port`, `to_port`: equal means no change of port; `None` means none was set, so the selector is moved and
///   the focus found.
pub fn move_between(
    rig: &Rig,
    latitude: Angle,
    from: Option<Pointing>,
    from_port: Option<&PortId>,
    to: Aim,
    to_port: &PortId,
) -> Move {
    let slew = match &rig.mount.drive {
        Drive::AltAzimuth(drive) => drive.slew(from, to),
        Drive::Equatorial(drive) => drive.slew(latitude, from, to),
    };
    let Slew { from, end, azimuth_turn, seconds: slew_s } = slew;
    let dome_s = rig.dome.as_ref().map_or(0.0, |dome| {
        let start = dome_azimuth(dome, from.cable_azimuth, from.altitude);
        let turn = (dome_azimuth(dome, end.cable_azimuth, end.altitude) - start).wrapped_signed();
        axis_seconds(dome.rotation, turn)
    });
    let rotator_s = rig.port(to_port).map_or(0.0, |port| {
        port.rotator.map_or(0.0, |rotator| {
            let angle = |at: Pointing| {
                port.turning_angle(parallactic_angle(latitude, at.cable_azimuth, at.altitude), at.altitude)
            };
            axis_seconds(rotator, (angle(end) - angle(from)).wrapped_signed())
        })
    });
    let (selector_s, focus_s) = rig.selector.times_s(from_port, to_port);
    let parts = MoveParts {
        slew_s,
        dome_s,
        selector_s,
        rotator_s,
        settle_s: if slew_s > 0.0 { rig.mount.settle_s } else { 0.0 },
        focus_s,
    };
    Move { parts, end, azimuth_turn }
}

#[cfg(test)]
mod tests {
    use super::{Aim, Axis, Pointing, axis_seconds, move_between};
    use crate::rig::sample::{equatorial_mount, rig};
    use crate::rig::{Drive, PierSide, PortId, Rig};
    use crate::units::Angle;

    fn aim(azimuth: Angle, altitude: Angle) -> Aim {
        Aim { azimuth, altitude, follows: Angle::ZERO }
    }

    fn pointing(azimuth_deg: f64, altitude_deg: f64) -> Pointing {
        Pointing {
            cable_azimuth: Angle::from_degrees(azimuth_deg),
            altitude: Angle::from_degrees(altitude_deg),
            pier: None,
        }
    }

    const LATITUDE: Angle = Angle::from_degrees(38.0);

    fn azimuth_axis(rig: &Rig) -> Axis {
        let Drive::AltAzimuth(drive) = &rig.mount.drive else { panic!("the sample is alt-azimuth") };
        drive.azimuth
    }

    fn near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
    }

    // Worked by hand from uniform acceleration, the boundary of the two forms included.
    #[test]
    fn trapezoid_of_speed() {
        for (distance_deg, rate, acceleration, seconds) in [
            (0.0, 2.0, 1.0, 0.0),
            (1.0, 2.0, 1.0, 2.0),
            (4.0, 2.0, 1.0, 4.0),
            (90.0, 2.0, 1.0, 47.0),
            (-180.0, 2.0, 1.0, 92.0),
            (180.0, 5.0, 2.0, 38.5),
            (12.5, 5.0, 2.0, 5.0),
            (60.0, 3.0, 0.5, 26.0),
            (10.0, 3.0, 0.5, 8.944),
        ] {
            let axis = Axis { rate_deg_per_s: rate, acceleration_deg_per_s2: acceleration };
            near(axis_seconds(axis, Angle::from_degrees(distance_deg)), seconds, 0.0005);
        }
    }

    #[test]
    fn cables_may_forbid_the_short_way() {
        let rig = rig(); // its cables allow -270 to 270 degrees
        let port = PortId("wide".into());
        let turn = |from_deg: f64, to_deg: f64| {
            let to = Angle::from_degrees(to_deg);
            let from = Some(pointing(from_deg, 40.0));
            let moved =
                move_between(&rig, LATITUDE, from, Some(&port), aim(to, Angle::from_degrees(40.0)), &port);
            assert!(rig.mount.cables_reach(moved.end.cable_azimuth));
            near((moved.end.cable_azimuth - to).wrapped_signed().degrees(), 0.0, 1e-9);
            moved.azimuth_turn.degrees()
        };
        near(turn(350.0 - 360.0, 20.0), 30.0, 1e-9); // through north
        near(turn(20.0, 350.0), -30.0, 1e-9);
        near(turn(240.0, 290.0), -310.0, 1e-9); // 290 is past the end: all the way back to -70
        near(turn(-240.0, 60.0), 300.0, 1e-9); // -300 is past the end: forward to 60
        near(turn(240.0, 265.0), -335.0, 1e-9); // 265 would leave 5 degrees of cable for tracking
        near(turn(100.0, 280.0), -180.0, 1e-9); // half a turn: the way that keeps off the end
    }

    #[test]
    fn the_cables_must_last_where_the_target_is_followed_to() {
        let rig = rig(); // its cables allow -270 to 270 degrees
        let port = PortId("wide".into());
        let ends = |to_deg: f64, follows_deg: f64| {
            let degrees = Angle::from_degrees;
            let to = Aim { azimuth: degrees(to_deg), altitude: degrees(40.0), follows: degrees(follows_deg) };
            let from = Some(pointing(-200.0, 40.0));
            move_between(&rig, LATITUDE, from, Some(&port), to, &port).end.cable_azimuth.degrees()
        };
        near(ends(102.0, 2.0), -258.0, 1e-9); // 12 degrees from an end that it moves away from
        near(ends(102.0, -2.0), 102.0, 1e-9); // 10 degrees left of it after the stop: no hour's reserve
        near(ends(120.0, -15.0), 120.0, 1e-9);
        near(ends(120.0, -5.0), -240.0, 1e-9);
    }

    #[test]
    fn the_slowest_leads_and_settling_and_focus_follow() {
        let rig = rig();
        let (eyepiece, wide) = (PortId("eyepiece".into()), PortId("wide".into()));
        let (azimuth, altitude) = (Angle::from_degrees(190.0), Angle::from_degrees(70.0));
        let from = Some(pointing(100.0, 30.0));
        let moved = move_between(&rig, LATITUDE, from, Some(&eyepiece), aim(azimuth, altitude), &wide);
        near(moved.parts.slew_s, axis_seconds(azimuth_axis(&rig), Angle::from_degrees(90.0)), 1e-9);
        assert!(moved.parts.dome_s > 0.0);
        assert_eq!(moved.parts.selector_s, rig.selector.change_s);
        assert_eq!(
            moved.parts.total_s(),
            moved.parts.slew_s.max(moved.parts.dome_s).max(moved.parts.selector_s)
                + rig.mount.settle_s
                + rig.selector.refocus_s
        );
        let still = move_between(&rig, LATITUDE, Some(moved.end), Some(&wide), aim(azimuth, altitude), &wide);
        assert_eq!(still.parts.total_s(), 0.0);
    }

    #[test]
    fn first_move_of_the_evening_only_sets_the_port() {
        let rig = rig();
        let (azimuth, altitude) = (Angle::from_degrees(300.0), Angle::from_degrees(30.0));
        let first = move_between(&rig, LATITUDE, None, None, aim(azimuth, altitude), &PortId("wide".into()));
        assert_eq!(first.parts.total_s(), rig.selector.change_s + rig.selector.refocus_s);
        near(first.end.cable_azimuth.degrees(), -60.0, 1e-9);
        assert_eq!(first.azimuth_turn, Angle::ZERO);
    }

    #[test]
    fn tracking_counts_the_cables_on() {
        let tracked = pointing(265.0, 30.0).tracked_to(Angle::from_degrees(275.0), Angle::from_degrees(29.0));
        near(tracked.cable_azimuth.degrees(), 275.0, 1e-9);
        assert!(!rig().mount.cables_reach(tracked.cable_azimuth));
        let across = pointing(-10.0, 30.0).tracked_to(Angle::from_degrees(5.0), Angle::from_degrees(29.0));
        near(across.cable_azimuth.degrees(), 5.0, 1e-9);
    }

    /// A rig on an equatorial mount that tracks 20 minutes past the meridian and takes 90 s to flip; both axes 3 degrees
    /// a second, 1 degree a second squared.
    fn equatorial() -> Rig {
        Rig { mount: equatorial_mount(20.0, 90.0), dome: None, ..rig() }
    }

    // Worked by hand at latitude 38 from the trapezoid: d / 3 + 3 seconds from 9 degrees on.
    #[test]
    fn hour_angle_and_declination_travel_together() {
        let rig = equatorial();
        let port = PortId("wide".into());
        let at = |azimuth: f64, altitude: f64| {
            let (azimuth, altitude) = (Angle::from_degrees(azimuth), Angle::from_degrees(altitude));
            move_between(&rig, LATITUDE, None, Some(&port), aim(azimuth, altitude), &port).end
        };
        let go = |from: Pointing, to: Pointing| {
            let moved = move_between(
                &rig,
                LATITUDE,
                Some(from),
                Some(&port),
                aim(to.cable_azimuth, to.altitude),
                &port,
            );
            assert_eq!(moved.end.pier, to.pier);
            moved.parts.slew_s
        };
        // Hour angle 2 h and -3 h: 30 degrees west at declination 20, 45 degrees east on the equator.
        let (west, east) = (at(243.7691, 58.4135), at(121.6190, 33.8629));
        assert_eq!([west.pier, east.pier], [Some(PierSide::East), Some(PierSide::West)]);
        near(go(east, west), 75.0 / 3.0 + 3.0 + 90.0, 0.001);
        near(go(west, east), 75.0 / 3.0 + 3.0 + 90.0, 0.001);
        // Due south 12 degrees apart in declination, both taken as just past the meridian.
        let (high, low) = (at(180.0, 62.0), at(180.0, 50.0));
        near(go(high, low), 12.0 / 3.0 + 3.0, 0.001);
        near(go(west, west), 0.0, 1e-9);
        // Tracked past the meridian on the western side: back to the east without a flip, on to the west with one.
        let past = Pointing { pier: Some(PierSide::West), ..at(180.5, 62.0) };
        assert!(go(past, east) < 90.0 && go(past, west) > 90.0);
    }

    #[test]
    fn a_fork_never_flips_and_a_flip_is_followed_by_the_other_side() {
        let mut rig = equatorial();
        let at = Pointing { pier: Some(PierSide::West), ..pointing(180.0, 62.0) };
        let follow = |rig: &Rig, hour_angle: f64| {
            let (azimuth, altitude) = (Angle::from_degrees(190.0), Angle::from_degrees(61.0));
            rig.mount.followed(at, azimuth, altitude, Angle::from_degrees(hour_angle)).pier
        };
        assert_eq!(follow(&rig, 4.0), Some(PierSide::West));
        assert_eq!(follow(&rig, 6.0), Some(PierSide::East));
        let Drive::Equatorial(drive) = &mut rig.mount.drive else { panic!("it is equatorial") };
        drive.flip = None;
        let port = PortId("wide".into());
        let from = Some(pointing(121.6190, 33.8629));
        let (azimuth, altitude) = (Angle::from_degrees(243.7691), Angle::from_degrees(58.4135));
        let moved = move_between(&rig, LATITUDE, from, Some(&port), aim(azimuth, altitude), &port);
        near(moved.parts.slew_s, 75.0 / 3.0 + 3.0, 0.001);
        assert_eq!(moved.end.pier, None);
    }

    #[test]
    fn a_rotator_turns_with_the_rest_and_may_be_the_slowest() {
        // From q 48.7836, h 58.4135 to q -42.1468, h 33.8629 (latitude 38, checked against ERFA): on the left q - h goes
        // from -9.6299 to -76.0097, 66.38 degrees, which at 1 degree a second and 1 degree a second squared take 67.38 s.
        let mut rig = rig();
        let port = PortId("wide".into());
        let move_by = |rig: &Rig| {
            let from = Some(pointing(243.7691, 58.4135));
            let (azimuth, altitude) = (Angle::from_degrees(121.6190), Angle::from_degrees(33.8629));
            move_between(rig, LATITUDE, from, Some(&port), aim(azimuth, altitude), &port).parts
        };
        assert_eq!(move_by(&rig).rotator_s, 0.0);
        rig.ports[0].rotator = Some(Axis { rate_deg_per_s: 1.0, acceleration_deg_per_s2: 1.0 });
        let parts = move_by(&rig);
        near(parts.rotator_s, 67.3798, 0.001);
        near(parts.total_s(), 67.3798 + rig.mount.settle_s, 0.001);
        rig.mount = equatorial_mount(20.0, 90.0);
        rig.ports[0].on_equatorial = true;
        assert_eq!(move_by(&rig).rotator_s, 0.0);
    }
}
