//! How bright the sky is over the dome, in a few shades.

use super::{DomeMap, Ink, Item};
use crate::plan::Moment;
use crate::site::Site;
use crate::sky::background;
use crate::units::{Angle, SurfaceBrightness};

/// The brightness drawn as the darkest and as the brightest, in magnitudes per square arcsecond: a fine dark sky, and a
/// sky on which stars just come out. By day all of it is one shade.
const DARKEST: f64 = 22.0;
const BRIGHTEST: f64 = 15.0;
/// Steps between them: one for each magnitude.
const STEPS: f64 = 7.0;

/// Height of a patch of one shade, and about its width, in degrees.
const PATCH_DEG: f64 = 2.0;

/// The shade of a brightness, from 0 (dark) to 255 (bright), in steps of a magnitude.
pub(super) fn shade(brightness: SurfaceBrightness) -> u8 {
    let share = (DARKEST - brightness.0) / (DARKEST - BRIGHTEST);
    ((share.clamp(0.0, 1.0) * STEPS).round() / STEPS * 255.0).round() as u8
}

/// The light of the sky towards an apparent altitude and an azimuth.
pub(super) fn light(site: &Site, moment: &Moment, azimuth: Angle, altitude: Angle) -> SurfaceBrightness {
    background(site, altitude, azimuth, &moment.sun, &moment.moon, moment.moon_phase_angle).total
}

/// The direction of the brightest patch of sky, and its light.
pub(super) fn brightest(site: &Site, moment: &Moment) -> (Angle, Angle, SurfaceBrightness) {
    let mut brightest = (Angle::ZERO, Angle::ZERO, SurfaceBrightness(f64::INFINITY));
    for (azimuth, altitude, _) in patches() {
        let found = light(site, moment, azimuth, altitude);
        if found.0 < brightest.2.0 {
            brightest = (azimuth, altitude, found);
        }
    }
    brightest
}

/// The dome in patches, each with the shade of its middle.
pub(super) fn shades(map: &DomeMap, site: &Site, moment: &Moment) -> Vec<Item> {
    let half = Angle::from_degrees(PATCH_DEG / 2.0);
    let patch = |(azimuth, altitude, half_width): (Angle, Angle, Angle)| {
        let corner = |right: f64, up: f64| map.place(azimuth + half_width * right, altitude + half * up);
        Item::Path {
            // It reaches under the next ring, whose corners lie elsewhere, so that no gap shows between them.
            points: vec![corner(-1.0, -1.0), corner(-1.0, 1.6), corner(1.0, 1.6), corner(1.0, -1.0)],
            closed: true,
            fill: Some(Ink::SkyLight(shade(light(site, moment, azimuth, altitude)))),
            stroke: None,
        }
    };
    patches().map(patch).collect()
}

/// Azimuth and altitude of the middle of each patch, and half of its width in azimuth: fewer to a ring, the higher.
fn patches() -> impl Iterator<Item = (Angle, Angle, Angle)> {
    let rings = (90.0 / PATCH_DEG) as u32;
    (0..rings).flat_map(|ring| {
        let altitude = Angle::from_degrees((f64::from(ring) + 0.5) * PATCH_DEG);
        let sectors = (360.0 * altitude.cos() / PATCH_DEG).ceil().max(6.0) as u32;
        let half_width = Angle::from_degrees(180.0 / f64::from(sectors));
        (0..sectors).map(move |sector| (half_width * (2.0 * f64::from(sector) + 1.0), altitude, half_width))
    })
}

#[cfg(test)]
mod tests {
    use super::shade;
    use crate::units::SurfaceBrightness;

    #[test]
    fn a_shade_is_a_magnitude_and_brighter_is_lighter() {
        // A dark sky, one under a full Moon (18.2, Krisciunas & Schaefer 1991), twilight with the Sun 6 degrees down
        // (13.30, Patat et al. 2006, table 4).
        let [dark, moonlit, twilight] = [22.0, 18.24, 13.3].map(|mu| shade(SurfaceBrightness(mu)));
        assert!(dark == 0 && twilight == 255 && (120..180).contains(&moonlit), "{moonlit}");
        assert_eq!(shade(SurfaceBrightness(20.4)), shade(SurfaceBrightness(19.6)));
        assert_ne!(shade(SurfaceBrightness(20.4)), shade(SurfaceBrightness(19.4)));
    }
}
