//! What a rig file may say, and how it is told what it may not.

use super::read_rig;
use crate::rig::{Access, Drive, Equatorial, EyeHeight, Instrument, PortId};

const DEMO: &str = include_str!("../../../../catalog-demo/heron-fell.rig.ron");

fn fault(from: &str, to: &str) -> String {
    assert!(DEMO.contains(from), "{from}");
    let faults = read_rig("r", &DEMO.replacen(from, to, 1)).unwrap_err();
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_demo_reads_without_a_fault() {
    let rig = read_rig("heron-fell.rig.ron", DEMO).unwrap();
    assert_eq!(rig.ports.len(), 4);
    assert!((rig.telescope.focal_length_mm / rig.telescope.aperture_mm - 7.0).abs() < 1e-12);
}

#[test]
fn impossible_numbers_are_refused() {
    assert!(
        fault("lowest_altitude_deg: 15.0", "lowest_altitude_deg: 89.0").contains("is not above the lowest")
    );
    assert!(fault("(-270.0, 270.0)", "(-90.0, 90.0)").contains("less than a full turn"));
    assert!(fault("id: \"planetary\"", "id: \"wide\"").contains("another port has this id"));
    assert!(fault("pixel_um: 6.0", "pixel_um: 0.0").contains("ports[0].camera.pixel_um: 0 is out of range"));
    assert!(fault("side: NasmythLeft", "side: NasmithLeft").contains("Did you mean `NasmythLeft`?"));
    assert!(fault("spectrograph: (", "spectograph: (").contains("exactly one of"));
    let pair = |to: &str| {
        format!("refocus_s: 20.0, pairs: [(from: \"wide\", to: \"{to}\", change_s: 40.0, refocus_s: 5.0)]")
    };
    assert!(fault("refocus_s: 20.0", &pair("cellar")).contains("\"cellar\", which is not on the rig"));
    assert!(fault("refocus_s: 20.0", &pair("wide")).contains("two ports"));
}

#[test]
fn a_pair_of_ports_has_its_own_times_either_way() {
    let pairs =
        "refocus_s: 20.0, pairs: [(from: \"wide\", to: \"eyepiece\", change_s: 40.0, refocus_s: 5.0)]";
    let rig = read_rig("rig", &DEMO.replace("refocus_s: 20.0", pairs)).unwrap();
    let times = |from: &str, to: &str| rig.selector.times_s(Some(&PortId(from.into())), &PortId(to.into()));
    assert_eq!([times("wide", "eyepiece"), times("eyepiece", "wide")], [(40.0, 5.0); 2]);
    assert_eq!(times("wide", "planetary"), (25.0, 20.0));
    assert_eq!(times("wide", "wide"), (0.0, 0.0));
    assert_eq!(rig.selector.times_s(None, &PortId("wide".into())), (25.0, 20.0));
}

/// The demo on an equatorial mount.
fn equatorial(flip: &str) -> String {
    let (before, rest) = DEMO.split_once("    keyhole_radius_deg").expect("the demo has a keyhole");
    let (_, after) = rest.split_once("    settle_s").expect("the demo settles");
    format!(
        "{before}    hour_angle_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),\n    \
         declination_axis: (rate_deg_per_s: 2.0, acceleration_deg_per_s2: 1.0),\n    {flip}\n    settle_s{after}"
    )
}

fn faults_of(text: &str) -> String {
    let faults = read_rig("r", text).expect_err("it has faults");
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_mount_is_alt_azimuth_or_equatorial() {
    let flip = "pole_keyhole_radius_deg: 2.0, meridian_flip: (past_meridian_min: 20.0, flip_s: 90.0),";
    let rig = read_rig("r", &equatorial(flip)).expect("an equatorial rig reads");
    let Drive::Equatorial(drive) = rig.mount.drive else { panic!("{:?}", rig.mount) };
    let flip = drive.flip.expect("it flips");
    assert!((flip.past_meridian.degrees() - 5.0).abs() < 1e-9 && flip.flip_s == 90.0);
    assert!((drive.pole_keyhole_radius.degrees() - 2.0).abs() < 1e-9);
    assert!(rig.ports.iter().all(|port| !port.field_turns()));
    let fork = read_rig("r", &equatorial("")).expect("a fork reads");
    assert!(matches!(fork.mount.drive, Drive::Equatorial(Equatorial { flip: None, .. })));
    let demo = read_rig("r", DEMO).expect("the demo reads");
    assert!(matches!(demo.mount.drive, Drive::AltAzimuth(_)));

    assert!(faults_of(&equatorial("cable_wrap_deg: (-270.0, 270.0),")).contains("only an alt-azimuth mount"));
    let both = faults_of(&equatorial("azimuth_axis: (rate_deg_per_s: 3.0, acceleration_deg_per_s2: 1.0),"));
    assert!(both.contains("axes of both kinds"), "{both}");
    let flips = "cable_wrap_deg: (-270.0, 270.0), meridian_flip: (past_meridian_min: 0.0, flip_s: 9.0)";
    assert!(fault("cable_wrap_deg: (-270.0, 270.0)", flips).contains("only an equatorial mount"));
    let late = equatorial("meridian_flip: (past_meridian_min: 500.0, flip_s: 90.0),");
    assert!(faults_of(&late).contains("mount.meridian_flip.past_meridian_min: 500 is out of range"));
}

#[test]
fn a_binned_pixel_is_larger_deeper_and_noisier() {
    let binned = DEMO.replacen("pixel_um: 6.0", "pixel_um: 6.0, binning: 2", 1);
    let camera = |text: &str| match &read_rig("r", text).expect("it reads").ports[0].instrument {
        Instrument::Camera(camera) => camera.clone(),
        other => panic!("{other:?} is no camera"),
    };
    let (one, two) = (camera(DEMO), camera(&binned));
    assert_eq!((one.binning, two.binning), (1, 2));
    // Computed: 0.2947 arcseconds a pixel becomes 0.5893, b^2 wells, b times the noise of one reading.
    let rig = read_rig("r", DEMO).expect("the demo reads");
    assert!((two.pixel_scale(&rig.telescope).arcseconds() - 0.5893).abs() < 0.0001);
    assert!((two.full_well_e - 4.0 * one.full_well_e).abs() < 1e-9);
    assert!((two.read_noise_e - 2.0 * one.read_noise_e).abs() < 1e-9);
    assert!(fault("pixel_um: 6.0", "pixel_um: 6.0, binning: 1.5").contains("1.5 is no whole number"));
    assert!(fault("pixel_um: 6.0", "pixel_um: 6.0, binning: 0").contains("binning: 0 is out of range"));
}

#[test]
fn bad_rigs_are_told_with_key_and_unit_and_the_rest_is_read() {
    // Two faults far apart are both told, each with its key; what a number should be says its key's unit.
    let text = DEMO.replacen("aperture_mm: 600.0", "aperture_mm: 0.0", 1).replacen(
        "field_stop_mm: 38.7",
        "field_stop_mm: 58.7",
        1,
    );
    let told = faults_of(&text);
    assert!(told.contains("telescope.aperture_mm: 0 is out of range"), "{told}");
    assert!(told.contains("Give a number from 20 to 50000 millimetres"), "{told}");
    assert!(told.contains("ports[2].eyepieces[0].field_stop_mm"), "{told}");
    assert!(told.contains("58.7 mm does not fit a barrel of 50.8 mm, which leaves 46.0 mm"), "{told}");
    assert_eq!(told.lines().filter(|line| line.contains("r:")).count(), 2, "{told}");

    let small = "field_stop_mm: 38.7, barrel_mm: 31.75";
    assert!(fault("field_stop_mm: 38.7", small).contains("leaves 27.0 mm"));
    let fits = DEMO.replacen("field_stop_mm: 38.7", "field_stop_mm: 58.7, barrel_mm: 76.2", 1);
    assert!(read_rig("r", &fits).is_ok());

    let two = fault("spectrograph: (", "eyepieces: [], spectrograph: (");
    assert!(two.contains("ports[3].spectrograph: a port needs exactly one of"), "{two}");
    let none = fault("spectrograph: (", "spectrogaph: (");
    assert!(none.contains("ports[3].id: a port needs exactly one of"), "{none}");
    let (before, _) = DEMO.split_once("  ports: [").expect("the demo has ports");
    assert!(faults_of(&format!("{before}  ports: [],\n)")).contains("ports: there is no port"));
    assert!(faults_of(&format!("{before})")).contains("ports: the key is missing"));
    assert!(
        fault("side: NasmythRight", "side: Newtonian").contains("ports[2].side: `Newtonian` is not one of")
    );
    assert!(fault("slit_width_m: 1.2", "slit_width_m: 7.2").contains("wider than the dome"));
    assert!(
        fault("focal_length_mm: 4200.0", "focal_length_mm: -1.0")
            .contains("focal_length_mm: -1 is out of range")
    );
    assert!(
        fault("resolving_power: 1000.0", "resolving_power: 0.0")
            .contains("resolving_power: 0 is out of range")
    );
}

#[test]
fn the_height_of_an_eyepiece_goes_with_its_side() {
    let key = "id: \"eyepiece\", name: \"Eyepiece\", side: NasmythRight, derotator: false,";
    let bare = |keys: &str| {
        let (before, rest) = DEMO.split_once("      eye_height_mm:").expect("the demo tells the height");
        let (_, after) = rest.split_once('\n').expect("the line ends");
        format!("{before}{after}").replacen(key, keys, 1)
    };
    let access = |keys: &str| read_rig("r", &bare(keys)).expect("it reads").ports[2].access;
    let side = |side: &str, more: &str| key.replace("NasmythRight", side) + more;
    assert_eq!(access(key), None);
    assert_eq!(
        access(&side("NasmythLeft", " eye_height_mm: 1400.0, step_mm: 200.0,")),
        Some(Access { height: EyeHeight::Constant(1400.0), step_mm: Some(200.0) })
    );
    let behind = EyeHeight::BehindMirror { axis_height_mm: 1500.0, axis_to_eyepiece_mm: 800.0 };
    let keys = side("Cassegrain", " axis_height_mm: 1500.0, axis_to_eyepiece_mm: 800.0,");
    assert_eq!(access(&keys), Some(Access { height: behind, step_mm: None }));
    for keys in [
        side("Cassegrain", " eye_height_mm: 1400.0,"),
        side("Cassegrain", " axis_height_mm: 1400.0,"),
        side("NasmythLeft", " axis_height_mm: 1500.0, axis_to_eyepiece_mm: 800.0,"),
        side("NasmythLeft", " step_mm: 200.0,"),
    ] {
        assert!(faults_of(&bare(&keys)).contains("does not tell how high"), "{keys}");
    }
    let camera = "derotator: true, eye_height_mm: 1200.0,";
    assert!(fault("derotator: true,", camera).contains("only a port with eyepieces"));
}

#[test]
fn a_rotator_may_give_its_pace() {
    let axis = "rotator_axis: (rate_deg_per_s: 2.0, acceleration_deg_per_s2: 1.0),";
    let with = DEMO.replacen("derotator: true,", &format!("derotator: true, {axis}"), 1);
    let rig = read_rig("r", &with).expect("it reads");
    assert!(rig.ports[0].rotator.is_some_and(|rotator| rotator.rate_deg_per_s == 2.0));
    let without = fault("derotator: false,", &format!("derotator: false, {axis}"));
    assert!(without.contains("ports[1].rotator_axis: the port has no rotator"), "{without}");
}

#[test]
fn a_guider_by_its_field_or_by_its_sensor() {
    let with = |keys: &str| DEMO.replacen("  selector:", &format!("  guider: ({keys}),\n  selector:"), 1);
    assert_eq!(read_rig("r", DEMO).expect("the demo reads").guider.is_some(), DEMO.contains("\n  guider:"));
    let bare = |keys: &str| {
        let text = with(keys);
        let (before, rest) =
            text.split_once("\n  guider: (field_arcmin: (24.0, 18.0)").expect("the demo guides");
        let (_, after) = rest.split_once('\n').expect("the line ends");
        format!("{before}\n{after}")
    };
    let field = |keys: &str| read_rig("r", &bare(keys)).expect("it reads").guider.expect("it guides").field;
    assert!(
        (field("field_arcmin: (30.0, 20.0), limiting_magnitude: 12.0").0.arcminutes() - 30.0).abs() < 1e-9
    );
    // 206265 s / F: 7 mm at 700 mm are 34.4 arcminutes.
    let (width, _) = field("sensor_mm: (7.0, 5.0), focal_length_mm: 700.0, limiting_magnitude: 12.0");
    assert!((width.arcminutes() - 34.377).abs() < 0.001);
    let twice =
        "field_arcmin: (30.0, 20.0), sensor_mm: (7.0, 5.0), focal_length_mm: 700.0, limiting_magnitude: 12.0";
    assert!(faults_of(&bare(twice)).contains("the field is given twice"));
}

#[test]
fn a_port_may_tell_its_focus_in_whole_steps() {
    let rig = read_rig("r", DEMO).expect("the demo reads");
    assert!(rig.ports.iter().all(|port| port.focus_offset_steps.is_some()));
    let first = rig.ports[0].focus_offset_steps.expect("the demo tells it");
    assert_eq!(first, 0, "steps are counted from the first port");
    let given = "id: \"eyepiece\", name: \"Eyepiece\", side: NasmythRight, derotator: false,";
    let half = fault(given, &format!("{given} focus_offset_step: 1,"));
    assert!(half.contains("`focus_offset_steps`"), "{half}");
    assert!(
        fault("focus_offset_steps: 0,", "focus_offset_steps: 0.5,")
            .contains("0.5 is no whole number of steps")
    );
}
