//! The sum of all light in a direction.

use super::moonlight::moonlight_nl;
use super::night_glow::night_nl;
use super::twilight_glow::twilight_nl;
use crate::maths::Vec3;
use crate::place::Observed;
use crate::site::Site;
use crate::units::{Angle, SurfaceBrightness};

/// The background in one direction, and its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyLight {
    /// Everything together.
    pub total: SurfaceBrightness,
    /// Night sky and towns alone, in nanolamberts.
    pub dark_nl: f64,
    /// The Moon's share, in nanolamberts.
    pub moon_nl: f64,
    /// Twilight's share, in nanolamberts.
    pub twilight_nl: f64,
}

/// The background towards an apparent altitude and azimuth; below the horizon, that at the horizon.
///
/// Light adds as light, never as magnitudes. Near and on the Moon the value says how bright the glow round it is,
/// not the Moon.
///
/// * `moon_phase_angle`: the angle at the Moon between Sun and observer, 0 at full.
pub fn background(
    site: &Site,
    altitude: Angle,
    azimuth: Angle,
    sun: &Observed,
    moon: &Observed,
    moon_phase_angle: Angle,
) -> SkyLight {
    let right_angle = Angle::from_degrees(90.0);
    let altitude = altitude.max(Angle::ZERO).min(right_angle);
    // On axes north, east, up, azimuth runs from the first to the second.
    let direction = Vec3::from_spherical(azimuth, altitude);
    let moon_direction = Vec3::from_spherical(moon.azimuth, moon.altitude);
    let dark_nl = night_nl(site, altitude, azimuth);
    let moon_nl = moonlight_nl(
        moon_phase_angle,
        direction.angle_to(moon_direction),
        right_angle - moon.altitude,
        right_angle - altitude,
        site.extinction_mag,
    );
    let twilight_nl = twilight_nl(sun.altitude, altitude, azimuth - sun.azimuth);
    let total = SurfaceBrightness::from_nanolamberts(dark_nl + moon_nl + twilight_nl);
    SkyLight { total, dark_nl, moon_nl, twilight_nl }
}

#[cfg(test)]
mod tests {
    use super::{SkyLight, background};
    use crate::earth::{GeodeticPlace, Horizon};
    use crate::maths::Vec3;
    use crate::place::{Air, Observed};
    use crate::site::{Site, VisitorLines, WeatherLimits};
    use crate::units::{Angle, SurfaceBrightness};

    fn degrees(angle_deg: f64) -> Angle {
        Angle::from_degrees(angle_deg)
    }

    fn site(zenith_v: f64, k: f64) -> Site {
        Site {
            name: "Sample".into(),
            place: GeodeticPlace { latitude: degrees(55.0), longitude: degrees(-2.0), height_m: 200.0 },
            zone: chrono_tz::Europe::London,
            horizon: Horizon::flat(),
            zenith_brightness: SurfaceBrightness(zenith_v),
            light_domes: Vec::new(),
            extinction_mag: k,
            seeing: Angle::from_arcseconds(2.0),
            air: Air::STANDARD,
            sun_exclusion: degrees(30.0),
            park_closes: None,
            weather: WeatherLimits { wind_km_h: 40.0, humidity_percent: 90.0, cloud_percent: 50.0 },
            plan: Vec::new(),
            cautions: Vec::new(),
            visitors: VisitorLines::default(),
        }
    }

    fn observed(azimuth_deg: f64, altitude_deg: f64) -> Observed {
        let (azimuth, altitude) = (degrees(azimuth_deg), degrees(altitude_deg));
        let north_east_up = Vec3::from_spherical(azimuth, altitude);
        Observed {
            right_ascension: Angle::ZERO,
            declination: Angle::ZERO,
            hour_angle: Angle::ZERO,
            altitude,
            azimuth,
            parallactic_angle: Angle::ZERO,
            distance_au: None,
            east_north_up: Vec3::new(north_east_up.y, north_east_up.x, north_east_up.z),
        }
    }

    fn towards(
        site: &Site,
        altitude_deg: f64,
        sun: (f64, f64),
        moon: (f64, f64),
        alpha_deg: f64,
    ) -> SkyLight {
        background(
            site,
            degrees(altitude_deg),
            degrees(180.0),
            &observed(sun.0, sun.1),
            &observed(moon.0, moon.1),
            degrees(alpha_deg),
        )
    }

    #[test]
    fn moonlit_sky_adds_up() {
        // Krisciunas & Schaefer 1991, evaluated apart from this code: looking at zenith distance 45 degrees, full Moon at
        // zenith distance 45 degrees and 90 degrees away: V 18.241.
        let sky = towards(&site(20.5, 0.25), 45.0, (0.0, -60.0), (0.0, 45.0), 0.0);
        assert!((sky.total.0 - 18.241).abs() < 0.001, "got {:?}", sky.total);
        assert_eq!(sky.twilight_nl, 0.0);
    }

    #[test]
    fn a_moon_below_the_horizon_and_a_deep_sun_leave_the_dark_sky() {
        let sky = towards(&site(21.3, 0.2), 90.0, (0.0, -40.0), (90.0, -1.0), 0.0);
        assert!((sky.total.0 - 21.3).abs() < 1e-6);
    }

    #[test]
    fn twilight_adds_to_the_night_as_light() {
        // Patat et al. 2006: V 18.01 at the zenith with the Sun 10 degrees down, whatever the night behind it.
        let sky = towards(&site(21.0, 0.2), 90.0, (280.0, -10.0), (90.0, -20.0), 0.0);
        assert!((sky.total.0 - 18.01).abs() < 0.05, "got {:?}", sky.total);
    }

    #[test]
    fn below_the_horizon_counts_as_the_horizon() {
        let site = site(21.3, 0.2);
        let [low, level] =
            [-30.0, 0.0].map(|altitude| towards(&site, altitude, (0.0, -40.0), (10.0, 50.0), 30.0));
        assert_eq!(low, level);
        assert!(level.total.0.is_finite());
    }
}
