//! Target lists and catalogues drawn by lot: what is written is read back the same, and no bytes at all bring a panic.

use evenfall_core::catalogue::{
    Catalogue, Core, Double, Feature, Kind, Public, Target, TargetId, TargetNotes, Words, read_catalogue,
    write_catalogue,
};
use evenfall_core::elements::{CometElements, SatelliteElements};
use evenfall_core::ephemeris::Body;
use evenfall_core::lists::{ListRead, read_list};
use evenfall_core::place::{Source, StarPlace};
use evenfall_core::time::Instant;
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};
use evenfall_tests::draws::Draws;
use evenfall_tests::readers;

/// A list with something of everything; invented.
const GOOD: &str = "Name;Type;RA;Dec;Size;PA;Mag;SB;Other names;pmRA;pmDE;Sep;Mag2\n\
    EV 1;Gx;08 34 31,9;+12 00 52;12,5x8;30;8,9;22,9;\"Lamp; Old Lamp\";;;;\n\
    EV 2;PN;5h35m00s;-0°30′00″;40\";;10,1;;;;;;\n\
    EV 3;**;06:00:00;-05:00:00;;120;5,1;;;12,5;-3,0;4,5;6,2\n\
    EV 4;OC;07 00 00;-89 59 59;1,5°;;;;;;;;\n";

fn text(draws: &mut Draws, longest: usize) -> String {
    const LETTERS: [char; 24] = [
        'a', 'B', '7', ' ', '"', '\\', '\'', '/', '{', ')', ']', ',', ':', 'é', 'ß', 'λ', '星', '\u{301}',
        '🔭', '\u{a0}', '\u{200b}', '½', '″', '-',
    ];
    let length = 1 + draws.below(longest - 1);
    let letters: String = (0..length).map(|_| draws.of(&LETTERS)).collect();
    if letters.trim().is_empty() { "x".to_owned() } else { letters }
}

fn maybe<T>(draws: &mut Draws, make: impl FnOnce(&mut Draws) -> T) -> Option<T> {
    (draws.below(2) == 0).then(|| make(draws))
}

/// A number of few decimals or of all.
fn number(draws: &mut Draws, least: f64, most: f64) -> f64 {
    let number = draws.between(least, most);
    match draws.below(3) {
        0 => number,
        1 => (number * 10.0).round() / 10.0,
        _ => (number * 1e6).round() / 1e6,
    }
    .clamp(least, most)
}

/// Elements as a catalogue may hold them.
fn comet(draws: &mut Draws) -> CometElements {
    CometElements {
        perihelion: Instant::J2000.plus_seconds(draws.between(-6e9, 6e9)),
        perihelion_distance_au: number(draws, 0.001, 100.0),
        eccentricity: number(draws, 0.0, 20.0),
        inclination_deg: number(draws, 0.0, 180.0),
        ascending_node_deg: number(draws, 0.0, 360.0),
        perihelion_argument_deg: number(draws, 0.0, 360.0),
        epoch: maybe(draws, |draws| Instant::J2000.plus_seconds(draws.between(-6e9, 6e9))),
        magnitude_h: maybe(draws, |draws| number(draws, -10.0, 30.0)),
        slope_n: number(draws, 0.0, 40.0),
    }
}

/// A satellite as a catalogue may hold it.
fn satellite(draws: &mut Draws) -> SatelliteElements {
    SatelliteElements {
        name: text(draws, 60),
        catalogue_number: draws.below(1_000_000) as u64,
        epoch: Instant::J2000.plus_seconds(draws.between(0.0, 2e9)).to_utc(),
        mean_motion_rev_per_day: number(draws, 11.0, 15.5),
        eccentricity: number(draws, 0.0, 0.01),
        inclination_deg: number(draws, 0.0, 180.0),
        ascending_node_deg: number(draws, 0.0, 360.0),
        perigee_argument_deg: number(draws, 0.0, 360.0),
        mean_anomaly_deg: number(draws, 0.0, 360.0),
        bstar: number(draws, 0.0, 1e-4),
    }
}

