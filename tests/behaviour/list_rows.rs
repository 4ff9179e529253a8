//! Whole target lists in the forms that people have them. All names and places are invented.

use evenfall_core::catalogue::{Kind, Target};
use evenfall_core::lists::{Effect, ListRead, MappedColumn, Mapping, Meaning, Unit, read_list};
use evenfall_core::place::{Source, StarPlace};

fn read(text: &str) -> ListRead {
    read_list(text.as_bytes(), None)
}

fn place(target: &Target) -> StarPlace {
    match target.source {
        Source::Star(place) => place,
        other => panic!("{other:?} is no fixed place"),
    }
}

/// Right ascension and declination in degrees.
fn degrees(target: &Target) -> (f64, f64) {
    (place(target).right_ascension.degrees(), place(target).declination.degrees())
}

fn near(got: f64, want: f64, allowed: f64) {
    assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
}

#[test]
fn one_target_written_in_eight_ways_is_the_same() {
    // 8 h 34 min 31.9 s is 128.632916667 degrees, 12 degrees 0 min 52 s is 12.014444444: arithmetic.
    for text in [
        "name,kind,ra,dec\nLamp,Galaxy,08 34 31.9,+12 00 52\n",
        "dec;name;ra;kind\n12:00:52;Lamp;8:34:31,9;gx\n",
        "kind\tdec\tra\tname\nG\t+12°00′52″\t8h34m31.9s\tLamp\n",
        "\u{feff}Name|RA (deg)|Dec|Type\nLamp|128.632916667|12.014444444|Gal\n",
        "Object,RA [h],Declination,Type\nLamp,8.57552777778,12.014444444,galaxy\n",
        "Name,Type,Coordinates\nLamp,G,08 34 31.9 +12 00 52\n",
        "# from an old notebook\n\nLamp,Gx,08 34 31.9,+12 00 52\n",
        "name,kind,RA_J2000,DEC_J2000\nLamp,Gx,128d37m58.5s,12d00m52s\n",
    ] {
        let read = read(text);
        assert_eq!(read.remarks, [], "{text}");
        let [target] = &read.targets[..] else { panic!("{text}: {} targets", read.targets.len()) };
        assert_eq!(
            (target.name.as_str(), target.id.0.as_str(), target.kind),
            ("Lamp", "lamp", Kind::Galaxy),
            "{text}"
        );
        let (ra, dec) = degrees(target);
        near(ra, 128.632_916_667, 2e-8);
        near(dec, 12.014_444_444, 2e-8);
    }
}

#[test]
fn one_slip_in_a_column_of_hours_is_that_row_s_fault() {
    let read = read(
        "name,kind,ra,dec\nLamp,G,17 12 41.6,+46 27 41\nTorch,G,19 03 35,+43 01 45\nKiln,G,8 34 32,+12 00 52\n\
         Spade,G,25 10 00,+10 00 00\n",
    );
    near(degrees(&read.targets[0]).0, 258.173_333_33, 2e-8);
    assert_eq!(read.targets.len(), 3);
    assert_eq!(
        (read.remarks.len(), read.remarks[0].line, read.remarks[0].effect),
        (1, 5, Effect::RowLeftOut)
    );
    let column = read.columns.iter().find(|column| column.is == Meaning::RightAscension).unwrap();
    assert!(column.guessed && column.unit == Some(Unit::Hours), "{column:?}");
}

#[test]
fn encodings_and_their_names_come_in() {
    let text = "name;kind;ra;dec\nMüllers Lampe;PN;5,5;-22,25\n";
    let utf_16: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let windows: Vec<u8> = text.chars().map(|c| c as u32 as u8).collect();
    for (bytes, encoding) in
        [(text.as_bytes().to_vec(), "UTF-8"), (utf_16, "UTF-16"), (windows, "Windows-1252")]
    {
        let read = read_list(&bytes, None);
        assert_eq!(read.targets[0].name, "Müllers Lampe");
        assert_eq!(read.targets[0].id.0, "mullers-lampe");
        assert_eq!(degrees(&read.targets[0]), (82.5, -22.25), "hours, with a decimal comma");
        assert!(read.notes[0].contains(encoding), "{:?}", read.notes);
    }
}

#[test]
fn hours_are_a_guess_that_is_told_and_a_mapping_corrects() {
    let text = "name,kind,ra,dec\nLamp,G,5.5,22\nTorch,G,6.5,-22\n";
    let first = read(text);
    let ra = first.columns.iter().find(|column| column.is == Meaning::RightAscension).unwrap();
    assert!(ra.guessed && ra.unit == Some(Unit::Hours) && ra.why.contains("below 24"), "{ra:?}");
    assert_eq!(degrees(&first.targets[0]).0, 82.5);
    let column = MappedColumn { column: "RA".into(), is: Meaning::RightAscension, unit: Some(Unit::Degrees) };
    let corrected =
        read_list(text.as_bytes(), Some(&Mapping { columns: vec![column], ..Mapping::default() }));
    assert_eq!(degrees(&corrected.targets[0]).0, 5.5);
    assert!(corrected.columns.iter().all(|column| !column.guessed));
}

