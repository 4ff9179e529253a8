//! RON to a catalogue: strict, entry by entry, every fault with its place.

use std::collections::HashSet;
use std::ops::RangeInclusive;

use super::usual_words::usual_texts;
use super::{Catalogue, Core, Double, Feature, Kind, Target, TargetId, TargetNotes, Words};
use crate::elements::{
    CometElements, MOST_CATALOGUE_NUMBER, Satellite, SatelliteElements, read_tt_day, read_utc,
};
use crate::ephemeris::Body;
use crate::place::{Source, StarPlace};
use crate::reading::{Faults, Fields, read_parts};
use crate::time::Instant;
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// The first line of a catalogue file says this.
pub const CATALOGUE_FORMAT: &str = "evenfall-catalogue/1";

/// The longest line and comparison for the public, in characters.
pub const LONGEST_LINE: usize = 90;
/// The longest text of what to look for, in characters.
pub const LONGEST_LOOK_FOR: usize = 80;
/// The longest spectral type, in characters.
pub const LONGEST_TYPE: usize = 20;
/// The longest name and other name, in characters.
pub const LONGEST_NAME: usize = 60;
/// The longest words on finding a target from home, in characters.
pub const LONGEST_AT_HOME: usize = 120;
/// The longest notes for the crew, in characters.
pub const LONGEST_NOTES: usize = 400;
/// The longest path of a photo, in characters.
pub const LONGEST_PHOTO: usize = 200;
/// The most photos of a target.
pub const MOST_PHOTOS: usize = 12;
/// The most satellites of a catalogue: the passes of each are searched for every evening.
pub const MOST_SATELLITES: usize = 1000;
/// The most words of a cue.
pub const MOST_CUE_WORDS: usize = 7;

/// Reads a catalogue. Faulty targets are left out and reported; the rest comes in.
pub fn read_catalogue(file: &str, text: &str) -> (Catalogue, Faults) {
    let (catalogue, faults) = read_parts(file, text, CATALOGUE_FORMAT, |fields| Some(catalogue(fields)));
    (catalogue.unwrap_or_default(), faults)
}

fn catalogue(fields: &Fields<'_>) -> Catalogue {
    let name = fields.name("name");
    let mut ids = HashSet::new();
    let targets = fields.entries("targets", |fields| {
        let id = fields.identifier("id");
        if !ids.insert(id.clone()) && !id.is_empty() {
            fields.fault("id", "another target has this id", "Give each target an id of its own");
        }
        target(fields, TargetId(id))
    });
    let read: HashSet<&str> = targets.iter().map(|(_, target)| target.id.0.as_str()).collect();
    let unread = ids.into_iter().filter(|id| !id.is_empty() && !read.contains(id.as_str()));
    let mut unread_ids: Vec<TargetId> = unread.map(TargetId).collect();
    unread_ids.sort();
    let satellites = if fields.has("satellites") { satellites(fields) } else { Vec::new() };
    let targets = targets.into_iter().map(|(_, target)| target).collect();
    Catalogue { name, targets, satellites, unread_ids }
}

/// The satellites; of too many the first, and that is told.
fn satellites(fields: &Fields<'_>) -> Vec<SatelliteElements> {
    let mut count = 0;
    let satellites = fields.entries("satellites", |fields| {
        count += 1;
        // Those beyond the limit are only counted: all their keys are passed over.
        if count > MOST_SATELLITES { fields.pass_over() } else { Some(satellite(fields)) }
    });
    if count > MOST_SATELLITES {
        let message = format!("there are {count} satellites, of which the first {MOST_SATELLITES} are read");
        fields.fault(
            "satellites",
            message,
            format!("Keep at most {MOST_SATELLITES}: those you want to announce"),
        );
    }
    satellites.into_iter().map(|(_, satellite)| satellite).collect()
}

