//! What is wrong with what is typed about a target, and how it is read.

use std::ops::RangeInclusive;

use evenfall_core::catalogue::{
    Kind, LONGEST_AT_HOME, LONGEST_LINE, LONGEST_LOOK_FOR, LONGEST_NAME, LONGEST_NOTES, LONGEST_PHOTO,
    LONGEST_TYPE, MOST_CUE_WORDS, MOST_PHOTOS, folded_name,
};
use evenfall_core::lists::{read_place, read_size};
use evenfall_core::maths::Vec3;
use evenfall_core::place::{Source, StarPlace};
use evenfall_core::sheet::upper_first;
use evenfall_core::units::{Angle, Magnitude, SurfaceBrightness};

use super::texts::{place_words, short, size_words};
use super::{TargetField, TargetForm, parts};
use crate::state::Judgement;
use crate::state::own_evening::number::{number, two_ways};

/// So near to the place before, a place that is typed is that of the same star; hardly any has moved further since the first
/// catalogues of proper motions. Common practice, no source.
const SAME_STAR_ARCMIN: f64 = 10.0;
/// Sizes that a catalogue takes, in arcminutes.
const SIZES_ARCMIN: RangeInclusive<f64> = 0.001..=3600.0;

impl TargetForm {
    /// Judges what stands in a field.
    pub fn judge(&self, field: TargetField) -> Judgement {
        let typed = self.plain(field);
        let typed = typed.as_str();
        if self.example.get(&field).is_some_and(|example| example == self.text(field)) {
            let words = "This is the example's: write over it what is true of yours, or empty it.";
            return Judgement::Wrong(words.to_owned());
        }
        match field {
            TargetField::Name => match words(typed, LONGEST_NAME) {
                Judgement::Good(_) if typed.is_empty() => Judgement::Missing,
                Judgement::Good(_) if self.taken.contains(&folded_name(typed)) => {
                    Judgement::Odd("Another target has this name.".to_owned())
                }
                judgement => judgement,
            },
            TargetField::OtherNames => each_within(&parts(typed, &[',', ';']), LONGEST_NAME, "name"),
            TargetField::Place => self.judge_place(typed),
            TargetField::Size => judge_size(typed),
            TargetField::PositionAngle => maybe(typed, 0.0..=360.0, "degrees"),
            TargetField::Magnitude => match maybe(typed, -10.0..=25.0, "magnitudes") {
                Judgement::Good(_) if typed.is_empty() => Judgement::Good(self.magnitude_followed()),
                judgement => judgement,
            },
            TargetField::SurfaceBrightness => match maybe(typed, 5.0..=30.0, "mag/arcsec²") {
                Judgement::Good(_) if typed.is_empty() => Judgement::Good(self.brightness_followed()),
                judgement => judgement,
            },
            TargetField::SpectralType => unknown_or(typed, words(typed, LONGEST_TYPE)),
            TargetField::Separation => needed(typed, 0.05..=3600.0, "arcseconds"),
            TargetField::PairAngle => needed(typed, 0.0..=360.0, "degrees"),
            TargetField::PairMagnitudes => self.judge_pair(typed),
            TargetField::Colours if typed.is_empty() => Judgement::Missing,
            TargetField::Colours => words(typed, LONGEST_NAME),
            TargetField::Story | TargetField::Comparison => usual_or(typed, words(typed, LONGEST_LINE)),
            TargetField::LookFor => usual_or(typed, words(typed, LONGEST_LOOK_FOR)),
            TargetField::Cue => match typed.split_whitespace().count() {
                count if count > MOST_CUE_WORDS => {
                    Judgement::Wrong(format!("These are {count} words: use at most {MOST_CUE_WORDS}."))
                }
                _ => usual_or(typed, words(typed, LONGEST_LINE)),
            },
            TargetField::AtHome => words(typed, LONGEST_AT_HOME),
            TargetField::Notes => words(typed, LONGEST_NOTES),
            TargetField::Photos => self.judge_photos(typed),
        }
    }

