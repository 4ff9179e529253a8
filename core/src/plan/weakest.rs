//! What holds a view back most: the height above the horizon, the Moon, twilight, or the port itself.

use super::{Materials, Prepared, sky_behind};
use crate::assign::{Reason, Showing, rank_ports, view_on_port};
use crate::rig::PortId;
use crate::time::Instant;
use crate::units::{Angle, Fraction, SurfaceBrightness};

/// A circumstance is named if a view would be better by this much without it. Common practice, no source.
const WORTH_NAMING: f64 = 0.1;
/// A factor from which nothing holds a view back. Common practice, no source.
const NOTHING_WRONG: f64 = 0.95;

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

/// The weakest link of a target's view through a port at an instant; `None` where nothing holds it back, below the
/// horizon, and for a port that the rig does not have.
///
/// The view is asked again without the Moon, without twilight, and through a single airmass: where one of these would
/// make it better by 0.1 or more, the one that would do most is named. Else it is the weakest factor of the port.
pub fn weakest_link(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &PortId,
    instant: Instant,
) -> Option<WeakestLink> {
    let target = materials.catalogue.targets.get(target_index)?;
    let track = prepared.tracks.get(target_index)?;
    let minute = prepared.moment_index(instant);
    let (sample, moment) = (track.samples.get(minute)?, prepared.moments.get(minute)?);
    let now = prepared.showing(materials, target_index, minute)?;
    let choices = rank_ports(target, materials.rig, &now, &prepared.ports_out_of_service);
    let choice = choices.into_iter().find(|choice| &choice.port == port)?;
    if prepared.ports_out_of_service.contains(port) {
        return Some(WeakestLink::Port(Reason::OutOfService));
    }
    let port = materials.rig.port(port)?;
    let light = sky_behind(prepared, materials, target_index, instant)?;
    let moonless = SurfaceBrightness::from_nanolamberts(light.dark_nl + light.twilight_nl);
    let sunless = SurfaceBrightness::from_nanolamberts(light.dark_nl + light.moon_nl);
    let view = |showing: Showing| view_on_port(target, &materials.rig.telescope, port, &showing);
    let circumstances = [
        (
            view(Showing { airmass: now.airmass.min(1.0), ..now }),
            WeakestLink::Low { altitude: sample.altitude, airmass: now.airmass },
        ),
        (
            view(Showing { sky: moonless, ..now }),
            WeakestLink::Moonlight {
                separation: sample.moon_separation,
                brighter_mag: moonless.0 - light.total.0,
            },
        ),
        (
            view(Showing { sky: sunless, ..now }),
            WeakestLink::Twilight {
                sun_altitude: moment.sun.altitude,
                brighter_mag: sunless.0 - light.total.0,
            },
        ),
    ];
    let gain = |better: &(Fraction, WeakestLink)| better.0.value() - choice.view.value();
    circumstances
        .into_iter()
        .filter(|better| gain(better) >= WORTH_NAMING)
        .reduce(|one, other| if gain(&other) > gain(&one) { other } else { one })
        .map(|(_, link)| link)
        .or_else(|| {
            let (reason, factor) = *choice.chain.first()?;
            (factor.value() < NOTHING_WRONG).then_some(WeakestLink::Port(reason))
        })
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