#[test]
fn every_equinox_comes_to_icrs() {
    // SOFA's validation program t_sofa_c.c, routine iauFk45z, for epoch 1954.68, as the tests of the crate sofars carry it: 0.01602284975382960982 and
    // -0.1164347929099906024 in FK4 are 0.02719295911606862303 and -0.1115766001565926892 in FK5, all in radians. FK5 differs
    // from ICRS by 0.023 arcseconds (Mignard & Froeschlé 2000, A&A 354, 732).
    let (ra, dec) = (0.016_022_849_753_829_61_f64.to_degrees(), (-0.116_434_792_909_990_6_f64).to_degrees());
    for text in [
        format!("name,kind,ra_deg,dec,equinox,epoch\nLamp,G,{ra},{dec},B1950,1954.677617625\n"),
        format!("name,kind,ra_deg,dec,equinox,epoch\nLamp,G,{ra},{dec},FK4,B1954.677617625\n"),
    ] {
        let read = read(&text);
        let (ra, dec) = degrees(&read.targets[0]);
        near(ra, 0.027_192_959_116_068_623_f64.to_degrees(), 0.03 / 3600.0);
        near(dec, (-0.111_576_600_156_592_7_f64).to_degrees(), 0.03 / 3600.0);
    }
    let columns = read(&format!("name,kind,RAB1950,DEB1950\nLamp,G,{},{dec}\n", ra + 24.0));
    // Annual precession m + n sin(ra) tan(dec) with m = 3.074 s and n = 1.336 s (Meeus, Astronomical Algorithms, 2nd ed.,
    // chapter 21, for the years between; from memory): 3.008 s, in fifty years 0.627 degrees.
    near(degrees(&columns.targets[0]).0 - ra - 24.0, 0.627, 0.001);
    // At epoch 2016 with one arcsecond a year: 16 arcseconds, arithmetic.
    let moving = read("name,kind,ra_deg,dec,equinox,pmRA,pmDE\nLamp,*,100,60,J2016.0,0,1000\n");
    near(degrees(&moving.targets[0]).1, 60.0 - 16.0 / 3600.0, 2e-7);
    near(place(&moving.targets[0]).pm_dec_mas_per_yr, 1000.0, 0.01);
    // Without proper motion the same year is an equinox: 16 years of 20.04 arcseconds (Lieske et al. 1977, A&A 58, 1).
    let of_date = read("name,kind,ra_deg,dec,equinox\nLamp,*,0,0,J2016.0\n");
    near(degrees(&of_date.targets[0]).1 * 3600.0, -320.7, 0.2);
    let bad = read("name,kind,ra,dec,equinox\nLamp,*,0,0,B1875\nTorch,*,1,1,J2000\n");
    assert_eq!((bad.targets.len(), bad.remarks[0].line, bad.remarks[0].column.as_str()), (1, 2, "equinox"));
}

#[test]
fn sizes_and_brightness_come_in_any_unit_and_unknown_is_not_zero() {
    let text = "name,kind,ra,dec,size,mag,sb (mag/arcmin2)\n\
                A,G,1,10,12x8,9.5,13.1\n\
                B,G,2,10,1.5°,99.9,13.5\n\
                C,G,3,10,90\",-,--\n\
                D,G,4,10,0,nan,\n";
    let read = read(text);
    assert_eq!(read.remarks, []);
    let arcmin = |position: usize| read.targets[position].size.map(|(a, b)| (a.arcminutes(), b.arcminutes()));
    near(arcmin(0).unwrap().1, 8.0, 1e-9);
    near(arcmin(1).unwrap().0, 90.0, 1e-9);
    near(arcmin(2).unwrap().0, 1.5, 1e-9);
    assert_eq!(arcmin(3), None);
    let magnitudes: Vec<Option<f64>> =
        read.targets.iter().map(|target| target.magnitude.map(|m| m.0)).collect();
    assert_eq!(magnitudes, [Some(9.5), None, None, None]);
    // 3600 square arcseconds are 8.89 magnitudes.
    near(read.targets[0].surface_brightness.unwrap().0, 13.1 + 8.89, 0.001);
    assert!(read.notes.iter().any(|note| note.contains("99.9") && note.contains("mag")), "{:?}", read.notes);
    assert!(read.notes.iter().any(|note| note.contains("sizes of 0")), "{:?}", read.notes);
}

#[test]
fn two_axes_in_two_columns_in_either_order() {
    let read = read("name,kind,ra,dec,MajAx,MinAx,PosAng\nA,G,1,10,8.0,12.0,-30\nB,G,2,10,8.0,,\n");
    let size = |position: usize| read.targets[position].size.unwrap();
    near(size(0).0.arcminutes(), 12.0, 1e-9);
    near(size(0).1.arcminutes(), 8.0, 1e-9);
    near(read.targets[0].position_angle.unwrap().degrees(), 330.0, 1e-9);
    assert_eq!(size(1).0, size(1).1, "one axis alone: round");
}

