//! Against the practice of public nights: through which port each class of target is shown, from which depression of the
//! Sun on, and under how much Moon. Common practice, no source: a table of defaults as public nights keep them. The bands
//! say how far physics may stand from it.

use evenfall_core::assign::{Bearing, Showing, rank_ports};
use evenfall_core::catalogue::{Target, read_catalogue};
use evenfall_core::ephemeris::Appearance;
use evenfall_core::rig::read_rig;
use evenfall_core::sky::{moonlight_nl, twilight_nl};
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// Extinction, and the dark sky of a good country park.
const K: f64 = 0.2;
const DARK: SurfaceBrightness = SurfaceBrightness(21.3);
/// The view from which a target is worth a stop.
const SHOWS: f64 = 0.3;

/// One class: what it is like, and what practice says of it.
struct Class {
    name: &'static str,
    keys: &'static str,
    /// Diameter in arcseconds, magnitude and lit share, for a body.
    looks: Option<(f64, f64, f64)>,
    ports: &'static [&'static str],
    sun_deg: (f64, f64),
}

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn target(keys: &str) -> Target {
    let text = format!(
        "(format: \"evenfall-catalogue/1\", name: \"One\", targets: [(id: \"one\", name: \"One\", appeal: 1.0, \
         line: \"A line.\", comparison: \"Far.\", look_for: \"It.\", cue: \"Look.\", {keys})])"
    );
    let (mut catalogue, faults) = read_catalogue("one", &text);
    assert_eq!(faults, []);
    catalogue.targets.remove(0)
}

/// The sky at 45 degrees, south, the Sun in the west, the Moon so many degrees away and 40 high.
fn sky(sun_deg: f64, moon: Option<(f64, f64)>) -> SurfaceBrightness {
    let altitude = degrees(45.0);
    let moon_nl = moon.map_or(0.0, |(phase_deg, separation_deg)| {
        moonlight_nl(degrees(phase_deg), degrees(separation_deg), degrees(50.0), degrees(45.0), K)
    });
    let twilight = twilight_nl(degrees(sun_deg), altitude, degrees(-90.0));
    SurfaceBrightness::from_nanolamberts(DARK.nanolamberts() * 1.2 + twilight + moon_nl)
}

/// The best port and its view.
fn best(class: &Class, sky: SurfaceBrightness) -> (String, f64) {
    let rig = read_rig("rig", include_str!("../../catalog-demo/heron-fell.rig.ron")).expect("the rig reads");
    let showing = Showing {
        sky,
        airmass: 1.41,
        extinction_mag: K,
        seeing: Angle::from_arcseconds(2.0),
        pressure_hpa: 980.0,
        bearing: Bearing { latitude: degrees(50.0), azimuth: degrees(180.0), altitude: degrees(45.0) },
        appearance: class.looks.map(|(arcsec, magnitude, lit)| Appearance {
            diameter: Angle::from_arcseconds(arcsec),
            phase_angle: None,
            illuminated: Some(Fraction::clamped(lit)),
            magnitude: Some(Magnitude(magnitude)),
        }),
        moon_face: None,
    };
    let choices = rank_ports(&target(class.keys), &rig, &showing, &[]);
    (choices[0].port.0.clone(), choices[0].view.value())
}

const fn class(
    name: &'static str,
    keys: &'static str,
    looks: Option<(f64, f64, f64)>,
    ports: &'static [&'static str],
    sun_deg: (f64, f64),
) -> Class {
    Class { name, keys, looks, ports, sun_deg }
}