/// A target as a catalogue may hold it.
fn target(draws: &mut Draws, position: usize) -> Target {
    let kind = draws.of(&Kind::ALL);
    let body = match kind {
        Kind::Moon => Some(Body::Moon),
        Kind::Planet => Some(draws.of(&[Body::Mercury, Body::Venus, Body::Mars, Body::Neptune])),
        _ => None,
    };
    let comet = (kind == Kind::Comet).then(|| Source::Comet(comet(draws)));
    let beyond = body.is_none();
    let has_light = beyond && comet.is_none();
    let degrees = |draws: &mut Draws, least, most| Angle::from_degrees(number(draws, least, most));
    let arcminutes = |draws: &mut Draws| Angle::from_arcminutes(number(draws, 0.001, 3600.0));
    let star = StarPlace {
        right_ascension: degrees(draws, 0.0, 359.0),
        declination: degrees(draws, -90.0, 90.0),
        pm_ra_cosdec_mas_per_yr: maybe(draws, |draws| number(draws, -20_000.0, 20_000.0)).unwrap_or(0.0),
        pm_dec_mas_per_yr: maybe(draws, |draws| number(draws, -20_000.0, 20_000.0)).unwrap_or(0.0),
    };
    let size = maybe(draws, |draws| {
        let (one, other) = (arcminutes(draws), arcminutes(draws));
        (one.max(other), one.min(other))
    })
    .filter(|_| beyond);
    let double = (kind == Kind::DoubleStar).then(|| {
        let (one, other) = (number(draws, -10.0, 25.0), number(draws, -10.0, 25.0));
        Double {
            separation: Angle::from_arcseconds(number(draws, 0.05, 3600.0)),
            position_angle: degrees(draws, 0.0, 360.0),
            magnitudes: (Magnitude(one.min(other)), Magnitude(one.max(other))),
            colours: text(draws, 60),
        }
    });
    let mut magnitude = maybe(draws, |draws| Magnitude(number(draws, -10.0, 25.0))).filter(|_| has_light);
    if let Some(double) = &double {
        let both = Magnitude::from_flux(double.magnitudes.0.flux() + double.magnitudes.1.flux());
        magnitude =
            magnitude.or(Some(both)).filter(|magnitude| magnitude.0 >= -10.0).or(Some(Magnitude(-10.0)));
    }
    let given = maybe(draws, |draws| SurfaceBrightness(number(draws, 5.0, 30.0))).filter(|_| has_light);
    let followed = || Some(SurfaceBrightness::mean(magnitude?, size?.0, size?.1));
    // What would follow out of the range of the file can't be written there.
    let followed = given.or_else(followed).map(|brightness| SurfaceBrightness(brightness.0.clamp(5.0, 30.0)));
    let cue: Vec<&str> = (0..=draws.below(6)).map(|_| "look").collect();
    Target {
        id: TargetId(format!("target-{position}")),
        name: text(draws, 60),
        other_names: (0..draws.below(4)).map(|_| text(draws, 60)).collect(),
        kind,
        source: comet.or(body.map(Source::Body)).unwrap_or(Source::Star(star)),
        size,
        position_angle: maybe(draws, |draws| degrees(draws, 0.0, 360.0)).filter(|_| beyond),
        magnitude,
        surface_brightness: followed,
        core: maybe(draws, |draws| Core {
            size: size.map_or_else(|| arcminutes(draws), |(long, _)| long),
            surface_brightness: SurfaceBrightness(number(draws, 2.0, 30.0)),
        })
        .filter(|_| beyond),
        double,
        feature: maybe(draws, |draws| Feature {
            longitude: degrees(draws, -110.0, 110.0),
            latitude: degrees(draws, -90.0, 90.0),
            size_km: number(draws, 1.0, 1500.0),
        })
        .filter(|_| kind == Kind::Moon),
        spectral_type: maybe(draws, |draws| text(draws, 20)),
        appeal: Fraction::clamped(number(draws, 0.0, 1.0)),
        given_public: maybe(draws, |draws| draws.of(&Public::ALL)),
        words: Words {
            line: text(draws, 90),
            comparison: text(draws, 90),
            look_for: text(draws, 80),
            cue: cue.join(" "),
        },
        notes: TargetNotes {
            at_home: if draws.below(2) == 0 { String::new() } else { text(draws, 90) },
            crew: if draws.below(2) == 0 { String::new() } else { text(draws, 400) },
            photos: (0..draws.below(3)).map(|_| text(draws, 200)).collect(),
        },
    }
}

