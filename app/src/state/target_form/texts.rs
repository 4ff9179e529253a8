//! What stands in the fields at first, and how places and sizes are told.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use evenfall_core::catalogue::{
    Catalogue, Double, Kind, Target, TargetId, TargetNotes, Words, folded_name, read_catalogue, usual_words,
};
use evenfall_core::place::{Source, StarPlace};
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

use super::{TargetField, TargetForm, TargetPage};
use crate::shell::beginnings::BEGINNING_TARGETS;

impl TargetForm {
    /// A target as it stands in the catalogue, or what a new one begins with.
    pub(super) fn of(page: TargetPage, catalogue: &Catalogue, file: Option<PathBuf>) -> Option<Self> {
        let like = match &page {
            TargetPage::Change(id) | TargetPage::Duplicate(id) => Some(catalogue.get(id)?),
            TargetPage::New => None,
        };
        let mut before = like.cloned().unwrap_or_else(blank);
        if matches!(page, TargetPage::Duplicate(_)) {
            before.other_names.clear();
        }
        let own = matches!(page, TargetPage::Change(_)).then_some(&before.id);
        let others = catalogue.targets.iter().filter(|target| Some(&target.id) != own);
        let taken: BTreeSet<String> = others.map(|target| folded_name(&target.name)).collect();
        let mut texts = texts_of(&before);
        if let TargetPage::Duplicate(_) = page {
            texts.insert(TargetField::Name, copied_name(&before.name, &taken));
        }
        Some(Self {
            kind: before.kind,
            appeal_percent: before.appeal.value() * 100.0,
            public: before.given_public,
            at_first: texts.clone(),
            texts,
            before: Box::new(before),
            taken,
            catalogue: file,
            example: BTreeMap::new(),
            missing: BTreeSet::new(),
            trouble: None,
            page,
        })
    }
}

impl TargetForm {
    /// Fills what is still empty with an invented target of its kind, to be written over: all but names and place. Nothing of
    /// it is taken until it is.
    pub fn begin_with_example(&mut self) {
        let (catalogue, _) = read_catalogue("targets to begin with", BEGINNING_TARGETS);
        let Some(example) = catalogue.targets.iter().find(|target| target.kind == self.kind) else { return };
        let texts = texts_of(example);
        for field in self.asked().collect::<Vec<_>>() {
            let own = matches!(field, TargetField::Name | TargetField::OtherNames | TargetField::Place);
            let text = texts.get(&field).filter(|text| !own && !text.is_empty());
            if let Some(text) = text.filter(|_| self.plain(field).is_empty()) {
                self.example.insert(field, text.clone());
                self.put(field, text.clone());
            }
        }
        if self.page == TargetPage::New && !self.is_rated() {
            self.appeal_percent = example.appeal.value() * 100.0;
        }
    }
}

/// What a new target begins with: nothing is known of it.
fn blank() -> Target {
    Target {
        id: TargetId(String::new()),
        name: String::new(),
        other_names: Vec::new(),
        kind: Kind::Star,
        source: Source::Star(StarPlace::fixed(Angle::ZERO, Angle::ZERO)),
        size: None,
        position_angle: None,
        magnitude: None,
        surface_brightness: None,
        core: None,
        double: None,
        feature: None,
        spectral_type: None,
        appeal: Fraction::clamped(0.5),
        given_public: None,
        words: Words::default(),
        notes: TargetNotes::default(),
    }
}

/// A name like another that no target has.
fn copied_name(name: &str, taken: &BTreeSet<String>) -> String {
    let name: String = name.chars().take(54).collect();
    let mut names = (2..).map(|number| format!("{name} {number}"));
    names.find(|name| !taken.contains(&folded_name(name))).unwrap_or_default()
}

