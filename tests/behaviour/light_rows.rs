//! What light and ports must do, one test a capability, on a made-up 600 mm f/7 telescope at latitude 38 north, longitude
//! 109 west. Values were computed apart from this project from the formulas beside the code, unless a line says otherwise.

use chrono::{DateTime, NaiveDate, NaiveTime};
use evenfall_core::assign::{Bearing, Fit, PortChoice, Reason, Showing, rank_ports};
use evenfall_core::catalogue::{Target, TargetId, read_catalogue};
use evenfall_core::ephemeris::Appearance;
use evenfall_core::plan::{AppealChange, draft, moon_feature_to_frame, ports_at, when_better, why_not_now};
use evenfall_core::rig::{PortId, Rig, read_rig};
use evenfall_core::sheet::wording::reason_sentence;
use evenfall_core::sheet::{
    Names, appeal_sentence, factors, numbers_behind, sky_word, why_not_now_sentence, why_not_port,
    why_this_why_now,
};
use evenfall_core::sky::{moonlight_nl, twilight_nl};
use evenfall_core::time::Instant;
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};
use evenfall_tests::park::Park;

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn rig() -> Rig {
    read_rig("rig", include_str!("../../catalog-demo/heron-fell.rig.ron")).expect("the demo's rig reads")
}

/// A catalogue of one target.
fn one(keys: &str) -> String {
    format!(
        "(format: \"evenfall-catalogue/1\", name: \"One\", targets: [(id: \"one\", name: \"One\", appeal: 1.0, \
         line: \"A line.\", comparison: \"Far.\", look_for: \"It.\", cue: \"Look.\", {keys})])"
    )
}

fn target(keys: &str) -> Target {
    let text = one(keys);
    let (mut catalogue, faults) = read_catalogue("one", &text);
    assert_eq!(catalogue.targets.len(), 1, "{faults:?}");
    catalogue.targets.swap_remove(0)
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
        moon_face: None,
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
    let told = wide.reasons().find(|reason| matches!(reason, Reason::TooBig { .. })).map(reason_sentence);
    let told = told.expect("it is too big");
    assert!(told.contains("31′ across") && told.contains("the field shows 20′ of it"), "{told}");
    let jupiter = ranked("kind: Planet, body: Jupiter", &body(Angle::from_arcseconds(44.0), -2.4));
    // By one's own eye a planet is the memory; of the screens the planetary camera's comes first.
    let screens: Vec<&str> =
        jupiter.iter().map(|choice| choice.port.0.as_str()).filter(|port| *port != "eyepiece").collect();
    assert_eq!(screens[..2], ["planetary", "wide"]);
    let closed = [PortId("eyepiece".into())];
    let showing = body(Angle::from_arcseconds(44.0), -2.4);
    let without = rank_ports(&target("kind: Planet, body: Jupiter"), &rig(), &showing, &closed);
    assert_eq!(without[0].port.0, "planetary");
    assert!(jupiter.iter().all(|choice| choice.reasons().next().is_some()));
}

