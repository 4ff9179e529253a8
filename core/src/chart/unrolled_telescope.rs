//! Where the telescope points at a minute, and what of the building turns with it.

use super::UnrolledMap;
use super::unrolled_map::unrolled;
use crate::plan::{Materials, RunningOrder, Stop, Turn};
use crate::rig::{Drive, Pointing, dome_azimuth, eyepiece_azimuth};
use crate::time::Instant;
use crate::units::Angle;

/// Where the telescope points at an instant.
pub(super) struct Telescope<'a> {
    /// Azimuth as the mount turns.
    pub turned: Angle,
    /// Altitude.
    pub altitude: Angle,
    /// The stop that it is on, goes to, or was on last.
    pub stop: &'a Stop,
    /// Whether it is on its way.
    pub moves: bool,
}

impl<'a> Telescope<'a> {
    /// By the running order with its moves begun as late as they may be; `None` before the first.
    pub fn at(
        order: &'a RunningOrder,
        turns: &[Turn],
        materials: &Materials<'_>,
        at: Instant,
    ) -> Option<Self> {
        let stops = order.stops().iter().zip(turns);
        let mut begun = stops.filter(|(_, turn)| !turn.follows.is_empty() && turn.timing.leave <= at);
        let (stop, turn) = begun.next_back()?;
        if let Some((from, to)) = turn.slew.filter(|_| at < stop.start()) {
            let way = slew(materials, from, to);
            let share = at.seconds_since(turn.timing.leave) / turn.timing.parts.slew_s.max(1.0);
            let share = share.clamp(0.0, 1.0);
            let (turned, altitude) = *way.get((share * (way.len() - 1) as f64).round() as usize)?;
            return Some(Self { turned, altitude, stop, moves: share < 1.0 });
        }
        let (_, pointing) = turn.follows.iter().min_by(|(one, _), (other, _)| {
            one.seconds_since(at).abs().total_cmp(&other.seconds_since(at).abs())
        })?;
        Some(Self { turned: pointing.cable_azimuth, altitude: pointing.altitude, stop, moves: false })
    }

    /// The azimuth of the dome's slit near that of the telescope, and half of what it opens; `None` without a dome.
    pub fn slit(&self, materials: &Materials<'_>) -> Option<(Angle, Angle)> {
        let dome = materials.rig.dome.as_ref()?;
        let half = (dome.slit_width_m / (2.0 * dome.radius_m)).clamp(0.0, 1.0).asin();
        Some((dome_azimuth(dome, self.turned, self.altitude), Angle::from_radians(half)))
    }

    /// On which side of the telescope the line of visitors stands, where they look by eye.
    pub fn line(&self, materials: &Materials<'_>) -> Option<Angle> {
        let port = materials.rig.port(&self.stop.show()?.port).filter(|port| port.is_eyepiece())?;
        Some(eyepiece_azimuth(port.side, self.turned))
    }

    /// How far the cables still let it turn to the left and to the right; `None` where none limit it.
    pub fn cable(&self, materials: &Materials<'_>) -> Option<(Angle, Angle)> {
        let (low, high) = cable_ends(materials)?;
        Some(((self.turned - low).max(Angle::ZERO), (high - self.turned).max(Angle::ZERO)))
    }
}

/// The least and the greatest azimuth that the cables allow, where they limit the mount.
pub(super) fn cable_ends(materials: &Materials<'_>) -> Option<(Angle, Angle)> {
    match &materials.rig.mount.drive {
        Drive::AltAzimuth(drive) => Some(drive.cable_wrap),
        Drive::Equatorial(_) => None,
    }
}

/// The way of a slew: azimuth as the mount turns, and altitude.
pub(super) fn slew(materials: &Materials<'_>, from: Pointing, to: Pointing) -> Vec<(Angle, Angle)> {
    let way = materials.rig.mount.path(materials.site.place.latitude, from, to);
    unrolled(&way, from.cable_azimuth)
}

/// A way of the mount on the strip: once, where cables make its azimuth the only one, else wherever it is seen.
pub(super) fn on_strip(
    map: &UnrolledMap,
    materials: &Materials<'_>,
    way: &[(Angle, Angle)],
) -> Vec<Vec<super::Point>> {
    if cable_ends(materials).is_some() {
        return map.kept(way.iter().copied());
    }
    let Some((first, _)) = way.first() else { return Vec::new() };
    let by = map.in_home(*first) - *first;
    let turn = Angle::from_degrees(360.0);
    let copies = [-1.0, 0.0, 1.0].map(|turns| by + turn * turns);
    copies.iter().flat_map(|by| map.kept(way.iter().map(|(turned, up)| (*turned + *by, *up)))).collect()
}