fn target(fields: &Fields<'_>, id: TargetId) -> Option<Target> {
    let name = fields.name("name");
    let other_names = fields.texts("other_names", LONGEST_NAME);
    let kind = fields.word("kind");
    let source = source(fields, kind);
    let size = size(fields);
    let position_angle = fields.optional_number("position_angle_deg", 0.0..=360.0);
    let double = double(fields, kind);
    let feature = feature(fields, kind);
    let magnitude = fields.optional_number("magnitude", -10.0..=25.0).map(Magnitude);
    let magnitude = magnitude.or_else(|| double.as_ref().map(combined_magnitude));
    let given = fields.optional_number("surface_brightness_mag_arcsec2", 5.0..=30.0);
    let core = core(fields, size);
    match source {
        Some(Source::Body(_)) => refuse_computed(fields, &COMPUTED_OF_BODIES, "the Moon and the planets"),
        Some(Source::Comet(_)) => refuse_computed(fields, &COMPUTED_OF_COMETS, "a comet, from its elements"),
        Some(Source::Star(_)) | None => {}
    }
    let spectral_type = fields.optional_text("spectral_type", LONGEST_TYPE);
    let appeal = Fraction::clamped(fields.number("appeal", 0.0..=1.0));
    let given_public = fields.read_optional("public", "Children, All or Adults");
    let (words, notes) = (words(fields, kind), notes(fields));
    Some(Target {
        id,
        name,
        other_names,
        kind: kind?,
        source: source?,
        size,
        position_angle: position_angle.map(Angle::from_degrees),
        magnitude,
        surface_brightness: given.map(SurfaceBrightness).or_else(|| {
            let (long, short) = size?;
            Some(SurfaceBrightness::mean(magnitude?, long, short))
        }),
        core,
        double,
        feature,
        spectral_type,
        appeal,
        given_public,
        words,
        notes,
    })
}

/// Either a body that goes with the kind, or coordinates; or the elements of a comet.
fn source(fields: &Fields<'_>, kind: Option<Kind>) -> Option<Source> {
    if kind == Some(Kind::Comet) || fields.has("comet_elements") {
        return comet_source(fields, kind).map(Source::Comet);
    }
    if fields.has("body") == (fields.has("ra_deg") || fields.has("dec_deg")) {
        let message = "a target needs either `body`, or `ra_deg` and `dec_deg`";
        fields.fault("id", message, "Give `body` for the Moon and the planets, coordinates for all others");
        return None;
    }
    if !fields.has("body") {
        if matches!(kind, Some(Kind::Moon | Kind::Planet)) {
            fields.fault(
                "kind",
                "the Moon and the planets have no fixed place",
                "Give `body: ...` instead of coordinates",
            );
        }
        return Some(Source::Star(star_place(fields)));
    }
    let body = fields.word::<Body>("body")?;
    let fits = match (body, kind) {
        (Body::Sun, _) => {
            let message = "the Sun can't be a target of a public evening";
            fields.fault(
                "body",
                message,
                "Take this entry out; never point at the Sun without a proper filter",
            );
            return None;
        }
        (_, None) => true,
        (Body::Moon, Some(kind)) => kind == Kind::Moon,
        (_, Some(kind)) => kind == Kind::Planet,
    };
    if !fits {
        let message = format!("{} does not go with this kind", body.name());
        fields.fault("kind", message, "Use `Moon` for the Moon and `Planet` for a planet");
    }
    Some(Source::Body(body))
}

fn comet_source(fields: &Fields<'_>, kind: Option<Kind>) -> Option<CometElements> {
    if kind.is_some_and(|kind| kind != Kind::Comet) {
        fields.fault("kind", "only a comet is placed by `comet_elements`", "Make it `kind: Comet`");
    }
    for key in ["body", "ra_deg", "dec_deg", "pm_ra_cosdec_mas_per_yr", "pm_dec_mas_per_yr"] {
        if fields.has(key) {
            fields.fault(key, "a comet has no place but that of its elements", "Take it out");
        }
    }
    fields.group("comet_elements", |group| {
        let faults_before = group.fault_count();
        let elements = CometElements {
            perihelion: tt_day(group, "perihelion_tt"),
            perihelion_distance_au: any_number(group, "perihelion_distance_au"),
            eccentricity: any_number(group, "eccentricity"),
            inclination_deg: any_number(group, "inclination_deg"),
            ascending_node_deg: any_number(group, "ascending_node_deg"),
            perihelion_argument_deg: any_number(group, "perihelion_argument_deg"),
            epoch: group.has("epoch_tt").then(|| tt_day(group, "epoch_tt")),
            magnitude_h: group.optional_number("magnitude_h", ANY),
            slope_n: group.optional_number("slope_n", ANY).unwrap_or(CometElements::USUAL_SLOPE_N),
        };
        if let Some(fault) = elements.fault().filter(|_| group.fault_count() == faults_before) {
            group.fault(fault.key, fault.to_string(), "Take the elements from their source again");
        }
        Some(elements)
    })
}

/// A range that leaves the judging to the elements themselves.
const ANY: RangeInclusive<f64> = -1e12..=1e12;

