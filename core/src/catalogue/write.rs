//! A catalogue to RON, as the demo is written: reading it gives the same catalogue.

use std::fmt::{self, Write as _};

use super::usual_words::usual_texts;
use super::{CATALOGUE_FORMAT, Catalogue, Target};
use crate::elements::{CometElements, SatelliteElements, write_tt_day, write_utc};
use crate::place::Source;
use crate::reading::comments_above;
use crate::units::{Angle, SurfaceBrightness};

/// What stands above the targets for those who write on.
const TEACHING: &str = "\
// A catalogue of targets.
//
// How to write on
//   The file is RON: round brackets hold an entry, square brackets hold a list, text stands in double quotes, a comma ends
//   each item, and two slashes start a comment that runs to the end of the line.
//   A key that is optional is left out when you do not know its value. Never put 0 for \"unknown\".
//
// Keys of every target
//   id            short and lasting: a-z, 0-9 and hyphens. Saved evenings refer to it, so do not change it later.
//   name          as it is printed and searched for.
//   other_names   other names and designations it is found by. Optional.
//   kind          Moon, Planet, Star, DoubleStar, OpenCluster, GlobularCluster, PlanetaryNebula, Nebula,
//                 SupernovaRemnant, Galaxy, DarkNebula or Comet.
//   appeal        0.0 to 1.0: the pleasure it gives to a mixed public on a first visit. Rate what you show.
//   public        whom it pleases most: Children, All or Adults. Optional; left out, it follows from the kind.
//   line, comparison, look_for, cue
//                 words for the public: a sentence, a comparison, one thing to look for, at most seven words for the host.
//                 Left out, they say only what is true of every target of its kind: write your own.
//   at_home, notes, photos
//                 how to find it from home, notes for the crew, and a list of files beside the catalogue. Optional.
//
// Keys of targets beyond the solar system
//   ra_deg, dec_deg    ICRS right ascension and declination in degrees, for epoch J2000.0.
//   pm_ra_cosdec_mas_per_yr, pm_dec_mas_per_yr
//                      proper motion in milliarcseconds a year. Optional.
//   size_arcmin        (long axis, short axis) in arcminutes. Optional, but the fit to a port's field needs it.
//   position_angle_deg of the long axis, from north through east. Optional.
//   magnitude          integrated V magnitude. Optional.
//   surface_brightness_mag_arcsec2
//                      Optional. Left out, it follows from magnitude and size.
//
// Keys of a comet: no ra_deg and dec_deg, no magnitude, but its elements, for the ecliptic and equinox of J2000.0
//   comet_elements     (perihelion_tt: \"2027-03-02.1234\", perihelion_distance_au, eccentricity, inclination_deg,
//                      ascending_node_deg, perihelion_argument_deg; optional: epoch_tt, magnitude_h, slope_n, with
//                      m1 = H + 5 log(distance) + 2.5 n log(distance from the Sun)). Renew them every few weeks.
//
// Satellites, whose passes are told as events of the night: `satellites: [...]` below the targets. Bring them in with
// `evenfall convert`; renew them in the days before the evening.
";

/// The catalogue as text. The targets keep their order; each key stands in a fixed one. A target as [`super::read_catalogue`] makes
/// it is read back the same, bit for bit.
pub fn write_catalogue(catalogue: &Catalogue) -> String {
    below(catalogue_head(&catalogue.name), catalogue)
}

/// As [`write_catalogue`], below the comments that an older text of the catalogue has at its top.
pub fn write_catalogue_as_in(old: &str, catalogue: &Catalogue) -> String {
    below(catalogue_head_as_in(old, &catalogue.name), catalogue)
}

fn below(mut text: String, catalogue: &Catalogue) -> String {
    text.reserve(400 * catalogue.targets.len());
    for target in &catalogue.targets {
        write_target(&mut text, target);
    }
    text + &catalogue_tail(&catalogue.satellites)
}

/// The end of a catalogue's text, behind its targets, with its satellites.
pub fn catalogue_tail(satellites: &[SatelliteElements]) -> String {
    let mut text = "  ],\n".to_owned();
    if !satellites.is_empty() {
        text += "  satellites: [\n";
        for satellite in satellites {
            write_satellite(&mut text, satellite);
        }
        text += "  ],\n";
    }
    text + ")\n"
}

