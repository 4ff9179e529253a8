//! Invented evenings for tests: a site, a rig, a catalogue and a crowd from a seed.

mod absurd;

use chrono::{Days, NaiveDate, NaiveTime};
use chrono_tz::Europe::London;

use super::{
    Call, ClosedSky, EntryKind, Evening, FixedEntry, House, Materials, OrderRules, Prepared, Programme,
    RunningOrder, Wishes, prepare,
};
use crate::catalogue::{Catalogue, Double, Kind, Target, TargetId, TargetNotes, Words};
use crate::earth::{EarthOrientation, GeodeticPlace, Horizon};
use crate::ephemeris::{Body, Ephemeris};
use crate::place::{Air, Source, StarPlace};
use crate::rig::{
    Access, AltAzimuth, Axis, Camera, CameraUse, Colour, Dome, Drive, Equatorial, EyeHeight, Eyepiece,
    Instrument, MeridianFlip, Mount, Port, PortId, Rig, Selector, Side, Spectrograph, Telescope,
};
use crate::site::{LightDome, Site, VisitorLines, WeatherLimits};
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// From a lowest to a highest value.
type Range = (f64, f64);

/// A linear congruential generator; the constants are Knuth's MMIX ones.
pub(super) struct Seed(pub(super) u64);

impl Seed {
    /// From 0 to below 1.
    pub(super) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
}

/// What a test's evening stands on, owned.
pub(super) struct Invented {
    site: Site,
    rig: Rig,
    catalogue: Catalogue,
    ephemeris: Ephemeris,
}

impl Invented {
    pub(super) fn new(seed: u64) -> Self {
        let pack = include_bytes!("../../../assets/ephemeris/planets.pack");
        let ephemeris = Ephemeris::from_bytes(pack).expect("the embedded pack is whole");
        Self { site: site(), rig: rig(), catalogue: catalogue(&mut Seed(seed)), ephemeris }
    }

    pub(super) fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    pub(super) fn set_sun_exclusion(&mut self, sun_exclusion: Angle) {
        self.site.sun_exclusion = sun_exclusion;
    }

    pub(super) fn set_cable_wrap(&mut self, ends: (Angle, Angle)) {
        let Drive::AltAzimuth(drive) = &mut self.rig.mount.drive else {
            panic!("the invented mount is alt-azimuth")
        };
        drive.cable_wrap = ends;
    }

    /// Puts everything on an equatorial mount that flips.
    pub(super) fn set_equatorial(&mut self, flip: MeridianFlip) {
        let axis = Axis { rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0 };
        self.rig.mount.drive = Drive::Equatorial(Equatorial {
            pole_keyhole_radius: degrees(2.0),
            hour_angle: axis,
            declination: axis,
            flip: Some(flip),
        });
    }

    /// Says how high the eyepiece stands, and the step before it.
    pub(super) fn set_eye_height(&mut self, height_mm: f64, step_mm: Option<f64>) {
        let port = self.rig.ports.iter_mut().find(|port| port.is_eyepiece()).expect("there is an eyepiece");
        port.access = Some(Access { height: EyeHeight::Constant(height_mm), step_mm });
    }

    pub(super) fn set_park_closes(&mut self, time: NaiveTime) {
        self.site.park_closes = Some(time);
    }

    pub(super) fn set_latitude(&mut self, latitude: Angle) {
        self.site.place.latitude = latitude;
    }

    pub(super) fn prepare(&self, evening: &Evening) -> Prepared {
        prepare(evening, &self.materials()).expect("the evening can be prepared")
    }
}

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn share(value: f64) -> Fraction {
    Fraction::new(value).expect("a share")
}

fn site() -> Site {
    let profile = [(0.0, 6.0), (60.0, 9.0), (120.0, 4.0), (200.0, 5.0), (250.0, 14.0), (300.0, 8.0)];
    Site {
        name: "Invented hill".to_owned(),
        place: GeodeticPlace { latitude: degrees(55.1), longitude: degrees(-2.5), height_m: 260.0 },
        zone: London,
        horizon: Horizon::from_corners(profile.map(|(az, alt)| (degrees(az), degrees(alt))))
            .expect("a profile"),
        zenith_brightness: SurfaceBrightness(21.4),
        light_domes: vec![LightDome {
            azimuth: degrees(150.0),
            half_width: degrees(35.0),
            brightening_mag: 1.2,
        }],
        extinction_mag: 0.18,
        seeing: Angle::from_arcseconds(2.2),
        air: Air { pressure_hpa: 980.0, temperature_c: 5.0 },
        sun_exclusion: degrees(30.0),
        park_closes: NaiveTime::from_hms_opt(23, 30, 0),
        weather: WeatherLimits { wind_km_h: 40.0, humidity_percent: 92.0, cloud_percent: 60.0 },
        plan: Vec::new(),
        cautions: Vec::new(),
        visitors: VisitorLines::default(),
    }
}

