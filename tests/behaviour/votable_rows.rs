//! Target lists in `VOTable`, written by another library: `data/lists` is made by `data/make/votables.py` with astropy 8.0.2. All
//! names and places are invented.

use std::fs;
use std::path::Path;

use evenfall_core::catalogue::{Kind, Target};
use evenfall_core::lists::{Effect, ListRead, Mapping, read_list};
use evenfall_core::place::{Source, StarPlace};
use evenfall_tests::draws::Draws;

const FORMS: [(&str, &str); 3] =
    [("tabledata.vot", "TABLEDATA"), ("binary.vot", "BINARY"), ("binary2.vot", "BINARY2")];

/// Sizes are rounded to six decimals of an arcminute.
const ROUNDING_ARCMIN: f64 = 5.001e-7;
/// Places are rounded to eight decimals of a degree, 0.04 mas.
const ROUNDING_DEG: f64 = 5.001e-9;

fn bytes(name: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/lists").join(name))
        .expect("it stands in the data")
}

fn place(target: &Target) -> StarPlace {
    match target.source {
        Source::Star(place) => place,
        other => panic!("{other:?} is no fixed place"),
    }
}

fn near(got: f64, want: f64, allowed: f64) {
    assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
}

#[test]
fn the_same_list_comes_in_from_every_form_of_data() {
    for (name, form) in FORMS {
        let read = read_list(&bytes(name), None);
        assert_eq!(read.remarks, [], "{name}");
        assert!(read.notes[0].contains(form), "{name}: {:?}", read.notes);
        // As `make/votables.py` wrote them.
        let rows = [
            ("Lantern & Sons", Kind::PlanetaryNebula, 87.512_345_678, 31.204_567_891),
            ("The \"Kiln\" <3>", Kind::Galaxy, 11.25, 47.125),
            ("Müllers Lampe", Kind::GlobularCluster, 251.5, -36.4321),
            ("星の灯", Kind::Star, 301.375, 4.625),
        ];
        assert_eq!(read.targets.len(), rows.len(), "{name}");
        for (target, (title, kind, ra, dec)) in read.targets.iter().zip(rows) {
            assert_eq!((target.name.as_str(), target.kind), (title, kind), "{name}");
            near(place(target).right_ascension.degrees(), ra, ROUNDING_DEG);
            near(place(target).declination.degrees(), dec, ROUNDING_DEG);
        }
        let [first, kiln, cluster, star] = &read.targets[..] else { unreachable!() };
        let arcmin =
            |target: &Target| target.size.map(|(long, short)| (long.arcminutes(), short.arcminutes()));
        let (long, short) = arcmin(first).unwrap();
        near(long, 95.0 / 60.0, ROUNDING_ARCMIN);
        near(short, 1.0, ROUNDING_ARCMIN);
        near(arcmin(kiln).unwrap().0, 178.0, 1e-9);
        // What is not known is not zero: a short axis of the null value makes it round, a NaN no magnitude.
        let (long, short) = arcmin(cluster).unwrap();
        near(long, 20.0, 1e-12);
        near(short, 20.0, 1e-12);
        assert_eq!((cluster.magnitude, star.size), (None, None));
        near(star.magnitude.unwrap().0, 9.54, 1e-12);
        let motion = place(star);
        near(motion.pm_ra_cosdec_mas_per_yr, -812.5, 1e-9);
        near(motion.pm_dec_mas_per_yr, 4250.25, 1e-9);
    }
}

#[test]
fn coordinate_systems_epochs_and_the_mapping_count() {
    let at_2000 = read_list(&bytes("tabledata.vot"), None);
    let at_2016 = read_list(&bytes("epoch.vot"), None);
    let star = |read: &ListRead| place(&read.targets[3]).declination.degrees();
    // 16 years of 4250.25 mas: the place for J2000 lies so much further south. Arithmetic, straight on.
    near(star(&at_2000) - star(&at_2016), 16.0 * 4.250_25 / 3600.0, 2e-8);
    let old = read_list(&bytes("b1950.vot"), None);
    let csv = "name,kind,ra,dec,equinox\nLantern & Sons,PN,87.512345678,31.204567891,B1950\n";
    let csv = read_list(csv.as_bytes(), None);
    let (table, row) = (place(&old.targets[0]), place(&csv.targets[0]));
    near(table.right_ascension.degrees(), row.right_ascension.degrees(), 1e-12);
    near(table.declination.degrees(), row.declination.degrees(), 1e-12);
    let told = Mapping { equinox: Some("J2000".to_owned()), ..Mapping::default() };
    let told = read_list(&bytes("b1950.vot"), Some(&told));
    near(place(&told.targets[0]).right_ascension.degrees(), 87.512_345_678, ROUNDING_DEG);
    // The mapping that is shown, given again, gives the same.
    for name in ["tabledata.vot", "binary2.vot", "epoch.vot", "b1950.vot"] {
        let first = read_list(&bytes(name), None);
        let again = read_list(&bytes(name), Some(&first.mapping));
        assert_eq!(first.targets, again.targets, "{name}");
    }
}

