//! One row of a list to a target, or the reasons why not.

use super::account::{Effect, Remark};
use super::cells::Row;
use super::columns::{Meaning, Unit};
use super::frame::Frame;
use super::guess::Layout;
use super::kinds::{KindWord, kind_word};
use super::mapping::Mapping;
use super::numbers::{is_unknown, read_axes, read_number};

use super::table::plain_text;
use crate::catalogue::{
    COLOURS_NOT_TOLD, Double, Kind, LONGEST_LINE, LONGEST_LOOK_FOR, LONGEST_NAME, LONGEST_TYPE,
    MOST_CUE_WORDS, Target, TargetId, TargetNotes, Words, usual_words,
};
use crate::place::{Source, StarPlace};
use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// What a row without a rating is given: neither pushed nor held back.
pub(super) const USUAL_APPEAL: f64 = 0.5;
/// The kind of rows that say none, in a list that has no column for it.
pub(super) const USUAL_KIND: Kind = Kind::Star;
/// A square arcminute in square arcseconds, in magnitudes: `2.5 log10(3600)`.
const ARCMIN2_IN_MAG: f64 = 8.890_756_251_918_218;
/// Sizes are kept to 0.00006 arcseconds.
pub(super) const SIZE_STEPS: f64 = 1e6;
/// The size of a field that a catalogue takes, in arcminutes.
const SIZES_ARCMIN: (f64, f64) = (0.001, 3600.0);

/// What was done to rows, counted rather than told one by one.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Tally {
    pub(super) doubles_as_stars: usize,
    pub(super) zero_sizes: usize,
    pub(super) star_sizes: usize,
    pub(super) unnamed: usize,
    pub(super) names_left_out: usize,
    pub(super) sentinels: usize,
    pub(super) without_size: usize,
    pub(super) without_magnitude: usize,
}

impl Tally {
    /// Counts what is not known of a target that is used.
    pub(super) const fn count(&mut self, target: &Target) {
        let is_extended = !matches!(target.kind, Kind::Star | Kind::DoubleStar);
        self.without_size += (is_extended && target.size.is_none()) as usize;
        self.without_magnitude += target.magnitude.is_none() as usize;
    }
}

/// Reads rows of one list.
pub(super) struct Reader<'a> {
    pub(super) layout: &'a Layout,
    pub(super) mapping: &'a Mapping,
    /// What coordinates refer to where a row does not say it.
    pub(super) frame: Frame,
}

/// A row being read.
pub(super) struct Reading<'a> {
    pub(super) reader: &'a Reader<'a>,
    pub(super) row: Row<'a>,
    remarks: &'a mut Vec<Remark>,
    tally: &'a mut Tally,
}

impl Reader<'_> {
    /// The target of a row; `None` where the remarks say why not. Its identifier is still to be given.
    pub(super) fn target(
        &self,
        row: Row<'_>,
        remarks: &mut Vec<Remark>,
        tally: &mut Tally,
    ) -> Option<Target> {
        Reading { reader: self, row, remarks, tally }.target()
    }
}

impl<'a> Reading<'a> {
    fn target(&mut self) -> Option<Target> {
        let kind = self.kind();
        let (prefix, place) = self.place();
        let (kind, place) = (kind?, place?);
        let name = self.name(&prefix, place);
        let size = self.size();
        let position_angle = self.position_angle();
        let magnitude = self.number(Meaning::Magnitude, -10.0, 25.0);
        let mut target = blank_target(kind);
        target.other_names = self.other_names(&name);
        target.name = name;
        target.source = Source::Star(place);
        if kind == Kind::DoubleStar {
            target.double = self.double(position_angle, magnitude);
            if target.double.is_none() {
                target.kind = Kind::Star;
                self.tally.doubles_as_stars += 1;
            }
        }
        target.magnitude = match &target.double {
            Some(double) => {
                Some(Magnitude::from_flux(double.magnitudes.0.flux() + double.magnitudes.1.flux()))
            }
            None => magnitude.map(Magnitude),
        };
        // Where no column tells the kind, a star is only a guess, and the size is kept for the kind that it will be given.
        let is_point = matches!(kind, Kind::Star | Kind::DoubleStar)
            && self.reader.layout.column(Meaning::Kind).is_some();
        if is_point {
            self.tally.star_sizes += usize::from(size.is_some());
        } else {
            target.size = size;
            target.position_angle = position_angle.map(Angle::from_degrees);
            target.surface_brightness = self.surface_brightness().or_else(|| {
                let (long, short) = size?;
                Some(SurfaceBrightness::mean(target.magnitude?, long, short))
            });
        }
        target.spectral_type = self.words_of(Meaning::SpectralType, LONGEST_TYPE);
        let appeal = self.number(Meaning::Appeal, 0.0, 1.0).unwrap_or(USUAL_APPEAL);
        target.appeal = Fraction::clamped(appeal);
        target.words = self.words(target.kind);
        Some(target)
    }

