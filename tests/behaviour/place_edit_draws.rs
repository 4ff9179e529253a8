//! Edits of a site and of a rig drawn by lot: what was put in is read back, everything else stays byte for byte, and no text
//! at all brings a panic. A horizon in any order gives the same mask.

use evenfall_core::earth::Horizon;
use evenfall_core::reading::edit::{entries_at, quoted, value_at, with_entry, with_value, without};
use evenfall_core::rig::{Instrument, read_rig};
use evenfall_core::site::{read_horizon_text, read_site};
use evenfall_core::units::Angle;
use evenfall_tests::draws::Draws;

const SITE: &str = include_str!("../../catalog-demo/heron-fell.site.ron");
const RIG: &str = include_str!("../../catalog-demo/heron-fell.rig.ron");

/// The text with the value of a name blotted out: what no edit of that value may change.
fn around(text: &str, name: &str) -> (String, String) {
    let value = value_at(text, name).unwrap_or_else(|| panic!("{name} is there"));
    let start = value.as_ptr().addr() - text.as_ptr().addr();
    (text[..start].to_owned(), text[start + value.len()..].to_owned())
}

fn put(text: &str, name: &str, value: &str) -> String {
    let changed = with_value(text, name, value, &[]).unwrap_or_else(|| panic!("{name} takes {value}"));
    assert_eq!(around(text, name), around(&changed, name), "{name}");
    changed
}

#[test]
fn what_is_put_into_a_site_is_read_back_and_all_else_stays() {
    let mut draws = Draws(8);
    let mut text = SITE.to_owned();
    for _ in 0..400 {
        let number = draws.between(30.0, 60.0);
        let name = draws.of(&[
            "latitude_deg",
            "longitude_deg",
            "elevation_m",
            "sun_exclusion_deg",
            "weather_limits.wind_km_h",
            "weather_limits.cloud_percent",
            "weather_limits.humidity_percent",
            "light_domes[1].azimuth_deg",
        ]);
        text = put(&text, name, &format!("{number:?}"));
        let site = read_site("site", &text).unwrap_or_else(|faults| panic!("{name}: {faults:?}"));
        let read = match name {
            "latitude_deg" => site.place.latitude.degrees(),
            "longitude_deg" => site.place.longitude.degrees(),
            "elevation_m" => site.place.height_m,
            "sun_exclusion_deg" => site.sun_exclusion.degrees(),
            "weather_limits.wind_km_h" => site.weather.wind_km_h,
            "weather_limits.cloud_percent" => site.weather.cloud_percent,
            "weather_limits.humidity_percent" => site.weather.humidity_percent,
            _ => site.light_domes[1].azimuth.degrees(),
        };
        assert!((read - number).abs() < 1e-12 * number, "{name}: {read} for {number}");
        let words = draws.of(&["Otter \"Hill\" \\ Park", "Skáld // fell", "星 /* ( [", "plain"]);
        text = put(
            &text,
            draws.of(&["name", "cautions[2]", "visitors.lines[0]", "visitors.contact"]),
            &quoted(words),
        );
        let site = read_site("site", &text).unwrap_or_else(|faults| panic!("{words}: {faults:?}"));
        assert!(
            [&site.name, &site.cautions[2], &site.visitors.lines[0], &site.visitors.contact]
                .contains(&&words.to_owned())
        );
    }
    assert_eq!(text.matches("//").count(), SITE.matches("//").count() + text.matches("Skáld //").count());
}

