//! Seconds from one pointing and port to the next: slew, dome, selector, focus, settle.

use super::{Dome, Mount, PortId, Rig};
use crate::maths::Vec3;
use crate::units::Angle;

/// Azimuth kept free before the end of the cable wrap where there is a choice, so that the cables last while a stop
/// is tracked: about what an hour of the sky turns.
const CABLE_SPARE: Angle = Angle::from_degrees(20.0);

/// The pace of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Top speed, in degrees a second.
    pub rate_deg_per_s: f64,
    /// Acceleration, in degrees a second squared.
    pub acceleration_deg_per_s2: f64,
}

/// Where the telescope points, with the azimuth counted as the cables see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointing {
    /// Azimuth without wrapping, within the cable wrap.
    pub cable_azimuth: Angle,
    /// Altitude.
    pub altitude: Angle,
}

impl Pointing {
    /// Where the mount points after tracking to a place in the sky by the short way, as the cables see it. The
    /// azimuth may run past the cable wrap; [`Mount::cables_reach`] tells.
    #[must_use]
    pub fn tracked_to(self, azimuth: Angle, altitude: Angle) -> Self {
        let turn = (azimuth - self.cable_azimuth).wrapped_signed();
        Self { cable_azimuth: self.cable_azimuth + turn, altitude }
    }
}

/// The parts of a move, each in seconds. What turns together runs together; selector included. Settling and
/// focusing follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MoveParts {
    /// Mount, the slower of its two axes.
    pub slew_s: f64,
    /// Dome.
    pub dome_s: f64,
    /// Selector.
    pub selector_s: f64,
    /// Settling.
    pub settle_s: f64,
    /// Focusing.
    pub focus_s: f64,
}

impl MoveParts {
    /// Total: the longest of slew, dome and selector, then settle, then focus.
    pub fn total_s(self) -> f64 {
        self.slew_s.max(self.dome_s).max(self.selector_s) + self.settle_s + self.focus_s
    }
}

/// A move and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Its parts.
    pub parts: MoveParts,
    /// Where the mount ends, cables counted.
    pub end: Pointing,
    /// How far the azimuth axis turns, positive from north through east.
    pub azimuth_turn: Angle,
}

impl Mount {
    /// Whether the cables reach an azimuth counted without wrapping.
    pub fn cables_reach(&self, cable_azimuth: Angle) -> bool {
        (self.cable_wrap.0..=self.cable_wrap.1).contains(&cable_azimuth)
    }