#[test]
fn a_double_star_needs_all_of_its_pair() {
    let read = read(
        "name,kind,ra,dec,mag1,mag2,sep,pa\nA,**,1,10,6.2,5.1,4.5,120\nB,Double star,2,10,5.1,,4.5,120\n",
    );
    let double = read.targets[0].double.as_ref().unwrap();
    assert_eq!((double.magnitudes.0.0, double.magnitudes.1.0), (5.1, 6.2), "the brighter first");
    near(double.separation.arcseconds(), 4.5, 1e-9);
    assert_eq!(read.targets[1].kind, Kind::Star);
    assert!(
        read.notes
            .iter()
            .any(|note| note.starts_with("double stars that came in as stars") && note.ends_with(": 1")),
        "{:?}",
        read.notes
    );
}

#[test]
fn what_is_not_used_has_line_column_value_reason_and_remedy() {
    let text = "name,kind,ra,dec,mag\n\
                A,G,1 00 00,10,9\n\
                B,Wonder,2 00 00,10,9\n\
                C,G,2 61 00,10,9\n\
                D,G,3 00 00,95,9\n\
                \n\
                E,G,,10,9\n\
                F,G,4 00 00,10,bright\n\
                G,Dup,5 00 00,10,9\n\
                a,G,6 00 00,10,9\n\
                H,Gx,1 00 01,10,9\n\
                I\n";
    let read = read(text);
    let names: Vec<&str> = read.targets.iter().map(|target| target.name.as_str()).collect();
    assert_eq!(names, ["A", "F"]);
    let told: Vec<(usize, &str, &str)> = read
        .remarks
        .iter()
        .map(|remark| (remark.line, remark.column.as_str(), remark.value.as_str()))
        .collect();
    let expected = [
        (3, "kind", "Wonder"),
        (4, "ra", "2 61 00"),
        (5, "dec", "95"),
        (7, "ra", ""),
        (8, "mag", "bright"),
        (9, "kind", "Dup"),
        (10, "", "a"),
        (11, "", "H"),
        (12, "kind", ""),
        (12, "ra", ""),
        (12, "dec", ""),
    ];
    assert_eq!(told, expected);
    assert_eq!(read.rows_left_out(), 8);
    let words: Vec<String> = read.remarks.iter().map(ToString::to_string).collect();
    assert!(
        words[0].starts_with(
            "3: kind: \"Wonder\": row not used: the kind is not known here. Write a kind that is known"
        ),
        "{}",
        words[0]
    );
    assert!(words[7].contains("15″ from the target of line 2"), "{}", words[7]);
}

#[test]
fn plain_coordinates_come_in_with_names_of_their_own() {
    let read = read("08 34 31.9 +12 00 52\n06 00 00 -00 30 00\nOld Lamp 07 00 00 -10 00 00\nnothing here\n");
    let names: Vec<&str> = read.targets.iter().map(|target| target.name.as_str()).collect();
    assert_eq!(names, ["Place 0834+1200", "Place 0600-0030", "Old Lamp"]);
    near(degrees(&read.targets[1]).1, -0.5, 1e-9);
    assert!(read.targets.iter().all(|target| target.kind == Kind::Star));
    assert!(read.notes.iter().any(|note| note.contains("no column tells the kind")), "{:?}", read.notes);
    assert_eq!(read.remarks.len(), 1);
    let sized = self::read("name,ra,dec,size\nLamp,1,10,12\n");
    near(sized.targets[0].size.unwrap().0.arcminutes(), 12.0, 1e-9);
}

#[test]
fn bad_lists_are_refused_in_words() {
    for (bytes, reason) in [
        (&b""[..], "no row"),
        (b"name,kind,ra,dec\n", "no row"),
        (b"\n\n\n", "no row"),
        (b"a\0b,c\n", "NUL"),
        (b"name,kind\nLamp,G\n", "right ascension"),
    ] {
        let read = read_list(bytes, None);
        assert!(read.targets.is_empty());
        assert_eq!(read.remarks[0].effect, Effect::List);
        assert!(read.remarks[0].reason.contains(reason), "{:?}", read.remarks);
    }
    let unclosed = read("name,kind,ra,dec\nA,G,1,10\n\"B,G,2,10\nC,G,3,10\n");
    assert_eq!((unclosed.remarks[0].line, unclosed.targets.len()), (3, 3), "{:?}", unclosed.remarks);
}

#[test]
fn a_mapping_adds_kinds_and_values_that_mean_unknown() {
    let mapping = Mapping {
        kinds: vec![("Haufen".into(), Kind::OpenCluster)],
        unknown: vec!["k.A.".into()],
        ..Mapping::default()
    };
    let text = "name;kind;ra;dec;mag\nA;haufen;1;10;k.A.\n";
    let read = read_list(text.as_bytes(), Some(&mapping));
    assert_eq!(read.remarks, []);
    assert_eq!((read.targets[0].kind, read.targets[0].magnitude), (Kind::OpenCluster, None));
}