    /// What a row says, unless it says that nothing is known.
    pub(super) fn cell(&self, meaning: Meaning) -> Option<&'a str> {
        let column = self.reader.layout.column(meaning)?;
        let cell = self.row.cell(column);
        let unknown =
            is_unknown(cell) || self.reader.mapping.unknown.iter().any(|unknown| unknown.trim() == cell);
        (!unknown).then_some(cell)
    }

    /// Notes what is wrong with a cell.
    pub(super) fn remark(
        &mut self,
        meaning: Meaning,
        effect: Effect,
        reason: &str,
        remedy: impl Into<String>,
    ) {
        let column = self.reader.layout.column(meaning);
        let value = column.map(|column| self.row.cell(column).chars().take(LONGEST_LINE).collect());
        let column = column.map(|column| self.reader.layout.columns[column].name.clone());
        self.remarks.push(Remark {
            line: self.row.line,
            column: column.unwrap_or_default(),
            value: value.unwrap_or_default(),
            reason: reason.to_owned(),
            remedy: remedy.into(),
            effect,
        });
    }

    fn kind(&mut self) -> Option<Kind> {
        let usual = self.reader.mapping.usual_kind;
        if self.reader.layout.column(Meaning::Kind).is_none() {
            return Some(usual.unwrap_or(USUAL_KIND));
        }
        let word = self.cell(Meaning::Kind).map(|word| kind_word(word, &self.reader.mapping.kinds));
        match (word, usual) {
            (Some(KindWord::Known(Kind::Moon | Kind::Planet)), _) => {
                let reason = "the Moon and the planets have no fixed place";
                self.remark(
                    Meaning::Kind,
                    Effect::RowLeftOut,
                    reason,
                    "Add them to the catalogue with `body: ...`",
                );
                None
            }
            (Some(KindWord::Known(kind)), _) => Some(kind),
            (Some(KindWord::NoTarget(reason)), _) => {
                self.remark(
                    Meaning::Kind,
                    Effect::RowLeftOut,
                    reason,
                    "Nothing needs to be done, unless it is one",
                );
                None
            }
            (Some(KindWord::Unknown) | None, Some(usual)) => Some(usual),
            (Some(KindWord::Unknown), None) => {
                let remedy = "Write a kind that is known, or say in a mapping which kind the word means (--show-mapping lists the words \
                              that are known)";
                self.remark(Meaning::Kind, Effect::RowLeftOut, "the kind is not known here", remedy);
                None
            }
            (None, None) => {
                let remedy = "Write its kind, or choose one for all such rows (`usual_kind` in a mapping)";
                self.remark(Meaning::Kind, Effect::RowLeftOut, "the row has no kind", remedy);
                None
            }
        }
    }

    /// A number within a range; what is none, or out of it, is told and left out.
    pub(super) fn number(&mut self, meaning: Meaning, least: f64, most: f64) -> Option<f64> {
        let text = self.cell(meaning)?;
        let number = read_number(text, self.reader.layout.decimal_comma);
        let Some(number) = number else {
            self.remark(
                meaning,
                Effect::ValueLeftOut,
                "it is no number",
                "Write a number, or leave it empty",
            );
            return None;
        };
        if self.is_sentinel(meaning, number) {
            return None;
        }
        if !(least..=most).contains(&number) {
            let remedy = format!("Give {least} to {most}, or leave it empty");
            self.remark(meaning, Effect::ValueLeftOut, "it is out of range", remedy);
            return None;
        }
        Some(number)
    }

    fn is_sentinel(&mut self, meaning: Meaning, number: f64) -> bool {
        let column = self.reader.layout.column(meaning);
        let is = column.and_then(|column| self.reader.layout.columns[column].sentinel) == Some(number);
        self.tally.sentinels += usize::from(is);
        is
    }

    fn size(&mut self) -> Option<(Angle, Angle)> {
        let mut axes = self.axes(Meaning::Size).unwrap_or_default();
        if axes.len() == 1 {
            axes.extend(self.axes(Meaning::ShortAxis).unwrap_or_default());
        }
        let (long, short) = match axes[..] {
            [] => return None,
            [both] => (both, both),
            [one, other, ..] => (one.max(other), one.min(other)),
        };
        // A short axis that is not known is no needle: the target is taken as round.
        let short = if short == 0.0 { long } else { short };
        if long == 0.0 {
            self.tally.zero_sizes += 1;
            return None;
        }
        if short < SIZES_ARCMIN.0 || long > SIZES_ARCMIN.1 {
            let remedy = "Give 0.001 to 3600 arcminutes, or leave it empty";
            self.remark(Meaning::Size, Effect::ValueLeftOut, "the size is out of range", remedy);
            return None;
        }
        let angle = |arcmin: f64| Angle::from_arcminutes(rounded(arcmin, SIZE_STEPS));
        Some((angle(long), angle(short)))
    }

    /// One axis or both, in arcminutes.
    fn axes(&mut self, meaning: Meaning) -> Option<Vec<f64>> {
        let layout = self.reader.layout;
        let unit =
            layout.column(meaning).and_then(|column| layout.columns[column].unit).unwrap_or(Unit::Arcminutes);
        let text = self.cell(meaning)?;
        let number = read_number(text, layout.decimal_comma);
        let axes = read_axes(text, unit.arcminutes(), layout.decimal_comma);
        if number.is_some_and(|number| self.is_sentinel(meaning, number)) {
            return None;
        }
        let axes = axes.filter(|axes| axes.iter().all(|axis| *axis >= 0.0));
        if axes.is_none() {
            let remedy = "Write one number or two, such as `12`, `12 x 8` or `1.5°`";
            self.remark(meaning, Effect::ValueLeftOut, "it is no size", remedy);
        }
        axes
    }

    /// In degrees from 0 to 360.
    fn position_angle(&mut self) -> Option<f64> {
        self.number(Meaning::PositionAngle, -180.0, 360.0).map(|angle| angle.rem_euclid(360.0))
    }

    fn surface_brightness(&mut self) -> Option<SurfaceBrightness> {
        let layout = self.reader.layout;
        let unit = layout.column(Meaning::SurfaceBrightness).and_then(|column| layout.columns[column].unit);
        let shift = if unit == Some(Unit::MagnitudesPerSquareArcminute) { ARCMIN2_IN_MAG } else { 0.0 };
        let given = self.number(Meaning::SurfaceBrightness, 5.0 - shift, 30.0 - shift)?;
        Some(SurfaceBrightness(rounded(given + shift, 1e4).clamp(5.0, 30.0)))
    }

    fn double(&mut self, position_angle: Option<f64>, brighter: Option<f64>) -> Option<Double> {
        let layout = self.reader.layout;
        let unit = layout.column(Meaning::Separation).and_then(|column| layout.columns[column].unit);
        let arcsec = 60.0 * unit.unwrap_or(Unit::Arcseconds).arcminutes();
        let separation = self.number(Meaning::Separation, 0.05 / arcsec, 3600.0 / arcsec);
        let fainter = self.number(Meaning::SecondMagnitude, -10.0, 25.0);
        let (brighter, fainter) = (brighter?, fainter?);
        Some(Double {
            separation: Angle::from_arcseconds(rounded(separation? * arcsec, SIZE_STEPS)),
            position_angle: Angle::from_degrees(position_angle?),
            magnitudes: (Magnitude(brighter.min(fainter)), Magnitude(brighter.max(fainter))),
            colours: self
                .words_of(Meaning::Colours, LONGEST_NAME)
                .unwrap_or_else(|| COLOURS_NOT_TOLD.to_owned()),
        })
    }

    /// The name; where the row has none, one made of its place.
    fn name(&mut self, prefix: &str, place: StarPlace) -> String {
        let given = self.cell(Meaning::Name).map(plain_text).filter(|name| !name.is_empty());
        let given = given.or_else(|| Some(plain_text(prefix)).filter(|name| !name.is_empty()));
        let Some(name) = given else {
            self.tally.unnamed += 1;
            let minutes = (place.right_ascension.hours() * 60.0).floor() as u32;
            let arcminutes = (place.declination.degrees().abs() * 60.0).floor() as u32;
            let sign = if place.declination.degrees() < 0.0 { '-' } else { '+' };
            let (hours, degrees) = (minutes / 60, arcminutes / 60);
            return format!("Place {hours:02}{:02}{sign}{degrees:02}{:02}", minutes % 60, arcminutes % 60);
        };
        if name.chars().count() > LONGEST_NAME {
            let remedy = format!("Shorten it to {LONGEST_NAME} characters; it was cut there");
            self.remark(Meaning::Name, Effect::ValueLeftOut, "the name is too long", remedy);
        }
        name.chars().take(LONGEST_NAME).collect::<String>().trim().to_owned()
    }

    fn other_names(&mut self, name: &str) -> Vec<String> {
        let reader = self.reader;
        let mut names: Vec<String> = Vec::new();
        let columns = reader.layout.columns.iter().enumerate();
        for (at, _) in columns.filter(|(_, column)| column.meaning == Meaning::OtherNames) {
            let cell = self.row.cell(at);
            for other in cell.split([',', ';', '|', '/']).map(plain_text).filter(|other| !is_unknown(other)) {
                if other.chars().count() > LONGEST_NAME {
                    self.tally.names_left_out += 1;
                } else if other != name && !names.contains(&other) {
                    names.push(other);
                }
            }
        }
        names
    }

    /// A short text; one that is too long is told and left out.
    fn words_of(&mut self, meaning: Meaning, longest: usize) -> Option<String> {
        let text = plain_text(self.cell(meaning)?);
        if text.chars().count() <= longest {
            return Some(text).filter(|text| !text.is_empty());
        }
        let remedy = format!("Shorten it to {longest} characters");
        self.remark(meaning, Effect::ValueLeftOut, "the text is too long", remedy);
        None
    }

    fn words(&mut self, kind: Kind) -> Words {
        let usual = usual_words(kind);
        let cue = self.words_of(Meaning::Cue, LONGEST_LINE);
        let short = cue.filter(|cue| cue.split_whitespace().count() <= MOST_CUE_WORDS);
        if short.is_none() && self.cell(Meaning::Cue).is_some() {
            let remedy = format!("Use at most {MOST_CUE_WORDS} words: it is read in the dark");
            self.remark(Meaning::Cue, Effect::ValueLeftOut, "the cue is too long", remedy);
        }
        Words {
            line: self.words_of(Meaning::Line, LONGEST_LINE).unwrap_or(usual.line),
            comparison: self.words_of(Meaning::Comparison, LONGEST_LINE).unwrap_or(usual.comparison),
            look_for: self.words_of(Meaning::LookFor, LONGEST_LOOK_FOR).unwrap_or(usual.look_for),
            cue: short.unwrap_or(usual.cue),
        }
    }
}

/// A target of a kind of which nothing else is known, at the origin of coordinates.
pub(super) fn blank_target(kind: Kind) -> Target {
    Target {
        id: TargetId(String::new()),
        name: String::new(),
        other_names: Vec::new(),
        kind,
        source: Source::Star(StarPlace::fixed(Angle::ZERO, Angle::ZERO)),
        size: None,
        position_angle: None,
        magnitude: None,
        surface_brightness: None,
        core: None,
        double: None,
        feature: None,
        spectral_type: None,
        appeal: Fraction::clamped(USUAL_APPEAL),
        given_public: None,
        words: usual_words(kind),
        notes: TargetNotes::default(),
    }
}

/// To so many steps in one.
pub(super) fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps
}
