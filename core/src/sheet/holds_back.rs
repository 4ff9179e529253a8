//! What holds a view back, link by link of its chain: one wording for the strips, the verdict and a port not chosen.

use super::numbers;
use super::phrases::lower_first;
use super::wording::{reason_sentence, weakest_link_sentence};
use crate::assign::Reason;
use crate::plan::{Link, PortMinute, WeakestLink};

/// A group's wait from which it is told, in seconds. Common practice, no source.
const LONG_WAIT_S: f64 = 30.0;

/// The name of a link of the chain.
pub const fn link_word(link: Link) -> &'static str {
    match link {
        Link::Height => "Height",
        Link::Twilight => "Twilight",
        Link::Moonlight => "Moonlight",
        Link::Light => "Brightness",
        Link::Framing => "Framing",
        Link::Sharpness => "Sharpness",
        Link::Gap => "Gap",
        Link::Glare => "Glare",
        Link::Shadows => "Shadows",
        Link::Turning => "Turning",
        Link::Colour => "Colour",
        Link::Instrument => "Instrument",
    }
}

/// Whether a reason is a complaint, not the least of a port's virtues.
pub(super) const fn speaks_against(reason: &Reason) -> bool {
    !matches!(
        reason,
        Reason::Fits { .. }
            | Reason::CoreFits { .. }
            | Reason::BrightForEye { .. }
            | Reason::OutshinesSky { .. }
            | Reason::ScreenShowsIt { seconds: ..LONG_WAIT_S, .. }
            | Reason::SplitsPair { .. }
            | Reason::SpectrumShows { .. }
    )
}

/// What holds a view back, in one sentence without its full stop: the link that leaves least, as a complaint where its
/// reason is one, else by its share: `Brightness leaves 85% (0.4 mag above what a first-time visitor's eye needs)`.
/// `None` where nothing holds it back.
pub fn holds_back_sentence(minute: &PortMinute) -> Option<String> {
    let weakest = minute.weakest.as_ref()?;
    let because = match weakest {
        // That it fits is no reason for a loss; how little of the field it takes is.
        WeakestLink::Port(Reason::Fits { target, field }) => {
            format!("{} across in a field of {}", numbers::size(*target), numbers::size(*field))
        }
        // What is seen at once loses only what a screen lacks.
        WeakestLink::Port(Reason::ScreenShowsIt { seconds: ..1.0, .. }) => {
            "seen at once, but on a screen".to_owned()
        }
        WeakestLink::Port(reason) if !speaks_against(reason) => lower_first(&reason_sentence(reason)),
        complaint => return Some(weakest_link_sentence(complaint)),
    };
    let (link, left) = minute.least();
    Some(format!("{} leaves {} ({because})", link_word(link), numbers::percent(left)))
}

#[cfg(test)]
mod tests {
    use super::{holds_back_sentence, link_word};
    use crate::plan::{Link, WeakestLink, through_night};
    use crate::sheet::demo::Demo;
    use crate::units::Fraction;

    #[test]
    fn the_sentence_is_about_the_link_that_leaves_least() {
        let demo = Demo::on("2027-03-13");
        let prepared = demo.prepared();
        let materials = demo.materials();
        let (mut by_share, mut by_complaint) = (0, 0);
        for target in 0..materials.catalogue.targets.len() {
            let night = through_night(&prepared, &materials, target);
            for minute in night.iter().step_by(60).flat_map(|minute| minute.ports.iter().flatten()) {
                let (link, left) = minute.least();
                let sentence = holds_back_sentence(minute);
                assert_eq!(sentence.is_some(), left < Fraction::clamped(0.95), "{link:?} leaves {left:?}");
                match &minute.weakest {
                    Some(WeakestLink::Low { .. }) => assert_eq!(link, Link::Height),
                    Some(WeakestLink::Twilight { .. }) => assert_eq!(link, Link::Twilight),
                    Some(WeakestLink::Moonlight { .. }) => assert_eq!(link, Link::Moonlight),
                    Some(WeakestLink::Port(reason)) => assert_eq!(link, Link::of(reason)),
                    None => {}
                }
                let Some(sentence) = sentence else { continue };
                let told = sentence.starts_with(&format!("{} leaves ", link_word(link)));
                by_share += usize::from(told);
                by_complaint += usize::from(!told);
            }
        }
        assert!(by_share > 10 && by_complaint > 100, "{by_share} by share, {by_complaint} complaints");
    }
}
