//! What the rig must do, one test a capability, on a made-up 600 mm f/7 telescope at latitude 38 north, longitude 109
//! west. Values were computed apart from this project from the formulas beside the code, unless a line says otherwise.

use chrono::{DateTime, NaiveDate, NaiveTime};
use evenfall_core::catalogue::{Catalogue, read_catalogue};
use evenfall_core::document::read_evening;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::place::Turning;
use evenfall_core::plan::{
    Evening, Finding, Held, Materials, Prepared, Rule, RunningOrder, Severity, Show, Stop, StopId, What,
    check, prepare,
};
use evenfall_core::rig::{
    Aim, Guider, GuiderAdvice, Pointing, Port, PortId, Rig, Side, dome_azimuth, field_rotation_arcsec_per_s,
    fields_of_port, guider_advice, line_through, longest_frames, move_between, read_rig,
};
use evenfall_core::sheet::rig_words::{eye_height_sentence, guider_sentence, turning_sentence};
use evenfall_core::sheet::{Names, finding_sentence};
use evenfall_core::site::{Site, read_site};
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::{Angle, Magnitude};

const DEMO: &str = include_str!("../../catalog-demo/heron-fell.rig.ron");

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn rig() -> Rig {
    read_rig("rig", DEMO).expect("the demo's rig reads")
}

/// The demo's rig file with something in it replaced.
fn changed(from: &str, to: &str) -> String {
    assert!(DEMO.contains(from), "{from}");
    DEMO.replacen(from, to, 1)
}