    fn judge_place(&self, typed: &str) -> Judgement {
        if typed.is_empty() {
            return Judgement::Missing;
        }
        match read_place(typed) {
            Err(wrong) => Judgement::Wrong(sentence(&wrong)),
            Ok(place) => {
                let degrees = |angle: Angle| format!("{:.4}°", angle.degrees());
                let (ra, dec) = (degrees(place.right_ascension), degrees(place.declination));
                let moves = self.motion_words(place);
                Judgement::Good(format!("Read as {} (J2000): {ra}, {dec}{moves}", place_words(place)))
            }
        }
    }

    /// A place that was typed, with the proper motion of the target that it was typed for: the same star put right, where it
    /// lies close to the old place.
    pub(super) fn moving_on(&self, typed: StarPlace) -> StarPlace {
        match self.before.source {
            Source::Star(before) if !self.before.name.is_empty() && is_beside(before, typed) => {
                let StarPlace { right_ascension, declination, .. } = typed;
                StarPlace { right_ascension, declination, ..before }
            }
            _ => typed,
        }
    }

    fn motion_words(&self, typed: StarPlace) -> &'static str {
        let moves = |place: StarPlace| place.pm_ra_cosdec_mas_per_yr != 0.0 || place.pm_dec_mas_per_yr != 0.0;
        match self.before.source {
            Source::Star(before) if moves(before) && moves(self.moving_on(typed)) => {
                "; its proper motion is kept"
            }
            Source::Star(before) if moves(before) => "; its proper motion is left out: this is another place",
            _ => "",
        }
    }

    /// The two magnitudes of a pair.
    pub(super) fn pair_magnitudes(&self) -> Option<(f64, f64)> {
        let typed = self.plain(TargetField::PairMagnitudes).replace("and", " ").replace([';', '/'], " ");
        let numbers: Option<Vec<f64>> = typed.replace(", ", " ").split_whitespace().map(number).collect();
        match numbers?.as_slice() {
            [one, other] => Some((*one, *other)),
            _ => None,
        }
    }

    fn judge_pair(&self, typed: &str) -> Judgement {
        if typed.is_empty() {
            return Judgement::Missing;
        }
        match self.pair_magnitudes() {
            None => Judgement::Wrong("Write both, the brighter first, such as 3.2 and 5.1.".to_owned()),
            Some((one, other)) if ![one, other].iter().all(|own| (-10.0..=25.0).contains(own)) => {
                Judgement::Wrong("Both lie from -10 to 25.".to_owned())
            }
            Some((one, other)) if one > other => {
                Judgement::Wrong("The brighter comes first: it has the smaller magnitude.".to_owned())
            }
            Some((one, other)) => {
                let both = Magnitude::from_flux(Magnitude(one).flux() + Magnitude(other).flux());
                Judgement::Good(format!("Together {:.1}", both.0))
            }
        }
    }

    fn magnitude_followed(&self) -> String {
        if self.kind == Kind::DoubleStar {
            "It follows from the two".to_owned()
        } else {
            NOT_KNOWN.to_owned()
        }
    }

    fn brightness_followed(&self) -> String {
        let size = read_size(&self.plain(TargetField::Size));
        let magnitude = number(&self.plain(TargetField::Magnitude));
        match size.zip(magnitude) {
            Some(((long, short), magnitude)) => {
                let mean = SurfaceBrightness::mean(Magnitude(magnitude), long, short);
                format!("It follows from magnitude and size: {:.1}", mean.0)
            }
            None => NOT_KNOWN.to_owned(),
        }
    }

    fn judge_photos(&self, typed: &str) -> Judgement {
        let named = self.photos();
        if named.len() > MOST_PHOTOS {
            return Judgement::Wrong(format!("These are {}: name at most {MOST_PHOTOS}.", named.len()));
        }
        let judgement = each_within(&named, LONGEST_PHOTO, "path");
        if matches!(judgement, Judgement::Wrong(_)) {
            return judgement;
        }
        let missing: Vec<&str> = named
            .iter()
            .filter(|photo| self.photo_path(photo).is_some_and(|path| self.missing.contains(&path)))
            .map(String::as_str)
            .collect();
        if !missing.is_empty() {
            return Judgement::Odd(format!("Not there now: {}. The name is kept.", missing.join("; ")));
        }
        let kept = named.join("; ");
        Judgement::Good(if kept == parts(typed, &[';']).join("; ") {
            String::new()
        } else {
            format!("Kept as {kept}")
        })
    }
}