fn any_number(fields: &Fields<'_>, key: &'static str) -> f64 {
    fields.number(key, ANY)
}

/// A day of TT with a decimal fraction; a stand-in where it is none, and that is told.
fn tt_day(fields: &Fields<'_>, key: &'static str) -> Instant {
    const LONGEST: usize = 40;
    let faults_before = fields.fault_count();
    let text = fields.text(key, LONGEST);
    let day = read_tt_day(&text);
    if day.is_none() && fields.fault_count() == faults_before {
        let message = format!("expected a day of Terrestrial Time, found \"{text}\"");
        fields.fault(key, message, "Write it like \"2027-03-02.1234\"");
    }
    day.unwrap_or(Instant::J2000)
}

/// A satellite; a fault if SGP4 can't follow it.
fn satellite(fields: &Fields<'_>) -> SatelliteElements {
    const LONGEST: usize = 40;
    let name = fields.name("name");
    let catalogue_number = fields.optional_count("catalogue_number", 0..=MOST_CATALOGUE_NUMBER).unwrap_or(0);
    let faults_before = fields.fault_count();
    let text = fields.text("epoch_utc", LONGEST);
    let epoch = read_utc(&text);
    if epoch.is_none() && fields.fault_count() == faults_before {
        let message = format!("expected a date and time in UTC, found \"{text}\"");
        fields.fault("epoch_utc", message, "Write it like \"2027-03-13T20:15:00.123456Z\"");
    }
    let elements = SatelliteElements {
        name,
        catalogue_number: u64::from(catalogue_number),
        epoch: epoch.unwrap_or_default(),
        mean_motion_rev_per_day: any_number(fields, "mean_motion_rev_per_day"),
        eccentricity: any_number(fields, "eccentricity"),
        inclination_deg: any_number(fields, "inclination_deg"),
        ascending_node_deg: any_number(fields, "ascending_node_deg"),
        perigee_argument_deg: any_number(fields, "perigee_argument_deg"),
        mean_anomaly_deg: any_number(fields, "mean_anomaly_deg"),
        bstar: any_number(fields, "bstar"),
    };
    if fields.fault_count() == faults_before
        && let Err(fault) = Satellite::new(&elements)
    {
        fields.fault(fault.key, fault.message, "Take the elements from their source again");
    }
    elements
}

/// What to do about a declination out of range.
const DECLINATION_REMEDY: &str = "Give degrees from -90 to 90. Perhaps it was taken from the column of the right \
     ascension, stands in hours or in arcminutes, or its point is missing";

fn star_place(fields: &Fields<'_>) -> StarPlace {
    let right_ascension_deg = fields.number("ra_deg", 0.0..=360.0);
    if right_ascension_deg >= 360.0 {
        fields.fault("ra_deg", "a right ascension of 360 degrees is 0", "Give 0 up to but not including 360");
    }
    let proper_motion = |key| fields.optional_number(key, -20_000.0..=20_000.0).unwrap_or(0.0);
    let declination_deg = fields.number_or("dec_deg", -90.0..=90.0, DECLINATION_REMEDY);
    StarPlace {
        right_ascension: Angle::from_degrees(right_ascension_deg),
        declination: Angle::from_degrees(declination_deg),
        pm_ra_cosdec_mas_per_yr: proper_motion("pm_ra_cosdec_mas_per_yr"),
        pm_dec_mas_per_yr: proper_motion("pm_dec_mas_per_yr"),
    }
}

fn size(fields: &Fields<'_>) -> Option<(Angle, Angle)> {
    let (long, short) = fields.optional_pair("size_arcmin", 0.001..=3600.0)?;
    if long < short {
        let message = format!("the long axis, {long}, is shorter than the short one, {short}");
        fields.fault("size_arcmin", message, "Write the long axis first");
    }
    Some((Angle::from_arcminutes(long), Angle::from_arcminutes(short)))
}

fn core(fields: &Fields<'_>, size: Option<(Angle, Angle)>) -> Option<Core> {
    fields.optional_group("core", |core| {
        let core_size = Angle::from_arcminutes(core.number("size_arcmin", 0.001..=3600.0));
        if size.is_some_and(|(long, _)| core_size > long) {
            core.fault(
                "size_arcmin",
                "the core is larger than the target",
                "Give the diameter of the bright middle",
            );
        }
        let brightness = core.number("surface_brightness_mag_arcsec2", 2.0..=30.0);
        Some(Core { size: core_size, surface_brightness: SurfaceBrightness(brightness) })
    })
}