#[test]
fn lists_grow_and_shrink_and_every_comment_above_a_key_stays() {
    let mut draws = Draws(88);
    let mut text = SITE.to_owned();
    let mut corners: Vec<(f64, f64)> = (0..16).map(|index| corner(&text, index)).collect();
    for step in 0..400 {
        if corners.is_empty() || draws.below(2) == 0 {
            let (at, new) =
                (draws.below(corners.len() + 1), (f64::from(step) * 0.875, draws.between(0.0, 40.0)));
            text = with_entry(&text, "horizon", at, &format!("{new:?}")).expect("the list is there");
            corners.insert(at, new);
        } else {
            let at = draws.below(corners.len());
            text = without(&text, &format!("horizon[{at}]")).expect("the corner is there");
            corners.remove(at);
        }
        assert_eq!(entries_at(&text, "horizon"), Some(corners.len()), "{text}");
        for (index, expected) in corners.iter().enumerate() {
            assert_eq!(corner(&text, index), *expected);
        }
    }
    let headings = |text: &str| {
        text.lines().filter(|line| line.starts_with("  //")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(headings(&text), headings(SITE));
    // A key that may be left out goes, comes back where it usually stands, and its comment stays meanwhile.
    let open = without(SITE, "park_closes").expect("it is there");
    assert!(
        open.contains("// When the park closes")
            && read_site("s", &open).expect("sound").park_closes.is_none()
    );
    let order = ["sun_exclusion_deg", "park_closes", "weather_limits"];
    let again = with_value(&open, "park_closes", "\"23:30\"", &order).expect("it takes it");
    assert_eq!(read_site("s", &again), read_site("s", SITE));
}

fn corner(text: &str, index: usize) -> (f64, f64) {
    let value = value_at(text, &format!("horizon[{index}]")).expect("the corner is there");
    let (azimuth, altitude) = value.trim_matches(['(', ')']).split_once(',').expect("two numbers");
    (azimuth.trim().parse().expect("a number"), altitude.trim().parse().expect("a number"))
}

#[test]
fn what_is_put_into_a_rig_is_read_back() {
    let mut draws = Draws(888);
    let mut text = RIG.to_owned();
    for _ in 0..200 {
        let number = draws.between(4.0, 20.0);
        let name = draws.of(&[
            "ports[0].camera.pixel_um",
            "ports[2].eyepieces[3].focal_length_mm",
            "ports[3].spectrograph.slit_um",
        ]);
        text = put(&text, name, &format!("{number:?}"));
        let rig = read_rig("rig", &text).unwrap_or_else(|faults| panic!("{faults:?}"));
        let held = match &rig.ports[if name.contains('0') {
            0
        } else if name.contains("eye") {
            2
        } else {
            3
        }]
        .instrument
        {
            Instrument::Camera(camera) => camera.pixel_um == number,
            Instrument::Eyepieces(all) => all.iter().any(|one| one.focal_length_mm == number),
            Instrument::Spectrograph(one) => one.slit_um == number,
        };
        assert!(held, "{name}: {number}");
    }
    let fewer = without(RIG, "ports[1]").expect("the port is there");
    let rig = read_rig("rig", &fewer).expect("sound");
    assert_eq!(
        rig.ports.iter().map(|port| port.id.0.as_str()).collect::<Vec<_>>(),
        ["wide", "eyepiece", "spectrograph"]
    );
    let port = value_at(RIG, "ports[1]").expect("the port is there");
    let back = with_entry(&fewer, "ports", 1, port).expect("the list is there");
    assert_eq!(read_rig("rig", &back), read_rig("rig", RIG));
}

#[test]
fn no_text_brings_a_panic() {
    const PIECES: [&str; 18] = [
        "(", ")", "[", "]", ",", ":", "a", "b", "1.5", "\"x\"", "//", "/*", "*/", "\n", " ", "#!",
        "\u{feff}", "星",
    ];
    let mut draws = Draws(1888);
    for _ in 0..20_000 {
        let text: String = (0..draws.below(24)).map(|_| draws.of(&PIECES)).collect();
        for name in ["a", "a[0]", "a.b", "a[0].b[1]", ""] {
            if let Some(changed) = with_value(&text, name, "7", &["b", "a"]) {
                assert_eq!(value_at(&changed, name), Some("7"), "{text}");
            }
            if let Some(changed) = with_entry(&text, name, 0, "7") {
                assert_eq!(value_at(&changed, &format!("{name}[0]")), Some("7"), "{text}");
            }
            let _ = without(&text, name);
        }
        let _ = read_horizon_text(&text);
    }
}

#[test]
fn an_unsorted_profile_with_a_gap_across_north_gives_the_mask_of_the_sorted_one() {
    let sorted = "22 6\n60,18.5\n100 12\n180 8\n250 16\n331 9";
    let shuffled = "# from the south-west on\n250;16\n-29;9\n\n100\t12\n540, 8\n22 6\n60 18,5";
    let mask = |text: &str| {
        let read = read_horizon_text(text);
        assert_eq!(read.unused, []);
        let corners =
            read.corners.iter().map(|(az, alt)| (Angle::from_degrees(*az), Angle::from_degrees(*alt)));
        Horizon::from_corners(corners).expect("sound corners")
    };
    let (one, other) = (mask(sorted), mask(shuffled));
    assert_eq!(one, other);
    let mut draws = Draws(3);
    for _ in 0..1000 {
        let azimuth = Angle::from_degrees(draws.between(-360.0, 720.0));
        assert_eq!(one.altitude(azimuth), other.altitude(azimuth));
    }
    // Across north the line goes from (331, 9) to (22, 6), 51 degrees on: at 356.5, half way, it is 7.5 high.
    assert!((one.altitude(Angle::from_degrees(356.5)).degrees() - 7.5).abs() < 1e-9);
}