/// The port of the demo's wide camera on a side, its rotator taken off.
fn bare_wide_port(side: &str) -> Port {
    let text = changed("side: NasmythLeft, derotator: true", &format!("side: {side}, derotator: false"));
    read_rig("rig", &text).expect("it reads").ports.swap_remove(0)
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

/// What a star party on 7 August 2027 stands on: right ascension 16 h 41 m 41.6 s, transit at 20:53:05 at a zenith
/// distance of 1.54 degrees.
struct August {
    site: Site,
    rig: Rig,
    catalogue: Catalogue,
    ephemeris: Ephemeris,
    evening: Evening,
}

impl August {
    fn new(rig: Rig) -> Self {
        let mut evening = read_evening("evening", include_str!("../../catalog-demo/heron-fell.evening.ron"))
            .expect("the demo's evening reads");
        evening.date = NaiveDate::from_ymd_opt(2027, 8, 7).expect("a date");
        evening.programme.fixed.clear();
        evening.programme.doors_open = NaiveTime::from_hms_opt(20, 30, 0).expect("a time");
        evening.programme.doors_close = NaiveTime::from_hms_opt(23, 0, 0).expect("a time");
        let catalogue = catalogue(
            "kind: GlobularCluster, ra_deg: 250.4233, dec_deg: 36.4613, size_arcmin: (15.0, 15.0), magnitude: 5.8",
        );
        let pack = include_bytes!("../../assets/ephemeris/planets.pack");
        let ephemeris = Ephemeris::from_bytes(pack).expect("the embedded pack is whole");
        Self { site: site(), rig, catalogue, ephemeris, evening }
    }

    fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    fn prepared(&self) -> Prepared {
        prepare(&self.evening, &self.materials()).expect("the evening can be prepared")
    }

    /// The evening with its one target on the eyepiece from one clock time to another.
    fn with_stop(&self, start: &str, end: &str) -> Evening {
        let at = |clock: &str| {
            let text = format!("2027-08-07T{clock}:00-06:00");
            Instant::from_utc(DateTime::parse_from_rfc3339(&text).expect("a time").to_utc())
        };
        let show = Show {
            target: self.catalogue.targets[0].id.clone(),
            port: PortId("eyepiece".into()),
            eyepiece: None,
            understudy: None,
        };
        let interval = Interval::new(at(start), at(end)).expect("in order");
        let stop = Stop { id: StopId(1), what: What::Show(show), interval, held: Held::default() };
        Evening { order: RunningOrder::new(vec![stop]), ..self.evening.clone() }
    }

    fn findings(&self, start: &str, end: &str) -> Vec<Finding> {
        check(&self.with_stop(start, end), &self.prepared(), &self.materials())
    }
}

#[test]
fn row_7_a_slew_of_half_a_turn_takes_92_seconds() {
    let axis = "azimuth_axis: (rate_deg_per_s: 2.0,";
    let rig = read_rig("rig", &changed("azimuth_axis: (rate_deg_per_s: 3.0,", axis)).expect("it reads");
    let port = PortId("eyepiece".into());
    let from = Pointing { cable_azimuth: degrees(90.0), altitude: degrees(40.0), pier: None };
    let travel = move_between(
        &rig,
        degrees(38.0),
        Some(from),
        Some(&port),
        Aim { azimuth: degrees(270.0), altitude: degrees(40.0), follows: Angle::ZERO },
        &port,
    );
    assert!((travel.parts.slew_s - 92.0).abs() < 1e-9, "got {:?}", travel.parts);
    // The dome turns with it, half a turn at 3 degrees a second; then the mount settles for 8 s.
    assert!((travel.parts.total_s() - 100.0).abs() < 1e-9, "got {:?}", travel.parts);
}

#[test]
fn row_8_left_and_right_port_turn_at_their_own_pace() {
    // Latitude 38, declination 20, two hours past the meridian and two before it: there the sides swap.
    let rate = |side: &str, hours: f64| {
        let at = Turning::at(Angle::from_hours(hours), degrees(20.0), degrees(38.0));
        let port = bare_wide_port(side);
        port.field_hold().rotation_arcsec_per_s(degrees(38.0), at.azimuth, at.altitude).abs()
    };
    for (side, hours, want) in [
        ("NasmythLeft", 2.0, 20.6),
        ("NasmythRight", 2.0, 0.6),
        ("NasmythLeft", -2.0, 0.6),
        ("NasmythRight", -2.0, 20.6),
        ("Cassegrain", 2.0, 10.0),
    ] {
        assert!((rate(side, hours) - want).abs() < 0.05, "{side} at {hours} h: got {}", rate(side, hours));
    }
    let rotator = rig();
    assert!(!rotator.ports[0].field_turns(), "behind its rotator it stands still");
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
    // On the meridian at 62 degrees; field and pixels are those of the wide camera.
    let port = bare_wide_port("NasmythLeft");
    let field = &fields_of_port(&rig().telescope, &port)[0];
    let pixel = field.pixel_scale.expect("a camera has pixels");
    let rate = port.field_hold().rotation_arcsec_per_s(degrees(38.0), degrees(180.0), degrees(62.0));
    // The centre stands still while the mount tracks it; with the corner held by a guide star it trails as the corner did.
    let by_mount = longest_frames(field.shape, rate, Angle::ZERO, pixel);
    assert!(by_mount.centre_s.is_none() && by_mount.corner_s.is_some_and(|s| (s - 2.27).abs() < 0.006));
    let by_star = longest_frames(field.shape, rate, field.shape.corner(), pixel);
    assert!(by_star.centre_s.is_some_and(|s| (s - 2.27).abs() < 0.006));
    let told = turning_sentence(degrees(2.0), by_mount, 0.9);
    assert!(told.contains("2.3 s in the corner, any length in the centre"), "{told}");
    // What trails in a camera behind its rotator: nothing.
    let held =
        rig().ports[0].field_hold().rotation_arcsec_per_s(degrees(38.0), degrees(180.0), degrees(62.0));
    assert_eq!(longest_frames(field.shape, held, Angle::ZERO, pixel).corner_s, None);
}

#[test]
fn row_13_the_keyhole_is_guarded_over_the_whole_stop() {
    let august = August::new(rig());
    let guarded = |start: &str, end: &str| {
        let findings = august.findings(start, end);
        findings.iter().any(|finding| matches!(finding.rule, Rule::InKeyhole { .. }))
    };
    assert!(guarded("20:43", "21:03") && !guarded("22:00", "22:20"));
}

#[test]
fn row_13_on_an_equatorial_mount_the_flip_is_guarded_and_the_zenith_is_free() {
    let (before, rest) = DEMO.split_once("    keyhole_radius_deg").expect("the demo has a keyhole");
    let (_, after) = rest.split_once("    settle_s").expect("the demo settles");
    let axes = "    hour_angle_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n    \
                declination_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n    \
                meridian_flip: (past_meridian_min: 5.0, flip_s: 90.0),\n    settle_s";
    let text =
        format!("{before}{axes}{after}").replace("highest_altitude_deg: 88.0", "highest_altitude_deg: 90.0");
    let august = August::new(read_rig("rig", &text).expect("it reads"));
    let findings = august.findings("20:43", "21:03");
    assert!(!findings.iter().any(|finding| matches!(finding.rule, Rule::InKeyhole { .. })), "{findings:?}");
    // Five minutes past the transit at 20:53:05 is 20:58:05: the first minute that is judged beyond it is 20:59.
    let flip =
        findings.iter().find(|finding| matches!(finding.rule, Rule::FlipInside { .. })).expect("it flips");
    assert_eq!(flip.severity, Severity::Caution);
    let (prepared, materials) = (august.prepared(), august.materials());
    let evening = august.with_stop("20:43", "21:03");
    let (told, mends) = finding_sentence(flip, &Names::new(&evening, &prepared, &materials));
    assert_eq!(told, "The telescope must flip at 20:59 MDT, in the middle of the stop.");
    assert!(mends.contains("split it"), "{mends}");
    for (start, end) in [("20:35", "20:57"), ("20:54", "21:20")] {
        let findings = august.findings(start, end);
        assert!(!findings.iter().any(|finding| matches!(finding.rule, Rule::FlipInside { .. })), "{start}");
    }
}

#[test]
fn row_14_the_slit_stands_where_the_telescope_looks_out() {
    let mut dome = rig().dome.expect("the demo has a dome");
    (dome.radius_m, dome.offset_m) = (3.0, [0.0, 0.2, 0.0]);
    let azimuth = dome_azimuth(&dome, degrees(90.0), degrees(60.0));
    assert!((azimuth.degrees() - 82.4).abs() < 0.05, "got {}", azimuth.degrees());
    // asin((w - D) / (2 R cos h)) with a slit of 1.2 m and an aperture of 0.7 m.
    for (altitude, tolerance) in [(0.0, 4.8), (45.0, 6.8), (60.0, 9.6), (75.0, 18.8)] {
        assert!((dome.slit_tolerance(700.0, degrees(altitude)).degrees() - tolerance).abs() < 0.05);
    }
    // The right platform of a telescope that looks south-east is its south-western one; it swings with the azimuth.
    let line =
        line_through(Side::NasmythRight, [135.0, 140.0, 145.0].map(degrees)).expect("there are samples");
    assert!((line.start.degrees() - 225.0).abs() < 1e-9 && (line.swing.degrees() - 10.0).abs() < 1e-9);
}

#[test]
fn row_15_moon_and_planets_need_no_guider_and_a_sparse_field_says_so() {
    let guider = Guider {
        field: (Angle::from_arcminutes(8.0), Angle::from_arcminutes(8.0)),
        limiting_magnitude: Magnitude(12.0),
    };
    assert!(guider_sentence(guider_advice(&guider, None)).starts_with("Guider off"));
    // The galactic pole, and the plane.
    let at = |ra: f64, dec: f64| guider_advice(&guider, Some((degrees(ra), degrees(dec))));
    assert!(guider_sentence(at(192.86, 27.13)).starts_with("Sparse field"));
    let GuiderAdvice::Sparse(pole) = at(192.86, 27.13) else { panic!("it is sparse") };
    let (GuiderAdvice::Sparse(plane) | GuiderAdvice::On(plane)) = at(12.85, 62.87) else {
        panic!("it is among the stars")
    };
    assert!(plane.expected > 4.0 * pole.expected);
}

#[test]
fn row_87_seated_looking_by_the_height_of_the_eyepiece() {
    // ABA Accessibility Standards (US), 1011.8: viewing scopes 43 to 51 inches above the ground.
    assert!(eye_height_sentence((1200.0, 1200.0)).contains("within 1090–1295 mm"));
    let told = |height: &str, seated: u32| {
        let text = DEMO.replace("eye_height_mm: 1200.0", &format!("eye_height_mm: {height}"));
        let mut august = August::new(read_rig("rig", &text).expect("it reads"));
        august.evening.house.seated = seated;
        let findings = august.findings("22:00", "22:20");
        let (prepared, materials) = (august.prepared(), august.materials());
        let evening = august.with_stop("22:00", "22:20");
        let names = Names::new(&evening, &prepared, &materials);
        let own = findings.iter().find(|finding| matches!(finding.rule, Rule::NotSeated { .. }));
        own.map(|finding| (finding.severity, finding_sentence(finding, &names)))
    };
    assert_eq!(told("1200.0", 2), None);
    assert_eq!(told("1400.0", 0), None);
    let (severity, (what, mends)) = told("1400.0", 2).expect("it is too high");
    assert_eq!(severity, Severity::Caution);
    assert!(
        what.contains("1400 mm") && what.contains("1090–1295 mm") && mends.contains("screen"),
        "{what} {mends}"
    );
}

/// Borkowski 1987, evaluated apart from this code: at the edge of a keyhole the azimuth axis runs at its highest speed.
/// Radii on the side of the equator, and on that of the pole where they differ in the third decimal, to which they were
/// given.
#[test]
fn at_the_edge_of_the_keyhole_the_azimuth_runs_at_full_speed() {
    for (latitude, to_equator, to_pole) in [
        (20.0, [0.905, 0.451, 0.225, 0.113, 0.045], [0.895, 0.449]),
        (38.0, [0.762, 0.379, 0.189, 0.094, 0.038], [0.747, 0.375]),
        (52.0, [0.597, 0.297, 0.148, 0.074, 0.029], [0.582, 0.293]),
    ] {
        let speeds = [0.25, 0.5, 1.0, 2.0, 5.0];
        let edges = speeds.into_iter().zip(to_equator).map(|(speed, radius)| (speed, radius, -radius));
        let beyond = speeds.into_iter().zip(to_pole).map(|(speed, radius)| (speed, radius, radius));
        for (speed, radius, from_zenith) in edges.chain(beyond) {
            let turning = Turning::at(Angle::ZERO, degrees(latitude + from_zenith), degrees(latitude));
            let got = turning.azimuth_arcsec_per_s.abs() / 3600.0;
            assert!((got / speed - 1.0).abs() < 0.0006 / radius, "{latitude} {speed}: got {got}");
        }
    }
}

/// Minutes that a target through the zenith spends in a keyhole of a radius in degrees: computed apart from this code for
/// a central pass, to a tenth.
#[test]
fn a_central_pass_through_the_keyhole_takes_its_minutes() {
    for (latitude, passes) in [
        (38.0, &[(0.5, 5.1), (1.0, 10.1), (2.0, 20.2), (3.0, 30.4)]),
        (52.0, &[(0.5, 6.5), (1.0, 13.0), (2.0, 25.9), (3.0, 38.9)]),
    ] {
        for (radius, minutes) in passes {
            let keyhole = format!("keyhole_radius_deg: {radius:?}");
            let mount =
                read_rig("rig", &changed("keyhole_radius_deg: 3.0", &keyhole)).expect("it reads").mount;
            let inside = |seconds: &i32| {
                // Sidereal time runs 1.002738 times as fast as the clock.
                let hour_angle = Angle::from_hours(f64::from(*seconds) * 1.002_738 / 3600.0);
                let at = Turning::at(hour_angle, degrees(latitude), degrees(latitude));
                mount.in_keyhole(degrees(latitude), at.azimuth, at.altitude)
            };
            let got = (-1800..1800).filter(inside).count() as f64 / 60.0;
            assert!((got - minutes).abs() < 0.07, "{latitude}, {radius}: got {got}, want {minutes}");
        }
    }
}

/// Computed apart from this code at latitude 38: a rotator of 0.1 degrees a second is outrun within 1.89 degrees of the
/// zenith; a target at declination 36.4614 transits at a zenith distance of 1.539 degrees, where azimuth and field turn at
/// 0.125 degrees and 441 arcseconds a second, and goes from azimuth 126.9 to 233.1 in the twenty minutes round transit.
#[test]
fn near_the_zenith_field_and_azimuth_race() {
    let rotation =
        field_rotation_arcsec_per_s(Side::Cassegrain, degrees(38.0), degrees(180.0), degrees(90.0 - 1.89));
    assert!((rotation / 3600.0 - 0.1).abs() < 0.0003, "got {rotation}");
    let at = |minutes: f64| {
        // Sidereal time runs 1.002738 times as fast as the clock.
        let hour_angle = Angle::from_hours(minutes * 1.002_738 / 60.0);
        Turning::at(hour_angle, degrees(36.4614), degrees(38.0))
    };
    let transit = at(0.0);
    assert!((90.0 - transit.altitude.degrees() - 1.539).abs() < 0.0005);
    assert!((transit.azimuth_arcsec_per_s / 3600.0 - 0.125).abs() < 0.0005);
    assert!(
        (transit.parallactic_arcsec_per_s - 441.0).abs() < 0.5,
        "got {}",
        transit.parallactic_arcsec_per_s
    );
    for (minutes, azimuth) in [(-10.0, 126.9), (10.0, 233.1)] {
        assert!(
            (at(minutes).azimuth.degrees() - azimuth).abs() < 0.06,
            "got {}",
            at(minutes).azimuth.degrees()
        );
    }
}
