//! What the rig must do, one test a capability, on a made-up 600 mm f/7 telescope at latitude 38 north,
//! longitude 109 west. Values were computed apart from this project from the formulas beside the code, unless a line says
//! otherwise.

use chrono::{DateTime, NaiveDate, NaiveTime};
use evenfall_core::catalogue::{Catalogue, read_catalogue};
use evenfall_core::document::read_evening;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::{Held, Materials, Rule, RunningOrder, Show, Stop, StopId, What, check, prepare};
use evenfall_core::rig::{
    Axis, PortId, Rig, Side, axis_seconds, dome_azimuth, field_rotation_arcsec_per_s, fields_of_port,
    longest_frame_s, read_rig,
};
use evenfall_core::site::{Site, read_site};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn rig() -> Rig {
    read_rig("rig", include_str!("../../catalog-demo/heron-fell.rig.ron")).expect("the demo's rig reads")
}

/// The demo's site, moved.
fn site() -> Site {
    let text = include_str!("../../catalog-demo/heron-fell.site.ron")
        .replace("latitude_deg: 55.1", "latitude_deg: 38.0")
        .replace("longitude_deg: -2.5", "longitude_deg: -109.0")
        .replace("elevation_m: 260.0", "elevation_m: 1800.0")
        .replace("Europe/London", "America/Denver");
    read_site("site", &text).expect("the moved site reads")
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

#[test]
fn row_7_a_slew_of_half_a_turn_takes_92_seconds() {
    let axis = Axis { rate_deg_per_s: 2.0, acceleration_deg_per_s2: 1.0 };
    assert!((axis_seconds(axis, degrees(180.0)) - 92.0).abs() < 1e-9);
}

#[test]
fn row_8_left_and_right_port_turn_at_their_own_pace() {
    // Latitude 38, two hours past the meridian at declination 20.
    let rate =
        |side| field_rotation_arcsec_per_s(side, degrees(38.0), degrees(243.7691), degrees(58.4135)).abs();
    assert!((rate(Side::NasmythLeft) - 20.6).abs() < 0.05);
    assert!((rate(Side::NasmythRight) - 0.6).abs() < 0.05);
}

#[test]
fn row_11_the_eyepiece_box_tells_magnification_exit_pupil_and_field() {
    let rig = rig();
    let fields = fields_of_port(&rig.telescope, rig.port(&PortId("eyepiece".into())).expect("it has one"));
    let view = fields[0].eyepiece.as_ref().expect("an eyepiece");
    assert!((view.magnification - 120.0).abs() < 0.05 && (view.exit_pupil_mm - 5.0).abs() < 0.005);
    assert!((view.true_field.arcminutes() - 31.7).abs() < 0.05);
}

#[test]
fn row_12_the_longest_frame_before_the_corner_trails() {
    let rate = field_rotation_arcsec_per_s(Side::Cassegrain, degrees(38.0), degrees(180.0), degrees(62.0));
    let pixel = Angle::from_arcseconds(0.2947);
    let seconds = longest_frame_s(rate, pixel * 3606.0, pixel).expect("the field turns");
    assert!((seconds - 2.3).abs() < 0.05, "got {seconds}");
}

#[test]
fn row_13_the_keyhole_is_guarded_over_the_whole_stop() {
    let (site, rig) = (site(), rig());
    // Right ascension 16 h 41 m 41.6 s; transits at 20:53:05 at a zenith distance of 1.54 degrees.
    let catalogue = catalogue(
        "kind: GlobularCluster, ra_deg: 250.4233, dec_deg: 36.4613, size_arcmin: (15.0, 15.0), magnitude: 5.8",
    );
    let ephemeris = Ephemeris::from_bytes(include_bytes!("../../assets/ephemeris/planets.pack"))
        .expect("the embedded pack is whole");
    let materials = Materials { site: &site, rig: &rig, catalogue: &catalogue, ephemeris: &ephemeris };
    let mut evening = read_evening("evening", include_str!("../../catalog-demo/heron-fell.evening.ron"))
        .expect("the demo's evening reads");
    evening.date = NaiveDate::from_ymd_opt(2027, 8, 7).expect("a date");
    evening.programme.fixed.clear();
    evening.programme.doors_open = NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
    evening.programme.doors_close = NaiveTime::from_hms_opt(23, 0, 0).expect("a time");
    let prepared = prepare(&evening, &materials).expect("the evening can be prepared");
    let guarded = |start: &str, end: &str| {
        let at = |clock: &str| {
            let text = format!("2027-08-07T{clock}:00-06:00");
            Instant::from_utc(DateTime::parse_from_rfc3339(&text).expect("a time").to_utc())
        };
        let show = Show {
            target: catalogue.targets[0].id.clone(),
            port: PortId("eyepiece".into()),
            eyepiece: None,
            understudy: None,
        };
        let interval = Interval::new(at(start), at(end)).expect("in order");
        let stop = Stop { id: StopId(1), what: What::Show(show), interval, held: Held::default() };
        let mut evening = evening.clone();
        evening.order = RunningOrder::new(vec![stop]);
        let findings = check(&evening, &prepared, &materials);
        findings.iter().any(|finding| matches!(finding.rule, Rule::InKeyhole { .. }))
    };
    assert!(guarded("20:43", "21:03") && !guarded("22:00", "22:20"));
}

#[test]
fn row_14_the_slit_stands_where_the_telescope_looks_out() {
    let mut dome = rig().dome.expect("the demo has a dome");
    (dome.radius_m, dome.offset_m) = (3.0, [0.0, 0.2, 0.0]);
    let azimuth = dome_azimuth(&dome, degrees(90.0), degrees(60.0));
    assert!((azimuth.degrees() - 82.4).abs() < 0.05, "got {}", azimuth.degrees());
}