fn write_satellite(text: &mut String, satellite: &SatelliteElements) {
    let _ = write!(text, "    (\n      name: {}, ", Quoted(&satellite.name));
    if satellite.catalogue_number > 0 {
        let _ = write!(text, "catalogue_number: {}, ", satellite.catalogue_number);
    }
    let _ = write!(
        text,
        "epoch_utc: {:?},\n      mean_motion_rev_per_day: {:?}, eccentricity: {:?}, inclination_deg: {:?},\n      \
         ascending_node_deg: {:?}, perigee_argument_deg: {:?}, mean_anomaly_deg: {:?}, bstar: {:?},\n    ),\n",
        write_utc(satellite.epoch),
        satellite.mean_motion_rev_per_day,
        satellite.eccentricity,
        satellite.inclination_deg,
        satellite.ascending_node_deg,
        satellite.perigee_argument_deg,
        satellite.mean_anomaly_deg,
        satellite.bstar,
    );
}

fn write_comet_elements(text: &mut String, comet: &CometElements) {
    let _ = write!(
        text,
        "      comet_elements: (\n        perihelion_tt: {:?}, perihelion_distance_au: {:?}, eccentricity: {:?},\n        \
         inclination_deg: {:?}, ascending_node_deg: {:?}, perihelion_argument_deg: {:?},",
        write_tt_day(comet.perihelion),
        comet.perihelion_distance_au,
        comet.eccentricity,
        comet.inclination_deg,
        comet.ascending_node_deg,
        comet.perihelion_argument_deg,
    );
    text.push_str("\n       ");
    if let Some(epoch) = comet.epoch {
        let _ = write!(text, " epoch_tt: {:?},", write_tt_day(epoch));
    }
    if let Some(magnitude) = comet.magnitude_h {
        let _ = write!(text, " magnitude_h: {magnitude:?},");
    }
    let _ = write!(text, " slope_n: {:?},\n      ),\n", comet.slope_n);
}

/// What stands above the targets of a catalogue. With [`write_target`] for each of them and [`catalogue_tail`] it is written
/// piece by piece, as [`write_catalogue`] writes it whole.
pub fn catalogue_head(name: &str) -> String {
    catalogue_head_below(TEACHING, name)
}

/// As [`catalogue_head`], below the comments that an older text of the catalogue has at its top; where it has none, below the
/// usual ones.
pub fn catalogue_head_as_in(old: &str, name: &str) -> String {
    let comments = comments_above(old).trim_end();
    if comments.is_empty() {
        catalogue_head(name)
    } else {
        catalogue_head_below(&format!("{comments}\n"), name)
    }
}

fn catalogue_head_below(comments: &str, name: &str) -> String {
    format!("{comments}(\n  format: \"{CATALOGUE_FORMAT}\",\n  name: {name:?},\n  targets: [\n")
}

/// The keys of a target in their order.
pub(super) const TARGET_KEYS: [&str; 27] = [
    "id",
    "name",
    "other_names",
    "kind",
    "body",
    "appeal",
    "public",
    "spectral_type",
    "comet_elements",
    "ra_deg",
    "dec_deg",
    "pm_ra_cosdec_mas_per_yr",
    "pm_dec_mas_per_yr",
    "size_arcmin",
    "position_angle_deg",
    "magnitude",
    "surface_brightness_mag_arcsec2",
    "core",
    "double",
    "feature",
    "line",
    "comparison",
    "look_for",
    "cue",
    "at_home",
    "notes",
    "photos",
];

/// Those of its words for the public.
pub(super) const WORDS_KEYS: [&str; 4] = ["line", "comparison", "look_for", "cue"];