#[test]
fn row_10_a_galaxy_too_large_proposes_its_core() {
    let keys = "kind: Galaxy, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (177.0, 63.0), magnitude: 3.4, \
                core: (size_arcmin: 5.0, surface_brightness_mag_arcsec2: 17.5)";
    let choices = ranked(keys, &under(21.0));
    assert!(choices[0].reasons().any(|reason| matches!(reason, Reason::CoreFits { .. })), "{choices:?}");
    let core = on(&choices, "wide").reasons().find(|reason| matches!(reason, Reason::CoreFits { .. }));
    let told = reason_sentence(core.expect("the core is the thing to frame"));
    assert!(told.contains("core of 5") && told.contains("shows 29′ of the whole"), "{told}");
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

/// Twilight's zenith and the light on the ground below fade together: the illuminance of Janiczek & `DeYoung` 1987, USNO
/// Circular 171, evaluated apart from this code (coefficients from memory; the AMS Glossary has 0.008 lx at 12 degrees),
/// against a fit that was made elsewhere from other measurements, hence within 0.3 magnitudes.
#[test]
fn the_twilight_sky_fades_as_the_ground_does() {
    let magnitude = |sun: f64| {
        SurfaceBrightness::from_nanolamberts(twilight_nl(degrees(sun), degrees(90.0), Angle::ZERO)).0
    };
    let lux = [(0.0, 758.6_f64), (-5.0, 10.4), (-6.0, 3.41), (-12.0, 8.06e-3)];
    for pair in lux.windows(2) {
        let [(from, before), (to, after)] = [pair[0], pair[1]];
        let (sky, ground) = (magnitude(to) - magnitude(from), 2.5 * (before / after).log10());
        assert!((sky - ground).abs() < 0.3, "from {from} to {to}: {sky} against {ground}");
    }
}

#[test]
fn row_25_a_faint_galaxy_is_for_the_screen() {
    // Magnitude 8.36 over 10 by 8 minutes of arc: a surface of 21.75.
    let choices = ranked(
        "kind: Galaxy, ra_deg: 0.0, dec_deg: 0.0, size_arcmin: (10.0, 8.0), magnitude: 8.36",
        &under(21.0),
    );
    let by_eye = &on(&choices, "eyepiece").chain[0].0;
    assert!(matches!(by_eye, Reason::ForTrainedEyes { .. }), "{by_eye:?}");
    assert!(reason_sentence(by_eye).starts_with("Experienced eyes only"));
    // Common practice, no source: after three to five minutes.
    let shows = on(&choices, "wide").reasons().find_map(|reason| match reason {
        Reason::ScreenShowsIt { seconds, clear_s } => Some((*seconds, *clear_s, reason_sentence(reason))),
        _ => None,
    });
    let (seconds, clear_s, sentence) = shows.expect("the screen shows it");
    assert!(seconds < clear_s && (150.0..330.0).contains(&clear_s), "{sentence}");
    assert!(sentence.contains("clearly after ") && sentence.contains(" min"), "{sentence}");
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

#[test]
fn row_10_a_moon_too_large_is_framed_by_a_place_on_it() {
    // The demo evening: the line of sunrise at 14.9 degrees east at 04:00 UT by an independent computation of the libration,
    // and 0.508 degrees an hour further east before, so the Sun stands 8 to 9 degrees over 27 east at 20:30.
    let park = Park::demo();
    let prepared = park.prepared();
    let materials = park.materials();
    let at = prepared.doors.start().plus_minutes(120.0);
    let part = ports_at(&prepared, &materials, park.target("moon"), at);
    assert!(matches!(on(&part, "planetary").fit, Fit::Part { shown } if shown < 0.2));
    let (place, worth) = moon_feature_to_frame(&prepared, &materials, at).expect("a place in its morning");
    assert!(place == park.target("shepherds-wall") && worth.value() > 0.95);
    let framed = ports_at(&prepared, &materials, place, at);
    assert!(matches!(on(&framed, "planetary").fit, Fit::Whole { filled } if filled > 0.2));
    let sun = on(&framed, "planetary").reasons().find_map(|reason| match reason {
        Reason::ShadowsAt { sun_altitude } => Some(sun_altitude.degrees()),
        _ => None,
    });
    assert!(sun.is_some_and(|sun_deg| (7.5..9.0).contains(&sun_deg)), "{sun:?}");
    // What lies in the lunar night is told, not shown.
    let night = why_not_now_sentence(
        &Names::new(&park.evening, &prepared, &materials),
        park.target("lantern-lake"),
        at,
    );
    assert!(night.is_some_and(|sentence| sentence.starts_with("In the lunar night: ")));
}

#[test]
fn row_20_another_appeal_changes_the_order_and_says_so() {
    let mut park = Park::demo();
    let prepared = park.prepared();
    let before = draft(&park.evening, &prepared, &park.materials());
    let id = TargetId("jupiter".into());
    let jupiter = park.target("jupiter");
    let from = std::mem::replace(&mut park.catalogue.targets[jupiter].appeal, Fraction::clamped(0.1));
    let prepared = park.prepared();
    let after = draft(&park.evening, &prepared, &park.materials());
    let change = AppealChange::between(id.clone(), (from, Fraction::clamped(0.1)), &before, &after);
    assert!(change.difference.went.contains(&id), "{change:?}");
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let sentence = appeal_sentence(&names, &change);
    assert!(
        sentence.starts_with("Appeal of Jupiter from 98% to 10% changes the running order: "),
        "{sentence}"
    );
}

#[test]
fn row_24_a_sky_is_told_in_plain_words() {
    // Country, the sky of the published moonlight, of a full Moon near by, of nautical dusk's end and of civil dusk's.
    let words = [21.5, 19.855, 18.2, 16.0, 13.3].map(|sky| sky_word(SurfaceBrightness(sky)));
    for (index, word) in words.iter().enumerate() {
        assert!(!word.is_empty() && !words[..index].contains(word), "{words:?}");
    }
    assert!(words[2].contains("Moon") && words[4].contains("dusk"), "{words:?}");
}

#[test]
fn row_49_every_stop_says_why_this_and_why_now() {
    let mut park = Park::demo();
    let prepared = park.prepared();
    park.evening.order = draft(&park.evening, &prepared, &park.materials());
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let mut told = 0;
    for stop in park.evening.order.stops() {
        let Some(show) = stop.show() else { continue };
        let sentence = why_this_why_now(&names, stop).expect("a sentence");
        let middle = stop.start().plus_minutes(stop.interval.minutes() / 2.0);
        let altitude = prepared.sample(park.target(&show.target.0), middle).expect("a sample").altitude;
        // Altitude, light, port, people.
        let port = park.rig.port(&show.port).expect("a port").name.to_lowercase();
        let parts = [
            format!("{:.0}° up", altitude.degrees()),
            "against a sky that is".into(),
            port,
            "visitors".into(),
        ];
        assert!(parts.iter().all(|part| sentence.contains(part)), "{sentence}");
        told += 1;
    }
    assert!(told >= 5, "{told}");
}

#[test]
fn row_50_a_low_galaxy_says_how_low_and_when_it_is_better() {
    // A large galaxy's place and size. Its airless altitude at 21:00 on that evening is 7.12 degrees by a published
    // library with DE440; refraction adds a tenth.
    let mut park = Park::moved(&one(
        "kind: Galaxy, ra_deg: 10.6847, dec_deg: 41.269, size_arcmin: (177.0, 63.0), magnitude: 3.4, \
         core: (size_arcmin: 5.0, surface_brightness_mag_arcsec2: 17.5)",
    ));
    park.evening.date = NaiveDate::from_ymd_opt(2027, 8, 7).expect("a date");
    park.evening.programme.fixed.clear();
    park.evening.programme.doors_open = NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    park.evening.programme.doors_close = NaiveTime::from_hms_opt(0, 30, 0).expect("a time");
    let prepared = park.prepared();
    let at = DateTime::parse_from_rfc3339("2027-08-07T21:00:00-06:00").expect("a time").to_utc();
    let at = Instant::from_utc(at);
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let sentence = why_not_now_sentence(&names, 0, at);
    assert_eq!(sentence.as_deref(), Some("Only 7° up; 30° up from about 23:30 MDT"));
    assert!(why_not_now(&prepared, &materials, 0, at).is_some());
    let better = when_better(&prepared, &materials, 0, at).expect("it climbs");
    assert!(better.well_up && better.altitude >= degrees(30.0) && better.view > Fraction::ZERO);
    // Nothing speaks against it once it is there, and every other port says why not that one.
    assert_eq!(why_not_now(&prepared, &materials, 0, better.from.plus_minutes(20.0)), None);
    for choice in &ports_at(&prepared, &materials, 0, better.from)[1..] {
        assert!(why_not_port(choice).is_some(), "{choice:?}");
    }
}

#[test]
fn row_51_every_factor_names_its_formula_and_source_and_the_moonlight_its_terms() {
    let park = Park::demo();
    let prepared = park.prepared();
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let at = prepared.doors.start().plus_minutes(120.0);
    let numbers = numbers_behind(&names, park.target("mars"), &PortId("eyepiece".into()), at);
    for term in ["I*", "f(ρ)", "phase angle", "X(Zm)", "X(Z)", "ΔV"] {
        let found = numbers.iter().find(|number| number.what.to_lowercase().contains(&term.to_lowercase()));
        let number = found.unwrap_or_else(|| panic!("no {term} in {numbers:?}"));
        assert!(number.formula.source.contains("Krisciunas & Schaefer 1991"), "{number:?}");
    }
    for (index, _) in park.catalogue.targets.iter().enumerate() {
        for choice in ports_at(&prepared, &materials, index, at) {
            for factor in factors(&choice) {
                assert!(!factor.formula.name.is_empty() && !factor.formula.source.is_empty(), "{factor:?}");
            }
        }
    }
}