const NOT_KNOWN: &str = "Not known";
const USUAL: &str = "Empty: the usual words of its kind";

fn sentence(words: &str) -> String {
    format!("{}.", upper_first(words).trim_end_matches('.'))
}

fn words(typed: &str, longest: usize) -> Judgement {
    match typed.chars().count() {
        count if count > longest => {
            Judgement::Wrong(format!("{count} characters: it is printed, so use at most {longest}."))
        }
        _ => Judgement::Good(String::new()),
    }
}

fn usual_or(typed: &str, judgement: Judgement) -> Judgement {
    if typed.is_empty() { Judgement::Good(USUAL.to_owned()) } else { judgement }
}

fn unknown_or(typed: &str, judgement: Judgement) -> Judgement {
    if typed.is_empty() { Judgement::Good(NOT_KNOWN.to_owned()) } else { judgement }
}

fn each_within(all: &[String], longest: usize, what: &str) -> Judgement {
    match all.iter().find(|one| one.chars().count() > longest) {
        Some(long) => {
            let begin: String = long.chars().take(20).collect();
            Judgement::Wrong(format!("The {what} \"{begin}…\" is longer than {longest} characters."))
        }
        None => Judgement::Good(String::new()),
    }
}

fn maybe(typed: &str, range: RangeInclusive<f64>, unit: &str) -> Judgement {
    if typed.is_empty() { Judgement::Good(NOT_KNOWN.to_owned()) } else { needed(typed, range, unit) }
}

fn needed(typed: &str, range: RangeInclusive<f64>, unit: &str) -> Judgement {
    if typed.is_empty() {
        return Judgement::Missing;
    }
    if let Some(two) = two_ways(typed) {
        return Judgement::Wrong(two);
    }
    let (least, most) = (range.start(), range.end());
    match number(typed) {
        None => Judgement::Wrong("Write a number.".to_owned()),
        Some(value) if !range.contains(&value) => {
            Judgement::Wrong(format!("It goes from {least} to {most} {unit}."))
        }
        Some(value) => {
            let read = short(value);
            Judgement::Good(if read == typed { String::new() } else { format!("Read as {read} {unit}") })
        }
    }
}

fn judge_size(typed: &str) -> Judgement {
    if typed.is_empty() {
        return Judgement::Good(NOT_KNOWN.to_owned());
    }
    match read_size(typed) {
        None => Judgement::Wrong(
            "Write a size above 0, such as 12 or 12 x 8; leave it empty if it is not known.".to_owned(),
        ),
        Some(size) if ![size.0, size.1].iter().all(|axis| SIZES_ARCMIN.contains(&axis.arcminutes())) => {
            Judgement::Wrong("It goes from 0.001 to 3600 arcminutes.".to_owned())
        }
        Some(size) => {
            let read = size_words(size);
            Judgement::Good(if read == typed { String::new() } else { format!("Read as {read} arcminutes") })
        }
    }
}

fn is_beside(one: StarPlace, other: StarPlace) -> bool {
    let direction = |place: StarPlace| Vec3::from_spherical(place.right_ascension, place.declination);
    direction(one).angle_to(direction(other)).arcminutes() <= SAME_STAR_ARCMIN
}