fn double(fields: &Fields<'_>, kind: Option<Kind>) -> Option<Double> {
    let is_double = kind.is_none_or(|kind| kind == Kind::DoubleStar);
    if fields.has("double") && !is_double {
        fields.fault(
            "double",
            "only a double star has a pair",
            "Make the kind `DoubleStar`, or take this out",
        );
    }
    if !fields.has("double") && kind == Some(Kind::DoubleStar) {
        let remedy = "Add `double: (separation_arcsec: ..., position_angle_deg: ..., magnitudes: (..., ...), colours: ...)`";
        fields.fault("double", "a double star needs its pair", remedy);
    }
    fields.optional_group("double", |pair| {
        let magnitudes = pair.pair("magnitudes", -10.0..=25.0);
        if magnitudes.0 > magnitudes.1 {
            pair.fault("magnitudes", "the first magnitude is the fainter", "Write the brighter one first");
        }
        Some(Double {
            separation: Angle::from_arcseconds(pair.number("separation_arcsec", 0.05..=3600.0)),
            position_angle: Angle::from_degrees(pair.number("position_angle_deg", 0.0..=360.0)),
            magnitudes: (Magnitude(magnitudes.0), Magnitude(magnitudes.1)),
            colours: pair.name("colours"),
        })
    })
}

fn feature(fields: &Fields<'_>, kind: Option<Kind>) -> Option<Feature> {
    if fields.has("feature") && kind.is_some_and(|kind| kind != Kind::Moon) {
        fields.fault(
            "feature",
            "only the Moon has features",
            "Make it `kind: Moon, body: Moon`, or take this out",
        );
    }
    fields.optional_group("feature", |feature| {
        Some(Feature {
            longitude: Angle::from_degrees(feature.number("longitude_deg", -110.0..=110.0)),
            latitude: Angle::from_degrees(feature.number("latitude_deg", -90.0..=90.0)),
            size_km: feature.number("size_km", 1.0..=1500.0),
        })
    })
}

/// The light of both together.
fn combined_magnitude(double: &Double) -> Magnitude {
    Magnitude::from_flux(double.magnitudes.0.flux() + double.magnitudes.1.flux())
}

const COMPUTED_OF_BODIES: [&str; 5] =
    ["size_arcmin", "position_angle_deg", "magnitude", "surface_brightness_mag_arcsec2", "core"];
const COMPUTED_OF_COMETS: [&str; 2] = ["magnitude", "surface_brightness_mag_arcsec2"];

/// What follows from the ephemeris can't be given by hand.
fn refuse_computed(fields: &Fields<'_>, keys: &[&'static str], of_what: &str) {
    for key in keys {
        if fields.has(key) {
            fields.fault(key, format!("this is computed for {of_what}"), "Take it out");
        }
    }
}

/// Words for the public; what is left out is what is usual for the kind.
fn words(fields: &Fields<'_>, kind: Option<Kind>) -> Words {
    let [line, comparison, look_for, cue] = kind.map_or([""; 4], usual_texts);
    let text = |key, longest, usual: &str| {
        if fields.has(key) { fields.text(key, longest) } else { usual.to_owned() }
    };
    let words = Words {
        line: text("line", LONGEST_LINE, line),
        comparison: text("comparison", LONGEST_LINE, comparison),
        look_for: text("look_for", LONGEST_LOOK_FOR, look_for),
        cue: text("cue", LONGEST_LINE, cue),
    };
    let count = words.cue.split_whitespace().count();
    if count > MOST_CUE_WORDS {
        fields.fault(
            "cue",
            format!("the cue has {count} words"),
            format!("Use at most {MOST_CUE_WORDS}: it is read in the dark"),
        );
    }
    words
}

