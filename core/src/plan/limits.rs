//! What no showing may break: horizon, mount, keyhole, a closed part of the sky and the Sun, judged for one sample.

use super::{ClosedPart, Limit, Materials, Moment, Sample};
use crate::ephemeris::Body;
use crate::place::Source;
use crate::site::{SUN_EXCLUSION_FLOOR_DEG, Site};
use crate::units::Angle;

/// The Sun's airless altitude at sunset, by its centre: -50 arcminutes, as almanacs count it.
pub(super) const SUNSET_ALTITUDE: Angle = Angle::from_arcminutes(-50.0);
/// The Sun's altitude down to which its exclusion holds: the end of civil twilight.
pub const SUN_EXCLUSION_ENDS: Angle = Angle::from_degrees(-6.0);

/// The closest that anything may be pointed to the Sun at a site: what its file says, never below the floor.
pub fn sun_exclusion(site: &Site) -> Angle {
    site.sun_exclusion.max(Angle::from_degrees(SUN_EXCLUSION_FLOOR_DEG))
}

/// The lowest apparent altitude that may be pointed to at an azimuth.
pub(super) fn lowest_altitude(materials: &Materials<'_>, azimuth: Angle) -> Angle {
    materials.site.horizon.altitude(azimuth).max(materials.rig.mount.lowest_altitude)
}

/// Whether a sample lies in the mount's keyhole or above what it reaches.
pub(super) fn in_keyhole(materials: &Materials<'_>, sample: &Sample) -> bool {
    let latitude = materials.site.place.latitude;
    above_mount(materials, sample.altitude)
        || materials.rig.mount.in_keyhole(latitude, sample.azimuth, sample.altitude)
}

/// Whether an altitude is above what the mount reaches.
pub(super) fn above_mount(materials: &Materials<'_>, altitude: Angle) -> bool {
    altitude > materials.rig.mount.highest_altitude
}

/// Whether a sample is nearer to the Sun than the exclusion, while the exclusion holds.
pub fn near_sun(site: &Site, sun_altitude: Angle, separation: Angle) -> bool {
    sun_altitude > SUN_EXCLUSION_ENDS && separation < sun_exclusion(site)
}

/// Whether a sample lies in a part of the sky that is closed then.
pub(super) fn in_closed_sky(closed_sky: &[ClosedPart], moment: &Moment, sample: &Sample) -> bool {
    closed_sky.iter().any(|part| part.closes(sample.azimuth, moment.instant))
}

/// The hard limit that keeps a source from being shown at a sample, the gravest first; daylight last, so that what is
/// not up is never called lost in the light.
pub(super) fn hard_limit(
    materials: &Materials<'_>,
    source: &Source,
    moment: &Moment,
    sample: &Sample,
    closed_sky: &[ClosedPart],
) -> Option<Limit> {
    let sun_altitude = moment.sun.altitude;
    if matches!(source, Source::Body(Body::Sun))
        || near_sun(materials.site, sun_altitude, sample.sun_separation)
    {
        Some(Limit::Sun)
    } else if sample.altitude < materials.site.horizon.altitude(sample.azimuth) {
        Some(Limit::Horizon)
    } else if sample.altitude < materials.rig.mount.lowest_altitude {
        Some(Limit::MountLow)
    } else if in_keyhole(materials, sample) {
        Some(Limit::Keyhole)
    } else if in_closed_sky(closed_sky, moment, sample) {
        Some(Limit::ClosedSky)
    } else if sun_altitude > SUNSET_ALTITUDE {
        Some(Limit::Light)
    } else {
        None
    }
}