/// Adds a target of a catalogue to its text.
pub fn write_target(text: &mut String, target: &Target) {
    // Writing to a text can't fail.
    let _ = write!(text, "    (\n      id: {}, name: {},\n", Quoted(&target.id.0), Quoted(&target.name));
    if !target.other_names.is_empty() {
        let _ = writeln!(text, "      other_names: {:?},", target.other_names);
    }
    let _ = write!(text, "      kind: {:?}, ", target.kind);
    if let Source::Body(body) = target.source {
        let _ = write!(text, "body: {body:?}, ");
    }
    let _ = write!(text, "appeal: {:?},", target.appeal.value());
    if let Some(public) = target.given_public {
        let _ = write!(text, " public: {public:?},");
    }
    if let Some(spectral_type) = &target.spectral_type {
        let _ = write!(text, " spectral_type: {spectral_type:?},");
    }
    text.push('\n');
    if let Source::Star(place) = target.source {
        let ra = exact(place.right_ascension, Angle::degrees, Angle::from_degrees);
        let dec = exact(place.declination, Angle::degrees, Angle::from_degrees);
        let _ = writeln!(text, "      ra_deg: {ra:?}, dec_deg: {dec:?},");
        if place.pm_ra_cosdec_mas_per_yr != 0.0 || place.pm_dec_mas_per_yr != 0.0 {
            let (ra, dec) = (place.pm_ra_cosdec_mas_per_yr, place.pm_dec_mas_per_yr);
            let _ = writeln!(text, "      pm_ra_cosdec_mas_per_yr: {ra:?}, pm_dec_mas_per_yr: {dec:?},");
        }
        write_light(text, target);
    }
    if let Source::Comet(comet) = &target.source {
        write_comet_elements(text, comet);
        write_light(text, target);
    }
    if let Some(feature) = &target.feature {
        let longitude = exact(feature.longitude, Angle::degrees, Angle::from_degrees);
        let latitude = exact(feature.latitude, Angle::degrees, Angle::from_degrees);
        let _ = writeln!(
            text,
            "      feature: (longitude_deg: {longitude:?}, latitude_deg: {latitude:?}, size_km: {:?}),",
            feature.size_km
        );
    }
    let words = &target.words;
    let own = [&words.line, &words.comparison, &words.look_for, &words.cue];
    for ((key, own), usual) in WORDS_KEYS.into_iter().zip(own).zip(usual_texts(target.kind)) {
        if own != usual {
            let _ = writeln!(text, "      {key}: {},", Quoted(own));
        }
    }
    let notes = &target.notes;
    for (key, own) in [("at_home", &notes.at_home), ("notes", &notes.crew)] {
        if !own.is_empty() {
            let _ = writeln!(text, "      {key}: {},", Quoted(own));
        }
    }
    if !notes.photos.is_empty() {
        let _ = writeln!(text, "      photos: {:?},", notes.photos);
    }
    text.push_str("    ),\n");
}

/// A text between quotation marks, as `{:?}` writes it; what is plain costs no look at each letter.
struct Quoted<'t>(&'t str);

impl fmt::Display for Quoted<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is_plain = |byte: u8| matches!(byte, b' '..=b'~') && byte != b'"' && byte != b'\\';
        if self.0.bytes().all(is_plain) {
            f.write_str("\"")?;
            f.write_str(self.0)?;
            return f.write_str("\"");
        }
        write!(f, "{:?}", self.0)
    }
}

/// Sizes and brightness of a target beyond the solar system.
fn write_light(text: &mut String, target: &Target) {
    let mut keys = Vec::new();
    let arcminutes = |angle: Angle| exact(angle, Angle::arcminutes, Angle::from_arcminutes);
    if let Some((long, short)) = target.size {
        keys.push(format!("size_arcmin: ({:?}, {:?})", arcminutes(long), arcminutes(short)));
    }
    if let Some(angle) = target.position_angle {
        keys.push(format!("position_angle_deg: {:?}", exact(angle, Angle::degrees, Angle::from_degrees)));
    }
    if let Some(magnitude) = target.magnitude {
        keys.push(format!("magnitude: {:?}", magnitude.0));
    }
    let mean = target.size.zip(target.magnitude);
    let mean = mean.map(|((long, short), magnitude)| SurfaceBrightness::mean(magnitude, long, short));
    // What follows from magnitude and size may lie beyond what may be given.
    if let Some(brightness) = target.surface_brightness.filter(|brightness| Some(*brightness) != mean) {
        keys.push(format!("surface_brightness_mag_arcsec2: {:?}", brightness.0));
    }
    if let Some(core) = &target.core {
        keys.push(format!(
            "core: (size_arcmin: {:?}, surface_brightness_mag_arcsec2: {:?})",
            arcminutes(core.size),
            core.surface_brightness.0
        ));
    }
    if !keys.is_empty() {
        let _ = writeln!(text, "      {},", keys.join(", "));
    }
    if let Some(double) = &target.double {
        let separation = exact(double.separation, Angle::arcseconds, Angle::from_arcseconds);
        let position_angle = exact(double.position_angle, Angle::degrees, Angle::from_degrees);
        let _ = writeln!(
            text,
            "      double: (separation_arcsec: {separation:?}, position_angle_deg: {position_angle:?}, \
             magnitudes: ({:?}, {:?}), colours: {:?}),",
            double.magnitudes.0.0, double.magnitudes.1.0, double.colours
        );
    }
}

