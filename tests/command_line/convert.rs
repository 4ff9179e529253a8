//! `evenfall convert`: a list to a catalogue, as a script meets it.

use std::fs;

use tempfile::tempdir;

use super::{messages, results, run, status};

const GOOD: &str =
    "Name;Type;RA;Dec;Size\nOld Lamp;Gx;08 34 31,9;+12 00 52;12,5x8\nTorch;PN;06 00 00;-0 30 00;40\"\n";

#[test]
fn convert_writes_a_catalogue_that_check_finds_good() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("list.csv"), GOOD).unwrap();
    let output = run(&["convert", &path("list.csv"), "--to", &path("my.catalogue.ron")]);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    let words = results(&output);
    assert!(words.contains("\"RA\" is the right ascension in hours"), "{words}");
    assert!(words.contains("2 rows, 2 used, 0 not used") && words.contains("2 targets written"), "{words}");
    let check = run(&["check", &path("my.catalogue.ron")]);
    assert_eq!(status(&check), 0, "{}", results(&check));
    let first = fs::read(path("my.catalogue.ron")).unwrap();

    let again = run(&["convert", &path("list.csv"), "--to", &path("my.catalogue.ron")]);
    assert_eq!(status(&again), 2);
    assert!(messages(&again).contains("is there already"), "{}", messages(&again));
    let replaced = run(&["convert", &path("list.csv"), "--to", &path("my.catalogue.ron"), "--replace"]);
    assert_eq!(status(&replaced), 0);
    assert_eq!(fs::read(path("my.catalogue.ron")).unwrap(), first, "same input, same bytes");
}

#[test]
fn convert_lists_every_row_it_can_t_use_and_brings_in_the_rest() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("list.csv"), GOOD.replace("PN", "Wonder")).unwrap();
    let output = run(&["convert", &path("list.csv"), "--to", &path("my.catalogue.ron")]);
    assert_eq!(status(&output), 1);
    let expected =
        format!("{}:3: Type: \"Wonder\": row not used: the kind is not known here.", path("list.csv"));
    assert!(messages(&output).starts_with(&expected), "{}", messages(&output));
    assert!(results(&output).contains("1 target written"), "{}", results(&output));
}

#[test]
fn a_mapping_is_given_corrected_and_kept() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("list.csv"), "name,kind,ra,dec\nLamp,G,5.5,22\n").unwrap();
    let shown = run(&["convert", &path("list.csv"), "--show-mapping"]);
    assert_eq!(status(&shown), 0, "{}", messages(&shown));
    let mapping = results(&shown);
    assert!(mapping.contains("is: RightAscension, unit: Hours"), "{mapping}");
    fs::write(path("my.mapping.ron"), mapping.replace("unit: Hours", "unit: Degrees")).unwrap();
    let output = run(&[
        "convert",
        &path("list.csv"),
        "--mapping",
        &path("my.mapping.ron"),
        "--to",
        &path("my.catalogue.ron"),
    ]);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    let catalogue = fs::read_to_string(path("my.catalogue.ron")).unwrap();
    assert!(catalogue.contains("ra_deg: 5.5, dec_deg: 22.0,"), "{catalogue}");
    fs::write(path("my.mapping.ron"), mapping.replace("is: Kind", "is: Kin")).unwrap();
    let bad = run(&["convert", &path("list.csv"), "--mapping", &path("my.mapping.ron"), "--show-mapping"]);
    assert_eq!(status(&bad), 1);
    assert!(messages(&bad).contains("Did you mean `Kind`?"), "{}", messages(&bad));
}

#[test]
fn convert_refuses_what_it_can_t_read() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let to = path("my.catalogue.ron");
    fs::write(path("list.xml"), "<?xml version=\"1.0\"?>\n<VOTABLE version=\"1.4\"/>\n").unwrap();
    fs::write(path("empty.csv"), "").unwrap();
    // A hole: it has no bytes on the disk.
    fs::File::create(path("huge.csv")).unwrap().set_len(600 * 1024 * 1024).unwrap();
    for (file, expected, words) in [
        ("list.xml", 1, "it holds no row"),
        ("empty.csv", 1, "it holds no row"),
        ("huge.csv", 1, "larger than 512 MB"),
        ("nowhere.csv", 2, "there is no such file"),
    ] {
        let output = run(&["convert", &path(file), "--to", &to]);
        assert_eq!(status(&output), expected, "{file}");
        assert!(messages(&output).contains(words), "{file}: {}", messages(&output));
        assert!(!fs::exists(&to).unwrap(), "{file}");
    }
    assert_eq!(status(&run(&["convert", &path("empty.csv")])), 2, "nowhere to write");
}

