//! Where the telescope points at a minute, and what of the building turns with it.

use super::dome_map::direction_of;
use crate::plan::{Materials, Prepared, RunningOrder, Stop, StopTiming};
use crate::rig::{Pointing, dome_azimuth, eyepiece_azimuth};
use crate::time::Instant;
use crate::units::Angle;

/// Where the mount leaves from and arrives, where it moves by a way that is known.
pub(super) type Slew = Option<(Pointing, Pointing)>;

/// Where the telescope points at an instant.
pub(super) struct Telescope<'a> {
    /// Azimuth.
    pub azimuth: Angle,
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
        (timings, slews): (&[StopTiming], &[Slew]),
        prepared: &Prepared,
        materials: &Materials<'_>,
        at: Instant,
    ) -> Option<Self> {
        let stops = order.stops().iter().zip(timings).zip(slews);
        let mut begun = stops.filter(|((stop, timing), _)| {
            let known = stop.show().is_some_and(|show| materials.target_index(&show.target).is_some());
            known && timing.leave <= at
        });
        let ((stop, timing), slew) = begun.next_back()?;
        if let Some((from, to)) = slew.filter(|_| at < stop.start()) {
            let way = materials.rig.mount.path(materials.site.place.latitude, from, to);
            let share = (at.seconds_since(timing.leave) / timing.parts.slew_s.max(1.0)).clamp(0.0, 1.0);
            let (azimuth, altitude) =
                direction_of(*way.get((share * (way.len() - 1) as f64).round() as usize)?);
            return Some(Self { azimuth, altitude, stop, moves: share < 1.0 });
        }
        let index = materials.target_index(&stop.show()?.target)?;
        let sample = prepared.sample(index, at.max(stop.start()).min(stop.end()))?;
        Some(Self { azimuth: sample.azimuth, altitude: sample.altitude, stop, moves: false })
    }

    /// The azimuth of the dome's slit, and half of what it opens; `None` without a dome.
    pub fn slit(&self, materials: &Materials<'_>) -> Option<(Angle, Angle)> {
        let dome = materials.rig.dome.as_ref()?;
        let half = (dome.slit_width_m / (2.0 * dome.radius_m)).clamp(0.0, 1.0).asin();
        Some((dome_azimuth(dome, self.azimuth, self.altitude), Angle::from_radians(half)))
    }

    /// On which side of the telescope the line of visitors stands, where they look by eye.
    pub fn line(&self, materials: &Materials<'_>) -> Option<Angle> {
        let port = materials.rig.port(&self.stop.show()?.port).filter(|port| port.is_eyepiece())?;
        Some(eyepiece_azimuth(port.side, self.azimuth))
    }
}
