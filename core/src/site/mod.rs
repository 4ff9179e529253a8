//! Where the evening happens: position, zone, horizon, air, darkness, limits.

mod horizon_text;
mod read;

use chrono::NaiveTime;
use chrono_tz::Tz;

pub use horizon_text::{HorizonText, UnusedLine, read_horizon_text};
pub use read::{SITE_FORMAT, nearest_zone, read_site};

use crate::earth::{GeodeticPlace, Horizon};
use crate::place::Air;
use crate::units::{Angle, SurfaceBrightness};

/// The hard floor of the exclusion round the Sun, in degrees; no file can lower it.
///
/// Common practice, no source: 20 to 45 degrees in use for open tubes.
pub const SUN_EXCLUSION_FLOOR_DEG: f64 = 30.0;

/// Light from a town in one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightDome {
    /// Its centre, from north through east.
    pub azimuth: Angle,
    /// Half its width in azimuth, where it has faded to 1/e.
    pub half_width: Angle,
    /// How many magnitudes brighter than the zenith the sky is at 20 degrees altitude over its centre.
    pub brightening_mag: f64,
}

/// When weather says no.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeatherLimits {
    /// Sustained wind at which the dome closes, in kilometres an hour.
    pub wind_km_h: f64,
    /// Relative humidity at which the dome closes, in percent.
    pub humidity_percent: f64,
    /// Cloud cover at which a sky programme is called off, in percent.
    pub cloud_percent: f64,
}

/// What the park tells visitors beside the programme, in its own words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VisitorLines {
    /// Whom to ask, such as a telephone number; empty where nobody is named.
    pub contact: String,
    /// Toilets, step-free way, parking: a line each.
    pub lines: Vec<String>,
}

/// A place on the grounds, such as the gate or where the line begins.
#[derive(Clone, Debug, PartialEq)]
pub struct SitePlace {
    /// What people call it.
    pub name: String,
    /// Geodetic latitude.
    pub latitude: Angle,
    /// Longitude, east positive.
    pub longitude: Angle,
    /// A line about it; may be empty.
    pub note: String,
}

/// An observing site.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Its name for people.
    pub name: String,
    /// Where it is.
    pub place: GeodeticPlace,
    /// Its time zone.
    pub zone: Tz,
    /// Its horizon profile.
    pub horizon: Horizon,
    /// Dark sky at the zenith, without Moon and twilight.
    pub zenith_brightness: SurfaceBrightness,
    /// Towns.
    pub light_domes: Vec<LightDome>,
    /// Extinction in V, magnitudes for one airmass.
    pub extinction_mag: f64,
    /// Usual seeing at the zenith, full width at half maximum.
    pub seeing: Angle,
    /// Usual air, for refraction.
    pub air: Air,
    /// Closest pointing to the Sun while it is above -6 degrees; at least [`SUN_EXCLUSION_FLOOR_DEG`].
    pub sun_exclusion: Angle,
    /// When the park closes, on the local clock.
    pub park_closes: Option<NaiveTime>,
    /// When weather says no.
    pub weather: WeatherLimits,
    /// Places on the grounds beside the telescope.
    pub plan: Vec<SitePlace>,
    /// The site's own cautions, printed with the usual ones.
    pub cautions: Vec<String>,
    /// What visitors are told: on the handbill and the Door card.
    pub visitors: VisitorLines,
}
