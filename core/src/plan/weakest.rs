//! What holds a view back most: the height above the horizon, the Moon, twilight, or the port itself.

use super::{Materials, Prepared, port_minute};
use crate::assign::Reason;
use crate::rig::PortId;
use crate::time::Instant;
use crate::units::Angle;

/// What holds a view back most, with its numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WeakestLink {
    /// Low in the sky.
    Low {
        /// Apparent altitude.
        altitude: Angle,
        /// Airmass.
        airmass: f64,
    },
    /// Moonlight on the sky behind.
    Moonlight {
        /// From the Moon.
        separation: Angle,
        /// Magnitudes by which it brightens the sky there.
        brighter_mag: f64,
    },
    /// Twilight on the sky behind.
    Twilight {
        /// The Sun's altitude, airless.
        sun_altitude: Angle,
        /// Magnitudes by which it brightens the sky there.
        brighter_mag: f64,
    },
    /// The port itself, for the weakest factor of its view.
    Port(Reason),
}

/// The weakest link of a target's view through a port at an instant, as [`through_night`](super::through_night) judges it;
/// `None` where nothing holds it back, below the horizon, and for a port that the rig does not have.
pub fn weakest_link(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &PortId,
    instant: Instant,
) -> Option<WeakestLink> {
    port_minute(prepared, materials, target_index, port, instant)?.weakest
}

#[cfg(test)]
mod tests {
    use super::{WeakestLink, weakest_link};
    use crate::assign::Reason;
    use crate::plan::invented::{Invented, march_evening};
    use crate::rig::PortId;
    use crate::units::Angle;

    #[test]
    fn every_link_is_true_and_each_kind_is_found() {
        let invented = Invented::new(5);
        let mut evening = march_evening();
        evening.wishes.ports_out_of_service = vec![PortId("planetary".into())];
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let (mut low, mut moonlit, mut twilit, mut by_port) = (0, 0, 0, 0);
        for target in 0..materials.catalogue.targets.len() {
            for moment in prepared.moments.iter().step_by(20) {
                for port in &materials.rig.ports {
                    let link = weakest_link(&prepared, &materials, target, &port.id, moment.instant);
                    match link {
                        Some(WeakestLink::Low { altitude, airmass }) => {
                            assert!(altitude < Angle::from_degrees(60.0) && airmass > 1.1);
                            low += 1;
                        }
                        Some(WeakestLink::Moonlight { separation, brighter_mag }) => {
                            assert!(moment.moon.altitude > Angle::ZERO);
                            assert!(brighter_mag > 0.1 && separation > Angle::ZERO);
                            moonlit += 1;
                        }
                        Some(WeakestLink::Twilight { sun_altitude, brighter_mag }) => {
                            assert!(sun_altitude > Angle::from_degrees(-18.0) && brighter_mag > 0.1);
                            twilit += 1;
                        }
                        Some(WeakestLink::Port(reason)) => {
                            assert_eq!(reason == Reason::OutOfService, port.id.0 == "planetary");
                            by_port += 1;
                        }
                        None => {}
                    }
                }
            }
        }
        assert!(low > 0 && moonlit > 0 && twilit > 0 && by_port > 0, "{low} {moonlit} {twilit} {by_port}");
    }
}