fn port(id: &str, side: Side, instrument: Instrument) -> Port {
    Port {
        id: PortId(id.to_owned()),
        name: id.to_owned(),
        side,
        derotator: true,
        rotator: None,
        on_equatorial: false,
        access: None,
        focus_offset_steps: None,
        instrument,
    }
}

fn camera(purpose: CameraUse, sensor_mm: (f64, f64), pixel_um: f64) -> Instrument {
    Instrument::Camera(Camera {
        purpose,
        sensor_mm,
        pixel_um,
        binning: 1,
        focal_factor: 1.0,
        colour: Colour::OneShotColour,
        quantum_efficiency: share(0.8),
        read_noise_e: 1.8,
        full_well_e: 50_000.0,
        turned: Angle::ZERO,
    })
}

fn rig() -> Rig {
    let eyepiece = |name: &str, focal_length_mm, apparent_deg, field_stop_mm| Eyepiece {
        name: name.to_owned(),
        focal_length_mm,
        apparent_field: degrees(apparent_deg),
        field_stop_mm,
        barrel_mm: 50.8,
        eye_relief_mm: None,
    };
    let axis = |rate_deg_per_s, acceleration_deg_per_s2| Axis { rate_deg_per_s, acceleration_deg_per_s2 };
    Rig {
        name: "Invented rig".to_owned(),
        telescope: Telescope {
            aperture_mm: 600.0,
            focal_length_mm: 4200.0,
            obstruction: share(0.4),
            throughput: share(0.75),
        },
        mount: Mount {
            lowest_altitude: degrees(15.0),
            highest_altitude: degrees(88.0),
            settle_s: 4.0,
            drive: Drive::AltAzimuth(AltAzimuth {
                keyhole_radius: degrees(4.0),
                azimuth: axis(3.0, 1.0),
                altitude: axis(2.5, 1.0),
                cable_wrap: (degrees(-270.0), degrees(270.0)),
            }),
        },
        dome: Some(Dome {
            radius_m: 2.6,
            slit_width_m: 1.1,
            offset_m: [0.0, 0.0, 0.1],
            rotation: axis(3.0, 1.0),
        }),
        selector: Selector { change_s: 12.0, refocus_s: 15.0, pairs: Vec::new() },
        ports: vec![
            port("wide", Side::NasmythLeft, camera(CameraUse::DeepSky, (36.0, 24.0), 3.76)),
            port("planetary", Side::NasmythRight, camera(CameraUse::Planetary, (11.2, 6.3), 2.9)),
            port(
                "eyepiece",
                Side::NasmythRight,
                Instrument::Eyepieces(vec![
                    eyepiece("40 mm", 40.0, 68.0, Some(46.0)),
                    eyepiece("24 mm", 24.0, 68.0, Some(27.0)),
                    eyepiece("17 mm", 17.0, 82.0, None),
                ]),
            ),
            port(
                "spectrograph",
                Side::NasmythLeft,
                Instrument::Spectrograph(Spectrograph {
                    slit_um: 40.0,
                    slit_length_um: 4000.0,
                    resolving_power: 900.0,
                    limiting_magnitude: Magnitude(6.0),
                }),
            ),
        ],
        guider: None,
    }
}

fn target(id: String, kind: Kind, source: Source, appeal: f64) -> Target {
    Target {
        name: id.clone(),
        id: TargetId(id),
        other_names: Vec::new(),
        kind,
        source,
        size: None,
        position_angle: None,
        magnitude: None,
        surface_brightness: None,
        core: None,
        double: None,
        feature: None,
        spectral_type: None,
        appeal: share(appeal),
        given_public: None,
        words: Words::default(),
        notes: TargetNotes::default(),
    }
}