    /// The turn of an azimuth that the cables allow, nearest to `near`; the nearest turn of all where the wrap
    /// allows none (a wrap narrower than a full turn).
    fn cable_azimuth(&self, azimuth: Angle, near: Angle) -> Angle {
        let nearest = near + (azimuth - near).wrapped_signed();
        let (low, high) = self.cable_wrap;
        let within = |spare: Angle| {
            if (low + spare..=high - spare).contains(&nearest) {
                return Some(nearest);
            }
            // The first turns inside the wrap from below and from above; one of them is the nearest to `near`.
            let from_low = (low + spare) + (nearest - low - spare).wrapped();
            let from_high = (high - spare) - (high - spare - nearest).wrapped();
            [from_low, from_high]
                .into_iter()
                .filter(|turn| (low + spare..=high - spare).contains(turn))
                .min_by(|one, other| {
                    (*one - near).abs().radians().total_cmp(&(*other - near).abs().radians())
                })
        };
        within(CABLE_SPARE).or_else(|| within(Angle::ZERO)).unwrap_or(nearest)
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

/// The azimuth to which the dome's slit must turn for the telescope to look through its middle.
///
/// Source: the straight line from the mount's axes along the pointing, cut with the dome's sphere.
/// The mount must stand inside the dome.
pub fn dome_azimuth(dome: &Dome, azimuth: Angle, altitude: Angle) -> Angle {
    let p = Vec3::from_array(dome.offset_m);
    let (sin_azimuth, cos_azimuth) = azimuth.sin_cos();
    let u = Vec3::new(altitude.cos() * sin_azimuth, altitude.cos() * cos_azimuth, altitude.sin());
    // k = -P.u + sqrt((P.u)^2 - P^2 + R^2), Q = P + k u
    let pu = p.dot(u);
    let k = -pu + (pu * pu - p.dot(p) + dome.radius_m * dome.radius_m).max(0.0).sqrt();
    let q = p + u * k;
    Angle::from_radians(q.x.atan2(q.y)).wrapped()
}

/// The move from one pointing and port to a place in the sky and a port. Chooses the shorter way that the cable
/// wrap allows, with some cable to spare where there is a choice. The dome is taken to have followed the telescope.
///
/// * `from`: where the mount points, `None` for its parking place (taken as already there: no slew, dome or settling);
/// * `from_port`, `to_port`: equal means no change of port; `None` means none was set, so the selector is moved and
///   the focus found.
pub fn move_between(
    rig: &Rig,
    from: Option<Pointing>,
    from_port: Option<&PortId>,
    to_azimuth: Angle,
    to_altitude: Angle,
    to_port: &PortId,
) -> Move {
    let mount = &rig.mount;
    let wrap_middle = (mount.cable_wrap.0 + mount.cable_wrap.1) / 2.0;
    let near = from.map_or(wrap_middle, |from| from.cable_azimuth);
    let end = Pointing { cable_azimuth: mount.cable_azimuth(to_azimuth, near), altitude: to_altitude };
    let from = from.unwrap_or(end);
    let azimuth_turn = end.cable_azimuth - from.cable_azimuth;
    let slew_s = axis_seconds(mount.azimuth, azimuth_turn)
        .max(axis_seconds(mount.altitude, end.altitude - from.altitude));
    let dome_s = rig.dome.as_ref().map_or(0.0, |dome| {
        let start = dome_azimuth(dome, from.cable_azimuth, from.altitude);
        let turn = (dome_azimuth(dome, end.cable_azimuth, end.altitude) - start).wrapped_signed();
        axis_seconds(dome.rotation, turn)
    });
    let (selector_s, focus_s) = rig.selector.times_s(from_port, to_port);
    let parts = MoveParts {
        slew_s,
        dome_s,
        selector_s,
        settle_s: if slew_s > 0.0 { mount.settle_s } else { 0.0 },
        focus_s,
    };
    Move { parts, end, azimuth_turn }
}

#[cfg(test)]
mod tests {
    use super::{Axis, Pointing, axis_seconds, dome_azimuth, move_between};
    use crate::rig::sample::rig;
    use crate::rig::{Dome, PortId};
    use crate::units::Angle;

    fn pointing(azimuth_deg: f64, altitude_deg: f64) -> Pointing {
        Pointing {
            cable_azimuth: Angle::from_degrees(azimuth_deg),
            altitude: Angle::from_degrees(altitude_deg),
        }
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

    // Computed from the geometry of a line and a sphere of 3 m; the last is a tube 0.5 m to the right.
    #[test]
    fn slit_follows_the_telescope_not_the_centre() {
        for (offset_m, azimuth_deg, altitude_deg, slit_deg) in [
            ([0.0, 0.0, 0.0], 180.0, 45.0, 180.0),
            ([0.0, 0.2, 0.0], 90.0, 60.0, 82.3886),
            ([-0.2, 0.3, 0.4], 120.0, 30.0, 116.0302),
            ([-0.5, 0.0, 0.0], 180.0, 70.0, 206.2992),
        ] {
            let rotation = Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0 };
            let dome = Dome { radius_m: 3.0, slit_width_m: 1.2, offset_m, rotation };
            let slit =
                dome_azimuth(&dome, Angle::from_degrees(azimuth_deg), Angle::from_degrees(altitude_deg));
            near(slit.degrees(), slit_deg, 0.000_06);
        }
    }

    #[test]
    fn cables_may_forbid_the_short_way() {
        let mut rig = rig();
        rig.mount.cable_wrap = (Angle::from_degrees(-270.0), Angle::from_degrees(270.0));
        let port = PortId("wide".into());
        let turn = |from_deg: f64, to_deg: f64| {
            let to = Angle::from_degrees(to_deg);
            let from = Some(pointing(from_deg, 40.0));
            let moved = move_between(&rig, from, Some(&port), to, Angle::from_degrees(40.0), &port);
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
    fn the_slowest_leads_and_settling_and_focus_follow() {
        let rig = rig();
        let (eyepiece, wide) = (PortId("eyepiece".into()), PortId("wide".into()));
        let (azimuth, altitude) = (Angle::from_degrees(190.0), Angle::from_degrees(70.0));
        let from = Some(pointing(100.0, 30.0));
        let moved = move_between(&rig, from, Some(&eyepiece), azimuth, altitude, &wide);
        near(moved.parts.slew_s, axis_seconds(rig.mount.azimuth, Angle::from_degrees(90.0)), 1e-9);
        assert!(moved.parts.dome_s > 0.0);
        assert_eq!(moved.parts.selector_s, rig.selector.change_s);
        assert_eq!(
            moved.parts.total_s(),
            moved.parts.slew_s.max(moved.parts.dome_s).max(moved.parts.selector_s)
                + rig.mount.settle_s
                + rig.selector.refocus_s
        );
        let still = move_between(&rig, Some(moved.end), Some(&wide), azimuth, altitude, &wide);
        assert_eq!(still.parts.total_s(), 0.0);
    }

    #[test]
    fn first_move_of_the_evening_only_sets_the_port() {
        let rig = rig();
        let (azimuth, altitude) = (Angle::from_degrees(300.0), Angle::from_degrees(30.0));
        let first = move_between(&rig, None, None, azimuth, altitude, &PortId("wide".into()));
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
}