#[test]
fn a_list_is_put_into_a_catalogue_after_it_is_shown_what_comes_of_it() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let catalogue = path("my.catalogue.ron");
    fs::write(path("list.csv"), GOOD).unwrap();
    assert_eq!(status(&run(&["convert", &path("list.csv"), "--to", &catalogue])), 0);
    let before = fs::read_to_string(&catalogue).unwrap();
    // One row is there by its place, with a magnitude and a second name; one by its name, with nothing to add; one is new.
    fs::write(
        path("more.csv"),
        "Name;Type;RA;Dec;Size;Mag\nTorch of Night;PN;06 00 00;-0 30 05;50\";9,2\nOld Lamp;Gx;08 34 31,9;+12 00 52;9;\n\
         New Lamp;Gx;07 00 00;+10 00 00;3;11\n",
    )
    .unwrap();
    let shown = run(&["convert", &path("more.csv"), "--into", &catalogue]);
    assert_eq!(status(&shown), 0, "{}", messages(&shown));
    let words = results(&shown);
    for line in [
        "\"Torch of Night\" is \"Torch\", 5″ from it and of the same kind: other names, magnitude, surface brightness added",
        "\"Old Lamp\" is \"Old Lamp\", 0″ from it and of the same kind: nothing is added",
        "1 new, 2 in the catalogue already, 1 of them with something it lacked",
        "Nothing is written",
    ] {
        assert!(words.contains(line), "{line}: {words}");
    }
    assert_eq!(fs::read_to_string(&catalogue).unwrap(), before);
    let done = run(&["convert", &path("more.csv"), "--into", &catalogue, "--replace"]);
    assert_eq!(status(&done), 0, "{}", messages(&done));
    assert!(results(&done).contains("3 targets written"), "{}", results(&done));
    let after = fs::read_to_string(&catalogue).unwrap();
    assert!(
        after.contains("other_names: [\"Torch of Night\"]") && after.contains("magnitude: 9.2"),
        "{after}"
    );
    assert!(after.contains("size_arcmin: (12.5, 8.0)"), "what the catalogue says stays: {after}");
    let kept = fs::read_dir(folder.path().join("earlier-saves")).unwrap().next().unwrap().unwrap().path();
    assert_eq!(fs::read_to_string(kept).unwrap(), before);
    // A catalogue with a fault is left alone.
    fs::write(&catalogue, after.replace("kind: Galaxy", "kind: Galaxi")).unwrap();
    let refused = run(&["convert", &path("more.csv"), "--into", &catalogue, "--replace"]);
    assert_eq!(status(&refused), 1);
    assert!(messages(&refused).contains("Galaxi"), "{}", messages(&refused));
}

#[test]
fn what_is_beyond_all_bounds_is_refused_in_one_line() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    // Rows of a byte each, one more than are read; a row of more columns; brackets deeper than any stack.
    fs::write(path("rows.csv"), "a\n".repeat(2_000_001)).unwrap();
    fs::write(path("columns.csv"), "a,".repeat(1000)).unwrap();
    fs::write(path("deep.mapping.ron"), "(".repeat(1_000_000)).unwrap();
    fs::write(path("list.csv"), GOOD).unwrap();
    let to = path("my.catalogue.ron");
    for (arguments, words) in [
        (vec!["rows.csv"], "it has more than 2000000 rows"),
        (vec!["columns.csv"], "it has more than 1000 columns"),
        (vec!["list.csv", "--mapping", "deep.mapping.ron"], "nested too deeply"),
    ] {
        let arguments: Vec<String> = arguments
            .into_iter()
            .map(|argument| if argument.starts_with("--") { argument.to_owned() } else { path(argument) })
            .collect();
        let mut all = vec!["convert", "--to", &to];
        all.extend(arguments.iter().map(String::as_str));
        let output = run(&all);
        assert_eq!(status(&output), 1, "{words}");
        let told = messages(&output);
        assert!(told.lines().next().unwrap().contains(words), "{words}: {told}");
        assert!(!fs::exists(&to).unwrap(), "{words}");
    }
}