fn notes(fields: &Fields<'_>) -> TargetNotes {
    let photos = fields.texts("photos", LONGEST_PHOTO);
    if photos.len() > MOST_PHOTOS {
        let message = format!("there are {} photos", photos.len());
        fields.fault("photos", message, format!("Name at most {MOST_PHOTOS}"));
    }
    TargetNotes {
        at_home: fields.optional_text("at_home", LONGEST_AT_HOME).unwrap_or_default(),
        crew: fields.optional_text("notes", LONGEST_NOTES).unwrap_or_default(),
        photos,
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_SATELLITES, read_catalogue};
    use crate::catalogue::TargetId;
    use crate::lists::id_for;

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.catalogue.ron");

    #[test]
    fn the_demo_reads_without_a_fault() {
        let (catalogue, faults) = read_catalogue("heron-fell.catalogue.ron", DEMO);
        assert_eq!(faults, []);
        assert!(catalogue.targets.len() > 100);
    }

    #[test]
    fn a_bad_target_is_left_out_and_the_rest_comes_in() {
        let bad = DEMO.replacen("ra_deg: 11.9021", "ra_deg: 411.9021", 1).replacen(
            "size_arcmin: (9.0, 7.0)",
            "size_arcmim: (9.0, 7.0)",
            1,
        );
        let (whole, _) = read_catalogue("c", DEMO);
        let (rest, faults) = read_catalogue("c", &bad);
        assert_eq!(rest.targets.len() + 2, whole.targets.len());
        assert!(rest.get(&TargetId("market-lamps".into())).is_none());
        let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(faults.len(), 2, "{lines:?}");
        assert!(lines[0].contains("targets[8].ra_deg") && lines[0].contains("411.9021"), "{lines:?}");
        assert!(lines[1].contains("Did you mean `size_arcmin`?"), "{lines:?}");
        let line = bad.lines().nth(faults[1].line - 1).unwrap();
        let column = line.chars().skip(faults[1].column - 1).collect::<String>();
        assert!(column.starts_with("size_arcmim"), "{column}");
    }

    #[test]
    fn too_many_satellites_are_told_and_the_first_are_read() {
        let one = "(name: \"Pond Lamp\", epoch_utc: \"2027-03-13T20:15:00Z\", mean_motion_rev_per_day: 15.5, eccentricity: 0.001, \
                   inclination_deg: 51.6, ascending_node_deg: 10.0, perigee_argument_deg: 0.0, mean_anomaly_deg: 0.0, bstar: 0.0001),\n";
        let of = |count: usize| {
            let list = one.repeat(count);
            let text =
                format!("(format: \"evenfall-catalogue/1\", name: \"x\", targets: [], satellites: [{list}])");
            let (catalogue, faults) = read_catalogue("c", &text);
            (catalogue.satellites.len(), faults.iter().map(ToString::to_string).collect::<Vec<_>>())
        };
        assert_eq!(of(MOST_SATELLITES), (MOST_SATELLITES, Vec::new()));
        let (read, faults) = of(MOST_SATELLITES + 2);
        assert_eq!((read, faults.len()), (MOST_SATELLITES, 1), "{faults:?}");
        assert!(faults[0].contains("there are 1002 satellites"), "{faults:?}");
    }

    #[test]
    fn a_declination_out_of_range_says_what_may_be_wrong_and_its_entry_keeps_its_id() {
        let (catalogue, faults) = read_catalogue("c", &DEMO.replacen("dec_deg: ", "dec_deg: 1", 1));
        let told = faults[0].to_string();
        assert!(told.contains("dec_deg") && told.contains("column of the right ascension"), "{told}");
        let [id] = &catalogue.unread_ids[..] else { panic!("{:?}", catalogue.unread_ids) };
        assert_eq!(id_for(&id.0, &catalogue).0, format!("{id}-2"), "it stands in the file");
    }

    #[test]
    fn a_place_on_the_moon_is_read_and_a_bad_one_told() {
        let (catalogue, _) = read_catalogue("c", DEMO);
        let wall = catalogue.get(&TargetId("shepherds-wall".into())).unwrap();
        assert!((wall.feature.unwrap().longitude.degrees() - 27.0).abs() < 1e-9);
        for (good, bad, says) in [
            ("longitude_deg: 27.0", "longitude_deg: 127.0", "127"),
            ("size_km: 110.0", "size_km: 0.0", "size_km"),
            ("size_km: 110.0", "size_km: NaN", "size_km"),
            ("latitude_deg: -8.5, ", "", "latitude_deg"),
        ] {
            let (rest, faults) = read_catalogue("c", &DEMO.replacen(good, bad, 1));
            assert!(rest.get(&TargetId("shepherds-wall".into())).is_none(), "{bad}");
            assert!(faults.len() == 1 && faults[0].to_string().contains(says), "{faults:?}");
        }
        let planet = DEMO.replacen(
            "body: Mars, appeal: 0.78,",
            "body: Mars, appeal: 0.78, feature: (longitude_deg: 1.0, latitude_deg: 1.0, size_km: 9.0),",
            1,
        );
        let (_, faults) = read_catalogue("c", &planet);
        assert!(faults[0].to_string().contains("only the Moon has features"), "{faults:?}");
    }
}