fn texts_of(target: &Target) -> BTreeMap<TargetField, String> {
    let (words, notes) = (&target.words, &target.notes);
    // Those usual for a kind are nobody's own, and change with it.
    let usual = usual_words(target.kind);
    let own = |words: &str, usual: &str| if words == usual { String::new() } else { words.to_owned() };
    let double = target.double.as_ref();
    let number = |value: Option<f64>| value.map(short).unwrap_or_default();
    let place = match target.source {
        // A new target stands nowhere yet.
        Source::Star(place) if !target.name.is_empty() => place_words(place),
        _ => String::new(),
    };
    BTreeMap::from([
        (TargetField::Name, target.name.clone()),
        (TargetField::OtherNames, target.other_names.join(", ")),
        (TargetField::Place, place),
        (TargetField::Size, target.size.map(size_words).unwrap_or_default()),
        (TargetField::PositionAngle, number(target.position_angle.map(Angle::degrees))),
        (TargetField::Magnitude, number(given_magnitude(target).map(|magnitude| magnitude.0))),
        (TargetField::SurfaceBrightness, number(given_brightness(target).map(|given| given.0))),
        (TargetField::SpectralType, target.spectral_type.clone().unwrap_or_default()),
        (TargetField::Separation, number(double.map(|pair| pair.separation.arcseconds()))),
        (TargetField::PairAngle, number(double.map(|pair| pair.position_angle.degrees()))),
        (TargetField::PairMagnitudes, double.map(pair_words).unwrap_or_default()),
        (TargetField::Colours, double.map(|pair| pair.colours.clone()).unwrap_or_default()),
        (TargetField::Story, own(&words.line, &usual.line)),
        (TargetField::Comparison, own(&words.comparison, &usual.comparison)),
        (TargetField::LookFor, own(&words.look_for, &usual.look_for)),
        (TargetField::Cue, own(&words.cue, &usual.cue)),
        (TargetField::AtHome, notes.at_home.clone()),
        (TargetField::Notes, notes.crew.clone()),
        (TargetField::Photos, notes.photos.join("; ")),
    ])
}

/// The magnitude, unless it follows from a pair.
pub(super) fn given_magnitude(target: &Target) -> Option<Magnitude> {
    let pair = target.double.as_ref().map(|pair| pair.magnitudes);
    let both = pair.map(|(one, other)| Magnitude::from_flux(one.flux() + other.flux()));
    target.magnitude.filter(|magnitude| Some(*magnitude) != both)
}

/// The surface brightness, unless it follows from magnitude and size.
pub(super) fn given_brightness(target: &Target) -> Option<SurfaceBrightness> {
    let mean = target.size.zip(target.magnitude);
    let mean = mean.map(|((long, short), magnitude)| SurfaceBrightness::mean(magnitude, long, short));
    target.surface_brightness.filter(|given| Some(*given) != mean)
}

fn pair_words(pair: &Double) -> String {
    format!("{} and {}", short(pair.magnitudes.0.0), short(pair.magnitudes.1.0))
}

/// A number without the dust of its computing.
pub(super) fn short(value: f64) -> String {
    ((value * 1e6).round() / 1e6).to_string()
}

/// A size in arcminutes, as it is typed.
pub(super) fn size_words((long, small): (Angle, Angle)) -> String {
    let (long, small) = (short(long.arcminutes()), short(small.arcminutes()));
    if long == small { long } else { format!("{long} x {small}") }
}

/// A place in hours and degrees with their parts, to 0.01 s and 0.1″.
pub(super) fn place_words(place: StarPlace) -> String {
    let (hours, minutes, seconds) = in_parts(place.right_ascension.degrees() / 15.0, 100);
    let hours = hours % 24;
    let declination = place.declination.degrees();
    let sign = if declination < 0.0 { '−' } else { '+' };
    let (degrees, arcminutes, arcseconds) = in_parts(declination.abs(), 10);
    format!(
        "{hours:02}h {minutes:02}m {:05.2}s  {sign}{degrees:02}° {arcminutes:02}′ {:04.1}″",
        seconds as f64 / 100.0,
        arcseconds as f64 / 10.0
    )
}

/// Whole units, sixtieths, and so many parts of a sixtieth of that.
fn in_parts(value: f64, steps: u64) -> (u64, u64, u64) {
    let all = (value * 3600.0 * steps as f64).round() as u64;
    (all / (3600 * steps), all / (60 * steps) % 60, all % (60 * steps))
}

#[cfg(test)]
mod tests {
    use evenfall_core::lists::read_place;
    use evenfall_core::place::StarPlace;
    use evenfall_core::units::Angle;

    use super::place_words;

    #[test]
    fn a_place_is_told_so_that_it_can_be_read() {
        for (ra, dec, words) in [
            (128.633, 12.0145, "08h 34m 31.92s  +12° 00′ 52.2″"),
            (359.999_999_9, -0.5, "00h 00m 00.00s  −00° 30′ 00.0″"),
            (180.0, 89.999_999, "12h 00m 00.00s  +90° 00′ 00.0″"),
        ] {
            let place = StarPlace::fixed(Angle::from_degrees(ra), Angle::from_degrees(dec));
            assert_eq!(place_words(place), words);
            let again = read_place(words).unwrap();
            assert!((again.declination.degrees() - dec).abs() < 0.05 / 3600.0);
        }
    }
}
