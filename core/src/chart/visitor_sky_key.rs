//! What the marks on the visitors' sky mean: only those that are drawn, each with a sample.

use super::sky_marks::{disc, dot};
use super::visitor_sky_words::Seen;
use super::{Anchor, Ink, Item, Point, Rectangle, Stroke, text_width};

/// A mark that the key explains. The Moon looks like itself; rings of height and directions bear their words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// Where a target of the evening stands.
    Shown,
    Planet,
    Star,
    /// What hides the lowest sky.
    Ground,
}

/// From the left end of a mark to its words, and between two entries, in sizes of the text.
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
        Mark::Shown => seen.targets.iter().any(|target| target.is_up && !target.is_body),
        Mark::Planet => seen.bodies.iter().any(|body| !body.is_moon),
        Mark::Star => !seen.stars.is_empty(),
        Mark::Ground => seen.has_ground,
    };
    let mut lines: Vec<Line> = Vec::new();
    for mark in [Mark::Shown, Mark::Planet, Mark::Star, Mark::Ground].into_iter().filter(is_drawn) {
        let own = WORDS_AFTER * size + text_width(mark.words(), size);
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
            items.push(mark.sample(Point { x: x + 0.42 * size, y: baseline - 0.33 * size }, size));
            let at = (x + WORDS_AFTER * size, baseline);
            items.push(Item::text(at, Anchor::Start, size, Ink::Text, mark.words()));
        }
    }
}

impl Mark {
    const fn words(self) -> &'static str {
        match self {
            Self::Shown => "what we show",
            Self::Planet => "planet",
            Self::Star => "star",
            Self::Ground => "hills and trees",
        }
    }

    /// The mark as the sky has it, round its middle.
    fn sample(self, at: Point, size: f32) -> Item {
        match self {
            Self::Shown => shown(at, size),
            Self::Planet => planet(at, size),
            Self::Star => dot(at, star_radius(2.0, size), Ink::Text),
            Self::Ground => {
                let half = 0.42 * size;
                let area = Rectangle {
                    left: at.x - half,
                    top: at.y - 0.8 * half,
                    right: at.x + half,
                    bottom: at.y + 0.8 * half,
                };
                Item::rectangle(&area, Some(Ink::Earth), Some(Stroke::solid(Ink::Text, 1.0)))
            }
        }
    }
}

/// A target of the evening: an open ring.
pub(super) fn shown(at: Point, size: f32) -> Item {
    disc(at, 0.36 * size, Some(Ink::Ground), Some(Stroke::solid(Ink::Text, 1.5)))
}

/// A planet: a black disc.
pub(super) fn planet(at: Point, size: f32) -> Item {
    disc(at, 0.32 * size, Some(Ink::Text), None)
}

/// How large a star of a magnitude is: each magnitude takes a fifth of the radius, sizes that the eye still tells apart in print.
pub(super) fn star_radius(magnitude: f64, size: f32) -> f32 {
    (0.2 * size * 0.8_f32.powf(magnitude as f32 - 1.0)).max(0.6)
}
