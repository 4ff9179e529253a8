//! A satellite of the Earth by its mean elements, through SGP4.

use std::f64::consts::PI;
use std::fmt;

use chrono::{DateTime, Utc};
use sgp4::{
    Constants, MinutesSinceEpoch, Orbit, WGS72, iau_epoch_to_sidereal_time, julian_years_since_j2000,
};

use crate::maths::Vec3;
use crate::time::Instant;

/// From this many days on a pass may come a minute or more early or late, and is told so. Common practice, no source; a
/// low satellite strays along its way by some kilometres a day, and by more when the Sun stirs the upper air.
pub const SATELLITE_STALE_DAYS: f64 = 3.0;
/// Beyond this many days no times are told. Common practice, no source.
pub const SATELLITE_USELESS_DAYS: f64 = 14.0;

/// The greatest number of a satellite: such catalogues have nine digits at most (common practice, no source).
pub const MOST_CATALOGUE_NUMBER: u32 = 999_999_999;

/// Mean elements of the theory SGP4, as OMM and two-line elements carry them: true equator and mean equinox of the epoch
/// (TEME). Two thirds of those files are not needed to place a satellite and are not kept.
#[derive(Clone, Debug, PartialEq)]
pub struct SatelliteElements {
    /// Its name for people.
    pub name: String,
    /// Its number in the catalogue that the elements come from, up to [`MOST_CATALOGUE_NUMBER`]; 0 when not told.
    pub catalogue_number: u64,
    /// The epoch (UTC).
    pub epoch: DateTime<Utc>,
    /// Mean motion, in turns a day.
    pub mean_motion_rev_per_day: f64,
    /// Eccentricity.
    pub eccentricity: f64,
    /// Inclination, in degrees.
    pub inclination_deg: f64,
    /// Right ascension of the ascending node, in degrees.
    pub ascending_node_deg: f64,
    /// Argument of perigee, in degrees.
    pub perigee_argument_deg: f64,
    /// Mean anomaly, in degrees.
    pub mean_anomaly_deg: f64,
    /// How the air brakes it: B*, in inverse radii of the Earth.
    pub bstar: f64,
}

/// Why numbers are no elements of a satellite.
#[derive(Clone, Debug, PartialEq)]
pub struct SatelliteFault {
    /// The key in a catalogue; empty where no single one is to blame.
    pub key: &'static str,
    /// What is wrong.
    pub message: String,
}

impl fmt::Display for SatelliteFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for SatelliteFault {}

/// A satellite ready to be placed at many instants.
#[derive(Clone, Debug)]
pub struct Satellite {
    constants: Constants,
    epoch: Instant,
}

/// Farther from its epoch than this nothing is computed.
const LONGEST_DAYS: f64 = 3653.0;

impl Satellite {
    /// Prepares the theory.
    ///
    /// Source: Vallado, Crawford, Hujsak & Kelso 2006, *Revisiting Spacetrack Report #3*, AIAA 2006-6753; gravity of
    /// WGS72, with which such elements are made.
    ///
    /// # Errors
    /// A number out of range, or an orbit that the theory does not know.
    pub fn new(elements: &SatelliteElements) -> Result<Self, SatelliteFault> {
        let fault = |key, number: f64, expected: &str| {
            Err(SatelliteFault { key, message: format!("{number} is not {expected}") })
        };
        let motion = elements.mean_motion_rev_per_day;
        if !(0.05..=20.0).contains(&motion) {
            return fault("mean_motion_rev_per_day", motion, "a mean motion from 0.05 to 20 turns a day");
        }
        if !(0.0..1.0).contains(&elements.eccentricity) {
            return fault("eccentricity", elements.eccentricity, "an eccentricity from 0 up to below 1");
        }
        if !(0.0..=180.0).contains(&elements.inclination_deg) {
            return fault(
                "inclination_deg",
                elements.inclination_deg,
                "an inclination from 0 to 180 degrees",
            );
        }
        for (key, degrees) in [
            ("ascending_node_deg", elements.ascending_node_deg),
            ("perigee_argument_deg", elements.perigee_argument_deg),
            ("mean_anomaly_deg", elements.mean_anomaly_deg),
        ] {
            if !(-360.0..=360.0).contains(&degrees) {
                return fault(key, degrees, "an angle from -360 to 360 degrees");
            }
        }
        if !(-10.0..=10.0).contains(&elements.bstar) {
            return fault("bstar", elements.bstar, "a drag term from -10 to 10 inverse radii of the Earth");
        }
        let no_orbit = |error: &dyn fmt::Display| SatelliteFault {
            key: "",
            message: format!("SGP4 knows no such orbit: {error}"),
        };
        // ke and J2 of WGS72 are used to turn Kozai's mean motion into Brouwer's.
        let orbit = Orbit::from_kozai_elements(
            &WGS72,
            elements.inclination_deg.to_radians(),
            elements.ascending_node_deg.to_radians(),
            elements.eccentricity,
            elements.perigee_argument_deg.to_radians(),
            elements.mean_anomaly_deg.to_radians(),
            motion * PI / 720.0,
        )
        .map_err(|error| no_orbit(&error))?;
        let years = julian_years_since_j2000(&elements.epoch.naive_utc());
        let constants = Constants::new(WGS72, iau_epoch_to_sidereal_time, years, elements.bstar, orbit)
            .map_err(|error| no_orbit(&error))?;
        let satellite = Self { constants, epoch: Instant::from_utc(elements.epoch) };
        match satellite.teme_km(satellite.epoch) {
            Some(_) => Ok(satellite),
            None => Err(SatelliteFault {
                key: "",
                message: "SGP4 knows no such orbit: it has no place at its own epoch".to_owned(),
            }),
        }
    }

    /// From the Earth's centre in kilometres, on the axes of SGP4: true equator and mean equinox of date. `None` where the
    /// theory gives none (it has come down), or more than ten years from the epoch.
    ///
    /// Seconds are counted on through a leap second between epoch and instant, as the satellite does.
    pub fn teme_km(&self, at: Instant) -> Option<Vec3> {
        let minutes = at.minutes_since(self.epoch);
        if minutes.abs() > LONGEST_DAYS * 1440.0 {
            return None;
        }
        let place = Vec3::from_array(self.constants.propagate(MinutesSinceEpoch(minutes)).ok()?.position);
        place.length().is_finite().then_some(place)
    }

    /// The epoch of its elements.
    pub const fn epoch(&self) -> Instant {
        self.epoch
    }

    /// Days between an instant and the epoch of the elements.
    pub fn age_days(&self, at: Instant) -> f64 {
        (at.seconds_since(self.epoch) / 86_400.0).abs()
    }
}
