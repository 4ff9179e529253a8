//! What the marks on the visitors' sky mean: only those that are drawn, each with a sample.

use super::sky_marks::{disc, dot};
use super::visitor_sky_words::Seen;
use super::{Anchor, Ink, Item, Point, Rectangle, Stroke, text_width};

/// A mark that the key explains. The Moon looks like itself; rings of height and directions bear their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// A target of the evening, by the number of its stop.
    Shown(usize),
    Planet,
    Star,
    /// What hides the lowest sky.
    Ground,
}

/// Radius of the disc of a number, of a planet, and of the ring of a target, in sizes of the text.
pub(super) const NUMBER: f32 = 0.66;
pub(super) const PLANET: f32 = 0.32;
pub(super) const SHOWN: f32 = 0.36;
/// From the left end of a mark to its words, for the number of a target and for all others, and between two entries, in sizes of
/// the text.
const WORDS_AFTER_NUMBER: f32 = 1.65;
const WORDS_AFTER: f32 = 1.15;
const APART: f32 = 1.3;

/// An entry, and how far from the left end of its line it stands.
pub(super) struct Entry {
    mark: Mark,
    along: f32,
}

/// Entries on one line, and how long they are.
pub(super) struct Line {
    entries: Vec<Entry>,
    pub long: f32,
}

/// The marks that are drawn, in lines as long as there is room; one alone may be longer.
pub(super) fn lines(seen: &Seen, size: f32, room: f32) -> Vec<Line> {
    let is_drawn = |mark: &Mark| match mark {
        Mark::Shown(_) => true,
        Mark::Planet => seen.bodies.iter().any(|body| !body.is_moon),
        Mark::Star => !seen.stars.is_empty(),
        Mark::Ground => seen.has_ground,
    };
    let mut lines: Vec<Line> = Vec::new();
    let shown = seen.targets.iter().find(|target| target.is_up).map(|target| Mark::Shown(target.number));
    let marks = shown.into_iter().chain([Mark::Planet, Mark::Star, Mark::Ground]);
    for mark in marks.filter(is_drawn) {
        let own = mark.words_after() * size + text_width(mark.words(), size);
        match lines.last_mut() {
            Some(line) if line.long + APART * size + own <= room => {
                let along = line.long + APART * size;
                line.entries.push(Entry { mark, along });
                line.long = along + own;
            }
            _ => lines.push(Line { entries: vec![Entry { mark, along: 0.0 }], long: own }),
        }
    }
    lines
}

impl Line {
    /// Draws it from its left end on its baseline.
    pub fn draw(&self, (left, baseline): (f32, f32), size: f32, items: &mut Vec<Item>) {
        for Entry { mark, along } in &self.entries {
            let x = left + along;
            let middle = 0.42_f32.max(mark.words_after() - WORDS_AFTER_NUMBER + NUMBER);
            let at = Point { x: x + middle * size, y: baseline - 0.35 * size };
            items.extend(mark.sample(at, size));
            let at = (x + mark.words_after() * size, baseline);
            items.push(Item::text(at, Anchor::Start, size, Ink::Text, mark.words()));
        }
    }
}

impl Mark {
    const fn words(self) -> &'static str {
        match self {
            Self::Shown(_) => "what we show",
            Self::Planet => "planet",
            Self::Star => "star",
            Self::Ground => "hills and trees",
        }
    }

    const fn words_after(self) -> f32 {
        match self {
            Self::Shown(_) => WORDS_AFTER_NUMBER,
            Self::Planet | Self::Star | Self::Ground => WORDS_AFTER,
        }
    }

    /// The mark as the sky has it, round its middle.
    fn sample(self, at: Point, size: f32) -> Vec<Item> {
        match self {
            Self::Shown(number) => numbered(at, number, size).into(),
            Self::Planet => vec![planet(at, size)],
            Self::Star => vec![dot(at, star_radius(2.0, size), Ink::Text)],
            Self::Ground => {
                let half = 0.42 * size;
                let area = Rectangle {
                    left: at.x - half,
                    top: at.y - 0.8 * half,
                    right: at.x + half,
                    bottom: at.y + 0.8 * half,
                };
                vec![Item::rectangle(&area, Some(Ink::Earth), Some(Stroke::solid(Ink::Text, 1.0)))]
            }
        }
    }
}

/// The number of a stop in a black disc.
pub(super) fn numbered(middle: Point, number: usize, size: f32) -> [Item; 2] {
    let at = (middle.x, middle.y + 0.35 * size);
    let digits = Item::text(at, Anchor::Middle, size, Ink::Ground, number.to_string());
    [disc(middle, NUMBER * size, Some(Ink::Text), None), digits.semibold()]
}

/// A target of the evening whose number stands beside it: an open ring.
pub(super) fn shown(at: Point, size: f32) -> Item {
    disc(at, SHOWN * size, Some(Ink::Ground), Some(Stroke::solid(Ink::Text, 1.5)))
}

/// A planet: a black disc.
pub(super) fn planet(at: Point, size: f32) -> Item {
    disc(at, PLANET * size, Some(Ink::Text), None)
}

/// How large a star of a magnitude is: each magnitude takes a fifth of the radius, sizes that the eye still tells apart in print.
pub(super) fn star_radius(magnitude: f64, size: f32) -> f32 {
    (0.2 * size * 0.8_f32.powf(magnitude as f32 - 1.0)).max(0.6)
}