fn catalogue(seed: &mut Seed) -> Catalogue {
    let bodies = [
        (Body::Moon, Kind::Moon, 1.0),
        (Body::Mercury, Kind::Planet, 0.5),
        (Body::Venus, Kind::Planet, 0.85),
        (Body::Mars, Kind::Planet, 0.8),
        (Body::Jupiter, Kind::Planet, 0.98),
        (Body::Saturn, Kind::Planet, 1.0),
        (Body::Uranus, Kind::Planet, 0.45),
        (Body::Neptune, Kind::Planet, 0.4),
    ];
    let mut targets: Vec<Target> = bodies
        .into_iter()
        .map(|(body, kind, appeal)| target(body.name().to_lowercase(), kind, Source::Body(body), appeal))
        .collect();
    // Kind, range of size in arcminutes, range of magnitude.
    let kinds: [(Kind, Range, Range); 7] = [
        (Kind::DoubleStar, (0.0, 0.0), (3.0, 7.0)),
        (Kind::Star, (0.0, 0.0), (1.0, 6.5)),
        (Kind::OpenCluster, (5.0, 60.0), (3.5, 8.5)),
        (Kind::GlobularCluster, (3.0, 20.0), (5.5, 9.5)),
        (Kind::PlanetaryNebula, (0.3, 6.0), (7.5, 11.5)),
        (Kind::Nebula, (5.0, 120.0), (4.0, 9.0)),
        (Kind::Galaxy, (2.0, 60.0), (6.5, 12.0)),
    ];
    for number in 0..112 {
        let (kind, size, magnitude) = kinds[number % kinds.len()];
        let place = StarPlace::fixed(
            degrees(seed.between(0.0, 360.0)),
            Angle::from_radians(seed.between(-0.5, 1.0).asin()),
        );
        let mut invented =
            target(format!("invented-{number}"), kind, Source::Star(place), seed.between(0.2, 0.95));
        let bright = Magnitude(seed.between(magnitude.0, magnitude.1));
        invented.magnitude = Some(bright);
        if size.1 > 0.0 {
            let long = Angle::from_arcminutes(size.0 * (size.1 / size.0).powf(seed.share()));
            let short = long * seed.between(0.5, 1.0);
            invented.size = Some((long, short));
            invented.surface_brightness = Some(SurfaceBrightness::mean(bright, long, short));
        }
        if kind == Kind::DoubleStar {
            invented.double = Some(Double {
                separation: Angle::from_arcseconds(seed.between(1.5, 40.0)),
                position_angle: degrees(seed.between(0.0, 360.0)),
                magnitudes: (bright, Magnitude(bright.0 + seed.between(0.0, 3.0))),
                colours: "gold and blue".to_owned(),
            });
        }
        targets.push(invented);
    }
    let zenith = StarPlace::fixed(degrees(117.0), degrees(55.1));
    let mut overhead = target("overhead".to_owned(), Kind::Star, Source::Star(zenith), 0.3);
    overhead.magnitude = Some(Magnitude(3.0));
    targets.push(overhead);
    Catalogue { name: "Invented".to_owned(), targets, ..Catalogue::default() }
}

fn clock(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).expect("a clock time")
}

/// The evening of Saturday 13 March 2027, 19:00 to 22:30, for forty visitors, with a welcome and an interval.
pub(super) fn march_evening() -> Evening {
    let entry = |title: &str, kind, start, minutes| FixedEntry {
        title: title.to_owned(),
        kind,
        start,
        minutes,
        cue: "Mind the step.".to_owned(),
    };
    Evening {
        title: "Invented evening".to_owned(),
        date: NaiveDate::from_ymd_opt(2027, 3, 13).expect("a date"),
        site_file: String::new(),
        rig_file: String::new(),
        catalogue_file: String::new(),
        house: House {
            visitors: 40,
            children: 12,
            seated: 1,
            seconds_a_look: 40.0,
            skip_percent: 20.0,
            screen_minutes: 6.0,
            seconds_by_kind: Vec::new(),
            arrivals: Vec::new(),
            leaving: None,
        },
        programme: Programme {
            doors_open: clock(19, 0),
            doors_close: clock(22, 30),
            fixed: vec![
                entry("Welcome", EntryKind::Welcome, clock(19, 0), 15.0),
                entry("Interval", EntryKind::Interval, clock(20, 45), 15.0),
            ],
            slack_percent: 12.0,
        },
        wishes: Wishes::default(),
        rules: OrderRules::default(),
        call: Call::default(),
        next_dates: Vec::new(),
        orientation: EarthOrientation::default(),
        order: RunningOrder::default(),
        version: String::new(),
        versions: Vec::new(),
        shown: Vec::new(),
    }
}

/// An evening from a seed: any date of a decade, any house, any doors after five in the afternoon; on every third a part
/// of the sky is closed for a while or all night.
pub(super) fn any_evening(seed: &mut Seed) -> Evening {
    let mut evening = march_evening();
    let first = NaiveDate::from_ymd_opt(2025, 1, 1).expect("a date");
    let days = Days::new(seed.between(0.0, 3650.0) as u64);
    evening.date = first.checked_add_days(days).expect("a date");
    evening.house.visitors = seed.between(1.0, 150.0) as u32;
    evening.house.children = seed.between(0.0, 60.0) as u32;
    evening.house.seated = seed.between(0.0, 5.0) as u32;
    let opens = seed.between(17.0, 22.0);
    // Before one o'clock, when the clocks may jump an hour.
    let closes = (opens + seed.between(1.0, 6.0)).min(24.9) % 24.0;
    let to_clock = |hours: f64| clock(hours as u32, (hours.fract() * 60.0) as u32);
    evening.programme.doors_open = to_clock(opens);
    evening.programme.doors_close = to_clock(closes);
    evening.programme.fixed[0].start = to_clock(opens);
    evening.programme.fixed[1].start = to_clock((opens + seed.between(0.5, 3.0)) % 24.0);
    evening.programme.slack_percent = seed.between(0.0, 25.0);
    if seed.between(0.0, 3.0) < 1.0 {
        let from = seed.between(0.0, 360.0);
        let [from, to] = [from, from + seed.between(10.0, 200.0)].map(Angle::from_degrees);
        let since = (seed.between(0.0, 2.0) < 1.0).then(|| to_clock(opens + seed.between(0.0, 1.0)));
        evening.wishes.closed_sky.push(ClosedSky::new(from, to, since, None));
    }
    evening
}