#[test]
fn elements_come_into_a_catalogue_and_are_renewed() {
    const PAIR: &str = "MILL POND\n\
        1 90001U 27001A   27071.60000000  .00000000  00000+0  12000-4 0  9999\n\
        2 90001  51.6400   0.0000 0004000  30.0000 170.0000 15.50000000    15\n";
    const COMETS: &str = "name,T,q,e,i,node,argument,H,n\nPond Comet,2027-01-20.1,1.1,1,42.8,108.4,352,6.5,4\nBad,x,1,1,1,1,1,,\n";
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("pond.tle"), PAIR).unwrap();
    fs::write(path("comets.csv"), COMETS).unwrap();
    let output = run(&["convert", &path("pond.tle"), "--to", &path("my.catalogue.ron")]);
    assert_eq!(status(&output), 0, "{}", messages(&output));
    assert!(results(&output).contains("0 targets and 1 satellite written"), "{}", results(&output));
    let output = run(&["convert", &path("comets.csv"), "--into", &path("my.catalogue.ron"), "--replace"]);
    assert_eq!(status(&output), 1, "{}", messages(&output));
    let told = format!("{}:3:5: t: expected a day of TT, found `x`", path("comets.csv"));
    assert!(messages(&output).starts_with(&told), "{}", messages(&output));
    assert!(results(&output).contains("1 target and 1 satellite written"), "{}", results(&output));
    let check = run(&["check", &path("my.catalogue.ron")]);
    assert_eq!(status(&check), 0, "{}", results(&check));
    let first = fs::read(path("my.catalogue.ron")).unwrap();
    let output = run(&["convert", &path("pond.tle"), "--into", &path("my.catalogue.ron"), "--replace"]);
    assert!(results(&output).contains("0 new and 1 renewed satellites"), "{}", results(&output));
    assert_eq!(fs::read(path("my.catalogue.ron")).unwrap(), first);
    let own = format!("// Of our own field.\n// Mind the pond.\n{}", String::from_utf8(first).unwrap());
    fs::write(path("my.catalogue.ron"), &own).unwrap();
    run(&["convert", &path("pond.tle"), "--into", &path("my.catalogue.ron"), "--replace"]);
    assert_eq!(fs::read_to_string(path("my.catalogue.ron")).unwrap(), own, "comments at the top stay");
}

#[test]
fn of_a_long_list_the_brightest_are_taken() {
    let folder = tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let rows: Vec<String> = (0..60).map(|n| format!("HF {n},Galaxy,{n}.5,10,{}\n", 60 - n)).collect();
    fs::write(path("list.csv"), format!("name,kind,ra_deg,dec_deg,mag\n{}", rows.concat())).unwrap();
    let output = run(&["convert", &path("list.csv"), "--brightest", "7", "--to", &path("my.catalogue.ron")]);
    let words = results(&output);
    assert!(words.contains("down to magnitude 7.00; 53 left out"), "{words}");
    assert!(words.contains("7 targets written"), "{words}");
    let text = fs::read_to_string(path("my.catalogue.ron")).unwrap();
    assert!(
        text.contains("\"HF 53\"") && text.contains("\"HF 59\"") && !text.contains("\"HF 52\""),
        "{text}"
    );
    assert_eq!(status(&run(&["check", &path("my.catalogue.ron")])), 0);

    fs::write(path("more.csv"), "name,kind,ra_deg,dec_deg,mag\nFar,Galaxy,200,5,3\nFarther,Galaxy,210,5,4\n")
        .unwrap();
    let into = ["convert", &path("more.csv"), "--into", &path("my.catalogue.ron"), "--brightest", "1"];
    let output = run(&[&into[..], &["--replace"]].concat());
    assert!(results(&output).contains("8 targets written"), "{}", results(&output));
    let text = fs::read_to_string(path("my.catalogue.ron")).unwrap();
    assert!(
        text.contains("\"Far\"") && !text.contains("\"Farther\"") && text.contains("\"HF 53\""),
        "{text}"
    );
}