#[test]
fn a_catalogue_is_read_back_as_it_was_written() {
    let mut draws = Draws(8);
    for turn in 0..150 {
        let targets: Vec<Target> = (0..20).map(|position| target(&mut draws, position)).collect();
        let name = text(&mut draws, 60);
        let satellites: Vec<SatelliteElements> = (0..turn % 3).map(|_| satellite(&mut draws)).collect();
        let written = write_catalogue(&Catalogue {
            name: name.clone(),
            targets: targets.clone(),
            satellites: satellites.clone(),
            ..Catalogue::default()
        });
        let (read, faults) = read_catalogue("drawn", &written);
        assert_eq!(read.satellites, satellites, "turn {turn}");
        assert_eq!(faults, [], "turn {turn}");
        assert_eq!(read.name, name);
        for (read, written) in read.targets.iter().zip(&targets) {
            assert_eq!(read, written, "turn {turn}");
        }
        assert_eq!(read.targets.len(), targets.len());
    }
}

/// What holds of every list, however bad; in those that are no tables of bytes every line is one of the list.
fn holds_together(read: &ListRead, bytes: &[u8]) {
    readers::holds_together(read, bytes);
    let line_count = bytes.iter().filter(|byte| matches!(byte, b'\n' | b'\r')).count() + 1;
    assert!(read.remarks.iter().all(|remark| remark.line <= line_count), "a line beyond the list: {bytes:?}");
}

/// Pieces of which lists are made.
const SIGNS: [&[u8]; 16] = [
    b"12", b",", b";", b"\n", b"\"", b" ", b"-", b"ra", b"dec", b"5h", b"'", b"#", b"\t", b"G", b".5",
    b"\xc3",
];

#[test]
fn random_bytes_bring_no_panic() {
    let mut draws = Draws(9);
    for _ in 0..2000 {
        let length = draws.below(400);
        let bytes: Vec<u8> = (0..length).map(|_| draws.whole() as u8).collect();
        holds_together(&read_list(&bytes, None), &bytes);
        let bytes: Vec<u8> = (0..draws.below(120)).flat_map(|_| draws.of(&SIGNS).to_vec()).collect();
        holds_together(&read_list(&bytes, None), &bytes);
    }
}

#[test]
fn good_lists_with_slips_bring_no_panic() {
    let mut draws = Draws(10);
    for _ in 0..3000 {
        let mut bytes = GOOD.as_bytes().to_vec();
        for _ in 0..=draws.below(4) {
            let at = draws.below(bytes.len());
            match draws.below(4) {
                0 => bytes[at] = draws.whole() as u8,
                1 if bytes.len() > 1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, draws.of(b"\";,\n\r\t-+.0x\0")),
                // A list of one byte at least, so that there is a place for the next slip.
                _ => bytes.truncate(at.max(1)),
            }
        }
        holds_together(&read_list(&bytes, None), &bytes);
    }
}

#[test]
fn a_list_read_by_its_own_mapping_gives_the_same() {
    let first = read_list(GOOD.as_bytes(), None);
    assert_eq!(first.remarks, [], "the list is good");
    assert_eq!(first.targets.len(), 4);
    let again = read_list(GOOD.as_bytes(), Some(&first.mapping));
    assert_eq!(again.targets, first.targets);
    assert_eq!(again.mapping, first.mapping);
}