/// The number in a unit that gives the same angle when it is read: the shortest near it.
fn exact(angle: Angle, of: fn(Angle) -> f64, back: fn(f64) -> Angle) -> f64 {
    let number = of(angle);
    for steps in [1e2, 1e4, 1e6, 1e8, 1e10, 1e12] {
        let short = (number * steps).round() / steps;
        if back(short) == angle {
            return short;
        }
    }
    // A product rounds twice, so the number that was read may be the next but one.
    let (below, above) = (number.next_down(), number.next_up());
    let near = [number, below, above, below.next_down(), above.next_up()];
    near.into_iter().find(|near| back(*near) == angle).unwrap_or(number)
}

#[cfg(test)]
mod tests {
    use super::{TEACHING, write_catalogue, write_catalogue_as_in, write_target};
    use crate::catalogue::{Kind, read_catalogue, usual_words};

    #[test]
    fn the_demo_is_read_back_as_it_was() {
        let demo = include_str!("../../../catalog-demo/heron-fell.catalogue.ron");
        let (catalogue, _) = read_catalogue("demo", demo);
        let text = write_catalogue(&catalogue);
        let (again, faults) = read_catalogue("again", &text);
        assert_eq!(faults, []);
        assert_eq!(again, catalogue);
        assert_eq!(write_catalogue(&again), text, "same input, same bytes");
        assert!(text.contains("ra_deg: 11.9021, dec_deg: 65.5375,"), "numbers stay short");
    }

    #[test]
    fn words_usual_for_a_kind_are_left_out_and_follow_it() {
        let demo = include_str!("../../../catalog-demo/heron-fell.catalogue.ron");
        let (mut catalogue, _) = read_catalogue("demo", demo);
        catalogue.targets.retain(|target| target.kind == Kind::Galaxy);
        catalogue.targets.truncate(1);
        let target = &mut catalogue.targets[0];
        target.words = usual_words(Kind::Galaxy);
        target.words.cue = "Look twice.".to_owned();
        let mut text = String::new();
        write_target(&mut text, target);
        assert!(text.contains("cue: \"Look twice.\""), "{text}");
        assert!(!["line:", "comparison:", "look_for:"].iter().any(|key| text.contains(key)), "{text}");
        let text = write_catalogue(&catalogue);
        assert_eq!(read_catalogue("c", &text), (catalogue, Vec::new()));
        let (nebula, _) = read_catalogue("c", &text.replace("kind: Galaxy", "kind: Nebula"));
        assert_eq!(nebula.targets[0].words.line, usual_words(Kind::Nebula).line);
    }

    #[test]
    fn the_comments_at_the_top_of_an_older_text_stay() {
        let demo = include_str!("../../../catalog-demo/heron-fell.catalogue.ron");
        let (catalogue, _) = read_catalogue("demo", demo);
        let text = write_catalogue_as_in(demo, &catalogue);
        let above = |text: &str| text.lines().take_while(|line| line.starts_with("//")).count();
        assert!(above(demo) > 10);
        assert!(demo.lines().zip(text.lines()).take(above(demo)).all(|(old, new)| old == new));
        assert_eq!(read_catalogue("again", &text), (catalogue.clone(), Vec::new()));
        assert!(write_catalogue_as_in("(format: \"x\")", &catalogue).starts_with(TEACHING));
    }
}
