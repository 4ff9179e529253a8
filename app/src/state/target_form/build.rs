//! The answers made into a target; what was not typed over stays to the last digit.

use std::path::{Path, PathBuf};

use evenfall_core::catalogue::{Catalogue, Double, Kind, Target, TargetId, usual_words};
use evenfall_core::lists::{id_for, read_place, read_size};
use evenfall_core::place::Source;
use evenfall_core::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

use super::texts::{given_brightness, given_magnitude};
use super::{TargetField, TargetForm, TargetPage, parts};
use crate::state::own_evening::number::number;
use crate::state::part_file::name_beside;

impl TargetForm {
    /// Whether there is something to take: a new target, or answers other than those that stood there at first.
    pub fn is_changed(&self) -> bool {
        let is_new = !matches!(self.page, TargetPage::Change(_));
        let others = (self.kind, self.public) != (self.before.kind, self.before.given_public);
        is_new || self.texts != self.at_first || others || self.is_rated()
    }

    /// Whether the pleasure it gives is rated anew.
    pub(super) fn is_rated(&self) -> bool {
        // As it is shown: nobody types less than a tenth of a percent.
        let shown = |percent: f64| (percent * 10.0).round();
        shown(self.appeal_percent) != shown(self.before.appeal.value() * 100.0)
    }

    /// Whether the sky stays as it is: only words were typed.
    pub(super) fn keeps_sky(&self) -> bool {
        let typed = |field: &TargetField| self.is_typed(*field);
        matches!(self.page, TargetPage::Change(_))
            && self.kind == self.before.kind
            && self.public == self.before.given_public
            && !self.is_rated()
            && TargetField::ALL.iter().filter(|field| typed(field)).all(|field| field.is_words())
    }

    /// The target; `None` while something is missing or wrong.
    pub(super) fn target(&self, catalogue: &Catalogue) -> Option<Target> {
        if !self.can_be_set() {
            return None;
        }
        let mut target = (*self.before).clone();
        target.name = self.plain(TargetField::Name);
        target.id = self.id(&target.name, catalogue);
        if self.is_typed(TargetField::OtherNames) {
            target.other_names = parts(&self.plain(TargetField::OtherNames), &[',', ';']);
        }
        target.kind = self.kind;
        target.given_public = self.public;
        if self.is_rated() {
            target.appeal = Fraction::clamped(self.appeal_percent / 100.0);
        }
        if !self.is_body() {
            self.put_sky(&mut target)?;
        }
        self.put_words(&mut target);
        Some(target)
    }

    fn id(&self, name: &str, catalogue: &Catalogue) -> TargetId {
        match &self.page {
            TargetPage::Change(id) => id.clone(),
            TargetPage::New | TargetPage::Duplicate(_) => id_for(name, catalogue),
        }
    }

    /// Where it is, how large, how bright.
    fn put_sky(&self, target: &mut Target) -> Option<()> {
        let typed = |field| self.is_typed(field);
        let given = |field| number(&self.plain(field));
        if typed(TargetField::Place) {
            target.source = Source::Star(self.moving_on(read_place(&self.plain(TargetField::Place)).ok()?));
        }
        let magnitude = given_magnitude(target);
        let brightness = given_brightness(target);
        target.magnitude = if typed(TargetField::Magnitude) {
            given(TargetField::Magnitude).map(Magnitude)
        } else {
            magnitude
        };
        target.surface_brightness = if typed(TargetField::SurfaceBrightness) {
            given(TargetField::SurfaceBrightness).map(SurfaceBrightness)
        } else {
            brightness
        };
        if typed(TargetField::Size) {
            target.size = read_size(&self.plain(TargetField::Size));
        }
        if typed(TargetField::PositionAngle) {
            target.position_angle = given(TargetField::PositionAngle).map(Angle::from_degrees);
        }
        if typed(TargetField::SpectralType) {
            target.spectral_type =
                Some(self.plain(TargetField::SpectralType)).filter(|spectral_type| !spectral_type.is_empty());
        }
        if matches!(self.kind, Kind::Star | Kind::DoubleStar) && self.kind != self.before.kind {
            (target.size, target.position_angle, target.surface_brightness, target.core) =
                (None, None, None, None);
        }
        // A core can't be larger than what it lies in.
        target.core = target.core.filter(|core| target.size.is_none_or(|(long, _)| core.size <= long));
        target.double = match (&target.double, self.kind) {
            (_, kind) if kind != Kind::DoubleStar => None,
            (Some(pair), _) if !self.is_pair_typed() => Some(pair.clone()),
            _ => {
                let (one, other) = self.pair_magnitudes()?;
                Some(Double {
                    separation: Angle::from_arcseconds(given(TargetField::Separation)?),
                    position_angle: Angle::from_degrees(given(TargetField::PairAngle)?),
                    magnitudes: (Magnitude(one), Magnitude(other)),
                    colours: self.plain(TargetField::Colours),
                })
            }
        };
        Some(())
    }

    fn is_pair_typed(&self) -> bool {
        let pair = [
            TargetField::Separation,
            TargetField::PairAngle,
            TargetField::PairMagnitudes,
            TargetField::Colours,
        ];
        pair.into_iter().any(|field| self.is_typed(field))
    }

    fn put_words(&self, target: &mut Target) {
        let usual = usual_words(self.kind);
        let or_usual =
            |field, usual: String| Some(self.plain(field)).filter(|own| !own.is_empty()).unwrap_or(usual);
        target.words.line = or_usual(TargetField::Story, usual.line);
        target.words.comparison = or_usual(TargetField::Comparison, usual.comparison);
        target.words.look_for = or_usual(TargetField::LookFor, usual.look_for);
        target.words.cue = or_usual(TargetField::Cue, usual.cue);
        target.notes.at_home = self.plain(TargetField::AtHome);
        target.notes.crew = self.plain(TargetField::Notes);
        target.notes.photos = self.photos();
    }

    /// The photos as they are kept: from the folder of the catalogue where they lie in it.
    pub(super) fn photos(&self) -> Vec<String> {
        let named = parts(&self.plain(TargetField::Photos), &[';']);
        let kept = |photo: String| name_beside(self.catalogue.as_deref(), Path::new(&photo));
        named.into_iter().map(kept).collect()
    }

    /// Where a photo is; `None` where the catalogue has no folder yet.
    pub(super) fn photo_path(&self, photo: &str) -> Option<PathBuf> {
        let folder = self.catalogue.as_ref()?.parent()?;
        Some(folder.join(photo))
    }
}