#[test]
fn what_breaks_off_is_told_and_what_stands_before_comes_in() {
    let whole = String::from_utf8(bytes("tabledata.vot")).unwrap();
    let third = whole.find("Müllers").unwrap();
    let read = read_list(&whole.as_bytes()[..third], None);
    assert_eq!(read.targets.len(), 2);
    let broken = read.remarks.iter().find(|remark| remark.effect == Effect::RowLeftOut).unwrap();
    let line = whole[..third].lines().count();
    assert!((line - 1..=line).contains(&broken.line), "{broken}: line {line}");
    for (text, words) in [
        ("<VOTABLE><RESOURCE><TABLE><DATA><FITS>", "a FITS file"),
        ("<VOTABLE><RESOURCE><TABLE><FIELD name=\"a\" datatype=\"quaternion\"/>", "the type \"quaternion\""),
        (
            "<VOTABLE><RESOURCE><TABLE><FIELD name=\"a\" datatype=\"char\" arraysize=\"x9\"/>",
            "the size \"x9\"",
        ),
        ("<VOTABLE><STREAM href=\"elsewhere.bin\"/>", "in another file"),
        ("<VOTABLE><RESOURCE></TABLE>", "can't be read on from here"),
        ("<VOTABLE/>", "it holds no row"),
    ] {
        let read = read_list(text.as_bytes(), None);
        assert!(
            read.remarks.iter().any(|remark| remark.reason.contains(words)),
            "{text}: {:?}",
            read.remarks
        );
    }
    let binary = String::from_utf8(bytes("binary2.vot")).unwrap();
    let (start, end) = (binary.find("base64\">").unwrap() + 9, binary.find("</STREAM>").unwrap());
    let short =
        format!("{}{}{}", &binary[..start], binary[start..end].trim().split_at(240).0, &binary[end..]);
    let read = read_list(short.as_bytes(), None);
    assert!(
        read.remarks.iter().any(|remark| remark.reason.contains("break off within row")),
        "{:?}",
        read.remarks
    );
    assert!(!read.targets.is_empty());
}

#[test]
fn damaged_tables_are_answered() {
    let mut draws = Draws(1);
    for (name, _) in FORMS {
        let whole = bytes(name);
        for _ in 0..700 {
            let mut damaged = whole.clone();
            for _ in 0..=draws.below(4) {
                let at = draws.below(damaged.len());
                match draws.below(3) {
                    0 => damaged[at] = draws.below(256) as u8,
                    1 => damaged.truncate(at.max(1)),
                    _ => drop(damaged.drain(at..(at + 1 + draws.below(40)).min(damaged.len()))),
                }
                if damaged.is_empty() {
                    break;
                }
            }
            let read = read_list(&damaged, None);
            assert!(read.targets.len() <= read.row_count);
        }
    }
}

/// Found by a fuzzer: the head of a table without fields was counted as a row.
#[test]
fn a_table_without_fields_has_the_rows_that_stand_in_it() {
    let table = |rows: &str| {
        format!(
            "<VOTABLE><RESOURCE><TABLE><DATA><TABLEDATA>{rows}</TABLEDATA></DATA></TABLE></RESOURCE></VOTABLE>"
        )
    };
    let one = read_list(table("<TR><TD>19 12 31.9 -12 34 56</TD></TR>").as_bytes(), None);
    assert_eq!((one.row_count, one.targets.len(), one.remarks.len()), (1, 1, 0), "{:?}", one.remarks);
    let two = read_list(table("<TR><TD>20</TD></TR><TR><TD>21</TD></TR>").as_bytes(), None);
    assert_eq!((two.row_count, two.targets.len()), (2, 0));
    let told = two.remarks.iter().filter(|remark| remark.effect == Effect::RowLeftOut);
    assert_eq!(told.count(), 2, "{:?}", two.remarks);
}
