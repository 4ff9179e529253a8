//! What a catalogue does not tell of a target, and what stands for it.

use super::usual_words::usual_texts;
use super::{Kind, Target};

/// What stands for the colours of a pair that nobody has told.
pub const COLOURS_NOT_TOLD: &str = "not told";

/// Something that people would like to know of a target and the catalogue does not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Missing {
    /// How large it is.
    Size,
    /// How bright it is.
    Brightness,
    /// The colours of a pair.
    Colours,
    /// Its line: there is none, or only the one usual for its kind.
    Line,
    /// Its comparison, likewise.
    Comparison,
    /// What to look for, likewise.
    LookFor,
}

impl Target {
    /// What the catalogue does not tell of it, in the order of [`Missing`].
    ///
    /// What has no size, as a star, and what is seen by the light it hides, as a dark nebula, lack none. Sizes and
    /// brightness of bodies follow from the ephemeris, a comet's brightness from its elements.
    pub fn missing(&self) -> Vec<Missing> {
        let sized = self.body().is_some() || matches!(self.kind, Kind::Star | Kind::DoubleStar);
        let bright = self.body().is_some()
            || self.kind == Kind::DarkNebula
            || self.magnitude.is_some()
            || self.surface_brightness.is_some()
            || self.comet().is_some_and(|comet| comet.magnitude_h.is_some());
        let [line, comparison, look_for, _] = usual_texts(self.kind);
        let usual = |own: &str, usual: &str| own.trim().is_empty() || own == usual;
        let words = &self.words;
        let missing = [
            (Missing::Size, !sized && self.size.is_none()),
            (Missing::Brightness, !bright),
            (Missing::Colours, self.double.as_ref().is_some_and(|pair| pair.colours == COLOURS_NOT_TOLD)),
            (Missing::Line, usual(&words.line, line)),
            (Missing::Comparison, usual(&words.comparison, comparison)),
            (Missing::LookFor, usual(&words.look_for, look_for)),
        ];
        missing.into_iter().filter(|(_, lacks)| *lacks).map(|(missing, _)| missing).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Missing;
    use crate::catalogue::{TargetId, read_catalogue, usual_words};

    #[test]
    fn what_is_not_told_is_missing_and_what_can_not_be_is_not() {
        let (mut demo, _) =
            read_catalogue("c", include_str!("../../../catalog-demo/heron-fell.catalogue.ron"));
        // The awkward cases of the demo: one has no size, one no magnitude; dark nebulae have none by their nature.
        for target in &demo.targets {
            let wanted: &[Missing] = match target.id.0.as_str() {
                "odd-glove" => &[Missing::Size],
                "charcoal-clamp" => &[Missing::Brightness],
                _ => &[],
            };
            assert_eq!(target.missing(), wanted, "{}", target.id);
        }
        let glove = demo.targets.iter_mut().find(|target| target.id == TargetId("odd-glove".into())).unwrap();
        glove.magnitude = None;
        let own = std::mem::replace(&mut glove.words, usual_words(glove.kind));
        let all = [Missing::Size, Missing::Brightness, Missing::Line, Missing::Comparison, Missing::LookFor];
        assert_eq!(glove.missing(), all);
        glove.words = own;
        glove.words.comparison.clear();
        assert_eq!(glove.missing(), [Missing::Size, Missing::Brightness, Missing::Comparison]);
    }
}
