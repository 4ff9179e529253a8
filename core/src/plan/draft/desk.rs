//! What every part of the draft works from.

use crate::plan::slew::slew_near_sun;
use crate::plan::timing::Stands;
use crate::plan::{Evening, Materials, Prepared, Stop, lead_s};
use crate::rig::{Pointing, PortId};
use crate::time::{Instant, Interval};

/// The evening, its sky and what it stands on.
#[derive(Clone, Copy)]
pub(super) struct Desk<'d> {
    pub(super) evening: &'d Evening,
    pub(super) prepared: &'d Prepared,
    pub(super) materials: &'d Materials<'d>,
}

impl<'d> Desk<'d> {
    /// The instant of a minute after doors open.
    pub(super) fn instant(self, minute: f64) -> Instant {
        self.prepared.doors.start().plus_minutes(minute)
    }

    /// Minutes from doors open to an instant.
    pub(super) fn minute(self, instant: Instant) -> f64 {
        instant.minutes_since(self.prepared.doors.start())
    }

    /// From doors open to doors closed, in whole minutes.
    pub(super) fn doors_minutes(self) -> u32 {
        self.prepared.doors.minutes().floor() as u32
    }

    /// Whether a port can be used tonight.
    pub(super) fn in_service(self, port: usize) -> bool {
        let id = &self.materials.rig.ports[port].id;
        !self.evening.wishes.ports_out_of_service.contains(id)
            && !self.prepared.ports_out_of_service.contains(id)
    }

    /// A port by its position on the rig.
    pub(super) fn port_index(self, port: &PortId) -> Option<usize> {
        self.materials.rig.ports.iter().position(|own| &own.id == port)
    }

    /// Target and port of a stop, by their positions.
    pub(super) fn showing(self, stop: &Stop) -> Option<(usize, usize)> {
        let show = stop.show()?;
        Some((self.materials.target_index(&show.target)?, self.port_index(&show.port)?))
    }

    /// Minutes that a move and the framing after it take, and where the telescope then stands; `None` where the way
    /// leads too near the Sun, the cables end or the mount would flip while the target is shown.
    pub(super) fn approach(
        self,
        from: Stands<'d>,
        showing: (usize, usize),
        interval: Interval,
    ) -> Option<(f64, Stands<'d>)> {
        let (minutes, end, after) = self.way(from, showing, interval)?;
        let mount = &self.materials.rig.mount;
        let reached = after.pointing.is_none_or(|at| mount.cables_reach(at.cable_azimuth));
        let flips = after.pointing.is_some_and(|at| at.pier != end.pier);
        (reached && !flips).then_some((minutes, after))
    }

    /// Minutes that a move and the framing after it take, where it ends, and where the telescope stands after the stop;
    /// `None` where the way leads too near the Sun.
    pub(super) fn way(
        self,
        from: Stands<'d>,
        (target, port): (usize, usize),
        interval: Interval,
    ) -> Option<(f64, Pointing, Stands<'d>)> {
        let port = &self.materials.rig.ports[port];
        let (travel, after) = from.go(self.materials, self.prepared, target, &port.id, interval)?;
        let seconds = travel.parts.total_s() + lead_s(port, self.materials.catalogue.targets[target].kind);
        if let Some(pointing) = from.pointing {
            let leave = interval.start().plus_seconds(-seconds);
            if slew_near_sun(self.materials, self.prepared, (pointing, travel.end), leave).is_some() {
                return None;
            }
        }
        Some((seconds / 60.0, travel.end, after))
    }
}