/// The classes, each by an ordinary member. The outermost planets are left out: practice shows their dot of colour, which
/// counts as hard to show here, as no detail is seen.
const CLASSES: [Class; 12] = [
    class("Moon", "kind: Moon, body: Moon", Some((1860.0, -10.0, 0.5)), &["eyepiece"], (-1.0, -1.0)),
    class(
        "Venus",
        "kind: Planet, body: Venus",
        Some((20.0, -4.2, 0.6)),
        &["eyepiece", "planetary"],
        (-3.0, -1.0),
    ),
    class(
        "Jupiter",
        "kind: Planet, body: Jupiter",
        Some((44.0, -2.4, 1.0)),
        &["eyepiece", "planetary"],
        (-6.0, -4.0),
    ),
    class(
        "Saturn",
        "kind: Planet, body: Saturn",
        Some((18.5, 0.5, 1.0)),
        &["eyepiece", "planetary"],
        (-6.0, -4.0),
    ),
    class(
        "Mars",
        "kind: Planet, body: Mars",
        Some((14.0, -1.0, 1.0)),
        &["eyepiece", "planetary"],
        (-6.0, -4.0),
    ),
    class(
        "bright double",
        "kind: DoubleStar, ra_deg: 0.0, dec_deg: 0.0, double: (separation_arcsec: 15.0, position_angle_deg: 0.0, \
         magnitudes: (3.0, 5.0), colours: \"gold and blue\")",
        None,
        &["eyepiece"],
        (-8.0, -6.0),
    ),
    class(
        "open cluster",
        "kind: OpenCluster, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (15.0, 15.0), magnitude: 6.0",
        None,
        &["eyepiece"],
        (-10.0, -10.0),
    ),
    class(
        "globular",
        "kind: GlobularCluster, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (15.0, 15.0), magnitude: 5.8",
        None,
        &["eyepiece"],
        (-12.0, -12.0),
    ),
    class(
        "planetary nebula",
        "kind: PlanetaryNebula, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (1.4, 1.1), magnitude: 8.8",
        None,
        &["eyepiece", "wide"],
        (-12.0, -12.0),
    ),
    class(
        "emission nebula",
        "kind: Nebula, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (18.0, 14.0), magnitude: 7.0",
        None,
        &["wide"],
        (-15.0, -15.0),
    ),
    class(
        "galaxy",
        "kind: Galaxy, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (10.0, 8.0), magnitude: 8.4",
        None,
        &["wide"],
        (-18.0, -15.0),
    ),
    class(
        "spectrum of a bright star",
        "kind: Star, ra_deg: 0.0, dec_deg: 0.0, magnitude: 2.0, spectral_type: \"A0\"",
        None,
        &["spectrograph"],
        (-8.0, -8.0),
    ),
];

/// Half of the view under a dark sky is there when practice begins at the latest, and at most so many degrees of the Sun
/// earlier: practice waits for the eye, for the crowd and for a pretty sky, physics only for contrast.
const EARLIER_DEG: f64 = 4.0;
/// Points of light stand out from a bright sky in a large telescope, even by day; practice waits until they can be found.
const POINTS: [&str; 3] = ["bright double", "open cluster", "spectrum of a bright star"];

#[test]
fn each_class_has_the_port_and_the_twilight_of_practice() {
    for class in &CLASSES {
        let (port, dark) = best(class, sky(-20.0, None));
        assert!(class.ports.contains(&port.as_str()) && dark >= SHOWS, "{}: {port} {dark}", class.name);
        let (deepest, first) = class.sun_deg;
        let (_, by_then) = best(class, sky(deepest, None));
        assert!(by_then >= 0.5 * dark, "{} with the Sun at {deepest}: {by_then} of {dark}", class.name);
        let too_early = first + EARLIER_DEG;
        if !POINTS.contains(&class.name) && too_early < 0.0 {
            let (_, early) = best(class, sky(too_early, None));
            assert!(early <= 0.5 * dark, "{} with the Sun at {too_early}: {early} of {dark}", class.name);
        }
    }
}

#[test]
fn each_class_bears_the_moon_that_practice_gives_it() {
    // The most Moon by its phase angle (0 at full), 60 degrees away, and what no longer goes.
    for (name, bears_phase_deg, not_phase_deg) in [
        ("Jupiter", 0.0, None),
        ("Saturn", 0.0, None),
        ("bright double", 0.0, None),
        ("open cluster", 45.0, None),
        ("globular", 90.0, None),
        ("planetary nebula", 90.0, None),
        ("emission nebula", 135.0, Some(45.0)),
        // Less than a quarter lit: 120 degrees.
        ("galaxy", 120.0, Some(45.0)),
        ("spectrum of a bright star", 0.0, None),
    ] {
        let class = CLASSES.iter().find(|class| class.name == name).expect("a class");
        let (_, dark) = best(class, sky(-20.0, None));
        let under = |phase_deg: f64| best(class, sky(-20.0, Some((phase_deg, 60.0)))).1;
        assert!(under(bears_phase_deg) >= 0.8 * dark, "{name}: {} of {dark}", under(bears_phase_deg));
        if let Some(phase_deg) = not_phase_deg {
            assert!(under(phase_deg) <= 0.3 * dark, "{name}: {} of {dark}", under(phase_deg));
        }
    }
}
