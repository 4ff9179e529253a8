//! RON to a site: strict, every fault with its place.

use std::str::FromStr;

use chrono_tz::{TZ_VARIANTS, Tz};

use super::{LightDome, SUN_EXCLUSION_FLOOR_DEG, Site, SitePlace, VisitorLines, WeatherLimits};
use crate::earth::{GeodeticPlace, Horizon, HorizonError};
use crate::place::Air;
use crate::reading::{Faults, Fields, read_whole};
use crate::units::{Angle, SurfaceBrightness};

/// The first line of a site file says this.
pub const SITE_FORMAT: &str = "evenfall-site/1";

/// So far from the Sun lies the point opposite to it.
const WIDEST_SUN_EXCLUSION_DEG: f64 = 180.0;

/// The longest caution, in characters: it has to fit on a printed line or two.
const LONGEST_CAUTION: usize = 200;

/// The longest line for visitors, and the longest contact, in characters.
const LONGEST_VISITOR_LINE: usize = 120;

/// Reads a site.
///
/// # Errors
/// All faults found.
pub fn read_site(file: &str, text: &str) -> Result<Site, Faults> {
    read_whole(file, text, SITE_FORMAT, site)
}

fn site(fields: &Fields<'_>) -> Option<Site> {
    let name = fields.name("name");
    let place = GeodeticPlace {
        latitude: Angle::from_degrees(fields.number("latitude_deg", -90.0..=90.0)),
        longitude: Angle::from_degrees(fields.number("longitude_deg", -180.0..=180.0)),
        height_m: fields.number("elevation_m", -450.0..=6000.0),
    };
    let zone = zone(fields);
    let horizon = horizon(fields);
    let zenith = fields.number("zenith_brightness_mag_arcsec2", 15.0..=22.2);
    let light_domes = fields.entries("light_domes", |dome| Some(light_dome(dome)));
    let extinction_mag = fields.number("extinction_mag_per_airmass", 0.05..=1.5);
    let seeing = Angle::from_arcseconds(fields.number("seeing_arcsec", 0.2..=20.0));
    let air = fields.group("air", |air| {
        Some(Air {
            pressure_hpa: air.number("pressure_hpa", 400.0..=1100.0),
            temperature_c: air.number("temperature_c", -60.0..=50.0),
        })
    });
    let sun_exclusion = sun_exclusion(fields);
    let park_closes = fields.optional_clock_time("park_closes");
    let weather = fields.group("weather_limits", |limits| {
        Some(WeatherLimits {
            wind_km_h: limits.number("wind_km_h", 1.0..=150.0),
            humidity_percent: limits.number("humidity_percent", 1.0..=100.0),
            cloud_percent: limits.number("cloud_percent", 1.0..=100.0),
        })
    });
    let cautions = fields.texts("cautions", LONGEST_CAUTION);
    let visitors = fields.optional_group("visitors", |visitors| {
        Some(VisitorLines {
            contact: visitors.optional_text("contact", LONGEST_VISITOR_LINE).unwrap_or_default(),
            lines: visitors.texts("lines", LONGEST_VISITOR_LINE),
        })
    });
    let plan =
        if fields.has("plan") { fields.entries("plan", |place| Some(site_place(place))) } else { Vec::new() };
    Some(Site {
        name,
        place,
        zone: zone?,
        horizon: horizon?,
        zenith_brightness: SurfaceBrightness(zenith),
        light_domes: light_domes.into_iter().map(|(_, dome)| dome).collect(),
        extinction_mag,
        seeing,
        air: air?,
        sun_exclusion,
        park_closes,
        weather: weather?,
        plan: plan.into_iter().map(|(_, place)| place).collect(),
        cautions,
        visitors: visitors.unwrap_or_default(),
    })
}

fn site_place(place: &Fields<'_>) -> SitePlace {
    SitePlace {
        name: place.name("name"),
        latitude: Angle::from_degrees(place.number("latitude_deg", -90.0..=90.0)),
        longitude: Angle::from_degrees(place.number("longitude_deg", -180.0..=180.0)),
        note: place.optional_text("note", LONGEST_VISITOR_LINE).unwrap_or_default(),
    }
}

fn light_dome(dome: &Fields<'_>) -> LightDome {
    LightDome {
        azimuth: Angle::from_degrees(dome.number("azimuth_deg", 0.0..=360.0)),
        half_width: Angle::from_degrees(dome.number("half_width_deg", 1.0..=180.0)),
        brightening_mag: dome.number("brightening_mag", 0.0..=6.0),
    }
}

fn zone(fields: &Fields<'_>) -> Option<Tz> {
    let name: String = fields.read_required("time_zone", "an IANA zone such as \"Europe/London\"")?;
    let zone = Tz::from_str(&name).ok();
    if zone.is_none() {
        let message = format!("there is no time zone \"{name}\"");
        fields.fault(
            "time_zone",
            message,
            format!("Did you mean \"{}\"? Use an IANA name", nearest_zone(&name)),
        );
    }
    zone
}

