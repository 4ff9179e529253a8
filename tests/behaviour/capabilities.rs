//! What rig, ports and light must do, one test a capability, on a made-up 600 mm f/7 telescope at latitude 38 north,
//! longitude 109 west. Values were computed apart from this project from the formulas beside the code, unless a line says
//! otherwise.

use evenfall_core::assign::{Bearing, Fit, PortChoice, Reason, Showing, rank_ports};
use evenfall_core::catalogue::{Catalogue, Target, read_catalogue};
use evenfall_core::ephemeris::Appearance;
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::sky::{moonlight_nl, twilight_nl};
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn rig() -> Rig {
    read_rig("rig", include_str!("../../catalog-demo/heron-fell.rig.ron")).expect("the demo's rig reads")
}

/// A catalogue of one target.
fn catalogue(keys: &str) -> Catalogue {
    let text = format!(
        "(format: \"evenfall-catalogue/1\", name: \"One\", targets: [(id: \"one\", name: \"One\", appeal: 1.0, \
         line: \"A line.\", comparison: \"Far.\", look_for: \"It.\", cue: \"Look.\", {keys})])"
    );
    let (catalogue, faults) = read_catalogue("one", &text);
    assert_eq!(catalogue.targets.len(), 1, "{faults:?}");
    catalogue
}

fn target(keys: &str) -> Target {
    catalogue(keys).targets.swap_remove(0)
}

fn under(sky: f64) -> Showing {
    Showing {
        sky: SurfaceBrightness(sky),
        airmass: 1.0,
        extinction_mag: 0.2,
        seeing: Angle::from_arcseconds(2.0),
        pressure_hpa: 820.0,
        bearing: Bearing { latitude: degrees(38.0), azimuth: degrees(180.0), altitude: degrees(62.0) },
        appearance: None,
    }
}

fn body(diameter: Angle, magnitude: f64) -> Showing {
    let appearance = Appearance {
        diameter,
        phase_angle: None,
        illuminated: Some(Fraction::clamped(0.9)),
        magnitude: Some(Magnitude(magnitude)),
    };
    Showing { appearance: Some(appearance), ..under(20.5) }
}

fn ranked(keys: &str, showing: &Showing) -> Vec<PortChoice> {
    rank_ports(&target(keys), &rig(), showing, &[])
}

fn on<'c>(choices: &'c [PortChoice], port: &str) -> &'c PortChoice {
    choices.iter().find(|choice| choice.port.0 == port).expect("the rig has this port")
}

#[test]
fn row_9_each_target_finds_its_port_with_a_reason() {
    let ring = ranked(
        "kind: PlanetaryNebula, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (1.4, 1.1), magnitude: 8.8",
        &under(20.5),
    );
    assert!(ring[0].port.0 == "eyepiece" && on(&ring, "wide").view.value() > 0.3);
    let moon = ranked("kind: Moon, body: Moon", &body(Angle::from_arcminutes(31.0), -12.0));
    let wide = on(&moon, "wide");
    // 31 minutes of arc against the 19.6 of the short side.
    assert!(matches!(wide.fit, Fit::Part { shown } if (shown - 19.64 / 31.0).abs() < 0.001));
    assert!(wide.reasons().any(|reason| matches!(reason, Reason::TooBig { .. })));
    let jupiter = ranked("kind: Planet, body: Jupiter", &body(Angle::from_arcseconds(44.0), -2.4));
    assert!(on(&jupiter, "planetary").view > on(&jupiter, "wide").view);
    assert!(jupiter.iter().all(|choice| choice.reasons().next().is_some()));
}

#[test]
fn row_10_a_galaxy_too_large_proposes_its_core() {
    let keys = "kind: Galaxy, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (177.0, 63.0), magnitude: 3.4, \
                core: (size_arcmin: 5.0, surface_brightness_mag_arcsec2: 17.5)";
    let choices = ranked(keys, &under(21.0));
    assert!(choices[0].reasons().any(|reason| matches!(reason, Reason::CoreFits { .. })), "{choices:?}");
    // Behind a rotator the sensor's 29.47 minutes of arc lie along the 177 of the long axis.
    let Fit::Part { shown } = on(&choices, "wide").fit else { panic!("it can't be whole") };
    assert!((shown - 29.47 / 177.0).abs() < 0.001, "got {shown}");
}

#[test]
fn row_24_sky_light_from_moon_and_twilight() {
    let moon = moonlight_nl(degrees(45.0), degrees(50.0), degrees(70.0), degrees(20.0), 0.15);
    assert!((SurfaceBrightness::from_nanolamberts(moon).0 - 19.855).abs() < 0.0005);
    // Patat et al. 2006: 19.67 at the zenith with the Sun 12 degrees down, the night of its place, 21.6, in it.
    let twilight = twilight_nl(degrees(-12.0), degrees(90.0), Angle::ZERO);
    let with_night = twilight + SurfaceBrightness(21.6).nanolamberts();
    assert!((SurfaceBrightness::from_nanolamberts(with_night).0 - 19.67).abs() < 0.05);
}

#[test]
fn row_25_a_faint_galaxy_is_for_the_screen() {
    // Magnitude 8.36 over 10 by 8 minutes of arc: a surface of 21.75.
    let choices = ranked(
        "kind: Galaxy, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (10.0, 8.0), magnitude: 8.36",
        &under(21.0),
    );
    assert!(matches!(on(&choices, "eyepiece").chain[0].0, Reason::TooFaintForEye { .. }));
    let seconds = on(&choices, "wide").reasons().find_map(|reason| match reason {
        Reason::ScreenShowsIt { seconds } => Some(*seconds),
        _ => None,
    });
    // A few minutes at most (common practice, no source).
    assert!(seconds.is_some_and(|seconds| (10.0..300.0).contains(&seconds)), "{seconds:?}");
    assert_eq!(choices[0].port.0, "wide");
}

#[test]
fn row_51_the_numbers_behind_a_view_multiply_to_it() {
    let choices = ranked("kind: Planet, body: Saturn", &body(Angle::from_arcseconds(18.0), 0.5));
    let best = &choices[0];
    let product: f64 = best.chain.iter().map(|(_, factor)| factor.value()).product();
    assert!(best.chain.len() >= 3 && (product - best.view.value()).abs() < 1e-12);
    assert!(best.chain.windows(2).all(|two| two[0].1 <= two[1].1));
}
