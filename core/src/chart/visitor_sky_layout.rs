//! Where the visitors' sky stands on its paper, and its words beside or below it.

use super::visitor_sky_key::{self, Line};
use super::visitor_sky_words::{HOW_TO_HOLD, Seen, TOO_BRIGHT, not_up};
use super::{Anchor, Point, VisitorSkyOptions, broken, shortened, text_width};

/// From line to line, in sizes of the text.
const LINE: f32 = 1.3;
/// The least radius of the sky.
const LEAST_RADIUS: f32 = 60.0;
/// The most of the height that names below the sky may take: the page beside the drawing has them all.
const MOST_FOR_NAMES: f32 = 1.0 / 3.0;
/// The least share of the width that words beside the sky need, and the least radius that they may leave it, in sizes of the
/// text: names round so small a sky would hide it.
const BESIDE: f32 = 0.3;
const LEAST_RADIUS_BESIDE: f32 = 7.5;

/// Where the sky stands, and the words that go with it.
pub(super) struct Layout {
    pub centre: Point,
    pub radius: f32,
    /// Where each stands, by which end.
    pub words: Vec<((f32, f32), Anchor, String)>,
    /// What the marks mean: where each line begins.
    pub key: Vec<((f32, f32), Line)>,
    pub height: f32,
}

/// A text in lines that fit; whole where it can't be broken.
fn lines(text: &str, size: f32, width: f32) -> Vec<String> {
    broken(text, size, width, usize::MAX).unwrap_or_else(|| vec![text.to_owned()])
}

impl Layout {
    /// White for the title and for the words of the directions: over and under the rim, and beside it.
    fn margins(size: f32) -> (f32, f32, f32) {
        (1.4 * LINE * size, 1.6 * size, text_width("South-east", size) - 2.0 * size)
    }

    /// The words beside the sky where there is room, else below it.
    pub fn new(seen: &Seen, options: VisitorSkyOptions) -> Self {
        Self::beside(seen, options).unwrap_or_else(|| Self::below(seen, options))
    }

    /// The words in a column to the right of the sky; `None` where they do not fit beside a sky of some size.
    fn beside(seen: &Seen, options: VisitorSkyOptions) -> Option<Self> {
        let VisitorSkyOptions { width, height, sky_beside, text_size } = options;
        let (above, over, beside) = Self::margins(text_size);
        let radius =
            ((sky_beside - above - 2.0 * over) / 2.0).min(((1.0 - BESIDE) * width - 2.0 * beside) / 2.0);
        let centre = Point { x: beside + radius, y: above + over + radius };
        let left = centre.x + radius + beside + text_size;
        let column = width - left;
        let line = LINE * text_size;
        let blocks = [
            seen.numbered().flat_map(|name| lines(&name, text_size, column)).collect(),
            not_up(seen, true).map(|text| lines(&text, text_size, column)).unwrap_or_default(),
            if seen.is_dark { Vec::new() } else { lines(TOO_BRIGHT, text_size, column) },
        ];
        let mut words = Vec::new();
        let mut baseline = above;
        let mut write = |block: Vec<String>, baseline: &mut f32| {
            *baseline += if block.is_empty() { 0.0 } else { 0.4 * line };
            for text in block {
                words.push(((left, *baseline), Anchor::Start, text));
                *baseline += line;
            }
        };
        baseline -= 0.4 * line;
        for block in blocks {
            write(block, &mut baseline);
        }
        let mut key = Vec::new();
        for (index, own) in visitor_sky_key::lines(seen, text_size, column).into_iter().enumerate() {
            baseline += if index == 0 { 0.4 * line } else { 0.0 };
            key.push(((left, baseline), own));
            baseline += line;
        }
        write(lines(HOW_TO_HOLD, text_size, column), &mut baseline);
        baseline += 0.4 * line;
        let is_inside = words.iter().all(|(_, _, text)| text_width(text, text_size) <= column)
            && key.iter().all(|(_, own)| own.long <= column);
        let lowest = baseline - 1.2 * line;
        let height_used = (centre.y + radius + over).max(lowest + 0.3 * text_size);
        (is_inside && height_used <= height + 0.5 && radius >= LEAST_RADIUS_BESIDE * text_size)
            .then_some(Self { centre, radius, words, key, height: height_used })
    }

    /// The words below the sky.
    fn below(seen: &Seen, options: VisitorSkyOptions) -> Self {
        let VisitorSkyOptions { width, height, text_size, .. } = options;
        let line = LINE * text_size;
        // Names round so small a sky would hide it and each other.
        let mut list: Vec<String> = seen.numbered().collect();
        let told_down =
            |by_name| not_up(seen, by_name).map(|text| lines(&text, text_size, width)).unwrap_or_default();
        let mut below = told_down(true);
        if (list.len().div_ceil(2) + below.len()) as f32 * line > MOST_FOR_NAMES * height {
            list.clear();
            below = told_down(false);
        }
        let rows = list.len().div_ceil(2);
        if !seen.is_dark {
            below.extend(lines(TOO_BRIGHT, text_size, width));
        }
        below.extend(lines(HOW_TO_HOLD, text_size, width));
        let key_lines = visitor_sky_key::lines(seen, text_size, width);
        let foot = ((rows + key_lines.len() + below.len()) as f32 + 1.7) * line;
        let (above, over, _) = Self::margins(text_size);
        // East and west stand beside the rim.
        let beside = text_width("West", text_size) + 0.7 * text_size;
        let room = (width - 2.0 * beside).min(height - above - foot - 2.0 * over);
        let radius = (room / 2.0).max(LEAST_RADIUS);
        let centre = Point { x: width / 2.0, y: above + over + radius };
        let mut words = Vec::new();
        let mut baseline = centre.y + radius + over + 1.2 * line;
        for (index, text) in list.iter().enumerate() {
            let (column, row) = (index / rows, index % rows);
            let at = ((0.06 + 0.5 * column as f32) * width, baseline + row as f32 * line);
            words.push((at, Anchor::Start, shortened(text, text_size, 0.44 * width)));
        }
        baseline += rows as f32 * line + if rows > 0 { 0.5 * line } else { 0.0 };
        let mut key = Vec::new();
        for own in key_lines {
            key.push((((width - own.long) / 2.0, baseline), own));
            baseline += line;
        }
        baseline += if key.is_empty() { 0.0 } else { 0.5 * line };
        for text in below {
            words.push(((width / 2.0, baseline), Anchor::Middle, text));
            baseline += line;
        }
        Self { centre, radius, words, key, height: baseline - 0.6 * line }
    }
}