/// The zone whose name is most like `name`.
pub fn nearest_zone(name: &str) -> &'static str {
    let wanted = name.to_lowercase().replace(' ', "_");
    let likeness = |zone: &Tz| {
        let known = zone.name().to_lowercase();
        let city = known.rsplit('/').next().unwrap_or_default();
        strsim::jaro_winkler(&wanted, &known).max(strsim::jaro_winkler(&wanted, city))
    };
    TZ_VARIANTS
        .iter()
        .map(|zone| (likeness(zone), zone.name()))
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .map_or("UTC", |(_, name)| name)
}

fn horizon(fields: &Fields<'_>) -> Option<Horizon> {
    if !fields.has("horizon") {
        let remedy =
            "Add `horizon: [...]` with corners `(azimuth_deg, altitude_deg)`; `[]` means a flat horizon";
        fields.fault("horizon", "the key is missing", remedy);
        return None;
    }
    let corners: Vec<(f64, f64)> = fields.values("horizon", "a corner `(azimuth_deg, altitude_deg)`");
    let angles = corners
        .iter()
        .map(|(azimuth, altitude)| (Angle::from_degrees(*azimuth), Angle::from_degrees(*altitude)));
    let remedy = match Horizon::from_corners(angles) {
        Ok(horizon) => return Some(horizon),
        Err(error @ HorizonError::OutOfRange { .. }) => (error.to_string(), "Correct this corner"),
        Err(error @ HorizonError::Contradiction { .. }) => (error.to_string(), "Give each azimuth once"),
    };
    fields.fault("horizon", remedy.0, remedy.1);
    None
}

fn sun_exclusion(fields: &Fields<'_>) -> Angle {
    let floor = SUN_EXCLUSION_FLOOR_DEG;
    let range = format!("a number from {floor} to {WIDEST_SUN_EXCLUSION_DEG} degrees");
    let degrees = fields.read_required::<f64>("sun_exclusion_deg", &range).unwrap_or(floor);
    if degrees < floor {
        fields.fault(
            "sun_exclusion_deg",
            format!("{degrees} is below the floor of {floor} degrees, which no file can lower"),
            format!("Give {floor} or more; what lies nearer to the Sun waits until it is 6 degrees below the horizon"),
        );
    } else if degrees.is_nan() || degrees > WIDEST_SUN_EXCLUSION_DEG {
        fields.fault("sun_exclusion_deg", format!("{degrees} is out of range"), format!("Give {range}"));
    }
    Angle::from_degrees(degrees.max(floor))
}

#[cfg(test)]
mod tests {
    use super::read_site;

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.site.ron");

    fn fault(from: &str, to: &str) -> String {
        assert!(DEMO.contains(from), "{from}");
        let faults = read_site("s", &DEMO.replacen(from, to, 1)).unwrap_err();
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn the_demo_reads_without_a_fault() {
        let site = read_site("heron-fell.site.ron", DEMO).unwrap();
        assert_eq!(site.zone, chrono_tz::Europe::London);
        assert_eq!(site.horizon.corners().len(), 16);
        assert!((site.place.longitude.degrees() + 2.5).abs() < 1e-12);
    }

    #[test]
    fn no_file_lowers_the_floor_round_the_sun() {
        assert!(
            fault("sun_exclusion_deg: 30.0", "sun_exclusion_deg: 29.9").contains("which no file can lower")
        );
        assert!(
            fault("sun_exclusion_deg: 30.0", "sun_exclusion_deg: \"x\"").contains("from 30 to 180 degrees")
        );
        for wrong in ["181.0", "NaN", "inf"] {
            let told = fault("sun_exclusion_deg: 30.0", &format!("sun_exclusion_deg: {wrong}"));
            assert!(told.contains("out of range") && told.contains("from 30 to 180 degrees"), "{told}");
        }
    }

    #[test]
    fn what_visitors_are_told_is_read_and_may_be_left_out() {
        let (before, rest) = DEMO.split_once("  visitors: (").expect("the demo tells visitors something");
        let (_, after) = rest.split_once("\n  ),").expect("the group ends");
        let without = read_site("s", &format!("{before}{after}")).unwrap();
        assert_eq!(without.visitors, super::VisitorLines::default());
        let site = read_site("s", DEMO).unwrap();
        assert!(site.visitors.lines.len() >= 3 && !site.visitors.contact.is_empty());
        let long = format!("lines: [\"{}\", ", "x".repeat(121));
        assert!(fault("lines: [", &long).contains("visitors.lines"));
        assert!(fault("    contact:", "    contract:").contains("`contact`"));
    }

    #[test]
    fn faults_say_what_to_do() {
        assert!(fault("Europe/London", "Europe/Lodnon").contains("Did you mean \"Europe/London\"?"));
        assert!(fault("latitude_deg: 55.1", "latitude_deg: 95.1").contains("Give a number from -90 to 90"));
        assert!(fault("(0.0, 9.0)", "(0.0, 95.0)").contains("horizon corner 1"));
        assert!(fault("(20.0, 8.0)", "(0.0, 8.0)").contains("two different altitudes"));
        assert!(fault("wind_km_h: 45.0,", "").contains("weather_limits.wind_km_h: the key is missing"));
    }
}
