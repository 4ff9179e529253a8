//! Names on the dome: each beside what it names, inside the drawing, hiding no other.

use super::{Anchor, DomeMap, Ink, Item, Placed, Point, Rectangle, Stroke, text_width};

/// Size of a name on the screen, and the height of a line in sizes of its text.
pub(super) const SIZE: f32 = 13.0;
const LINE: f32 = 17.0 / 13.0;
/// Left and right of a name on its tag.
const INSET: f32 = 5.0;
/// The stripe of a port on a tag.
const STRIPE: f32 = 5.0;
/// Between a name and the edge of the drawing.
const EDGE: f32 = 2.0;
/// How far from what it names a name may stand, nearest first.
const DISTANCES: [f32; 7] = [7.0, 16.0, 30.0, 48.0, 70.0, 96.0, 126.0];
/// To which sides, in the order tried.
const SIDES: [(f32, f32); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.8, -0.8), (-0.8, -0.8), (0.8, 0.8), (-0.8, 0.8), (0.0, -1.0), (0.0, 1.0)];

/// Where names go.
pub(super) struct Labels {
    map: DomeMap,
    placed: Placed,
    /// What a name hides only in a crowd.
    lines: Vec<Rectangle>,
    /// From names to what they name, to be drawn under all names.
    pub leaders: Vec<Item>,
    width: f32,
    height: f32,
    /// Size of the names.
    text_size: f32,
}

impl Labels {
    /// For a drawing of this size, with names of that size.
    pub fn new(map: DomeMap, (width, height): (f32, f32), text_size: f32) -> Self {
        let (placed, lines, leaders) = (Placed::default(), Vec::new(), Vec::new());
        Self { map, placed, lines, leaders, width, height, text_size }
    }

    /// Height of the line of a name.
    pub fn line(&self) -> f32 {
        LINE * self.text_size
    }

    /// Keeps a line free of names, as far as they find room elsewhere.
    pub fn spare(&mut self, line: &[Point]) {
        let square = |at: &Point| around(*at, 3.0);
        let mut last: Option<Point> = None;
        for at in line {
            if last.is_none_or(|last| (at.x - last.x).hypot(at.y - last.y) > 6.0) {
                self.lines.push(square(at));
                last = Some(*at);
            }
        }
        self.lines.extend(line.last().map(square));
    }

    /// Keeps the surroundings of a place free of names.
    pub fn keep_free(&mut self, at: Point, radius: f32) {
        self.placed.keep_free(around(at, radius));
    }

    /// Keeps a rectangle free of names.
    pub fn keep_clear(&mut self, place: Rectangle) {
        self.placed.keep_free(place);
    }

    /// Room for something beside a place: the first free one, or, in a crowd, the nearest inside the drawing.
    fn beside(&mut self, at: Point, width: f32, height: f32) -> Rectangle {
        let place = |left: f32, top: f32| {
            let left = left.min(self.width - EDGE - width).max(EDGE);
            let top = top.min(self.height - EDGE - height).max(EDGE);
            Rectangle { left, top, right: left + width, bottom: top + height }
        };
        let beside = |distance: f32, (right, down): (f32, f32)| {
            let left = at.x + right * distance - (1.0 - right) / 2.0 * width;
            let top = at.y + down * distance - (1.0 - down) / 2.0 * height;
            place(left, top)
        };
        let clear = |place: &Rectangle| {
            let (x, y) = (at.x.clamp(place.left, place.right), at.y.clamp(place.top, place.bottom));
            (x - at.x).hypot(y - at.y) > 5.0
        };
        let places =
            DISTANCES.into_iter().flat_map(|distance| SIDES.map(|side| beside(distance, side))).filter(clear);
        let places: Vec<Rectangle> = places.collect();
        let nearest = beside(DISTANCES[0], SIDES[0]);
        let clear = |place: &&Rectangle| !self.lines.iter().any(|line| line.overlaps(place));
        let clear: Vec<Rectangle> = places.iter().filter(clear).copied().collect();
        self.placed.first_free(clear).or_else(|| self.placed.first_free(places)).unwrap_or(nearest)
    }

    /// A name beside a place, on a strip of paper so that no line runs through it.
    pub fn name(&mut self, at: Point, text: &str, ink: Ink, items: &mut Vec<Item>) -> Rectangle {
        let strip = self.strip(at, text_width(text, self.text_size) + INSET, items);
        items.push(Item::text(self.baseline(&strip, INSET), Anchor::Start, self.text_size, ink, text));
        strip
    }

    /// A strip of paper for so wide a name beside a place.
    pub fn strip(&mut self, at: Point, width: f32, items: &mut Vec<Item>) -> Rectangle {
        let strip = self.beside(at, width.min(self.width - 2.0 * EDGE), self.line());
        self.leaders.extend(leader(at, &strip));
        if self.is_over_the_sky(&strip) {
            items.push(Item::rectangle(&strip, Some(Ink::Ground), None));
        }
        strip
    }

    /// Where the text of a strip stands.
    pub fn baseline(&self, strip: &Rectangle, inset: f32) -> (f32, f32) {
        (strip.left + inset, strip.bottom - 0.3 * self.line())
    }

    fn is_over_the_sky(&self, place: &Rectangle) -> bool {
        let centre = self.map.centre;
        let (x, y) = (centre.x.clamp(place.left, place.right), centre.y.clamp(place.top, place.bottom));
        (x - centre.x).hypot(y - centre.y) < self.map.radius + 1.0
    }

    /// A stop's tag beside its place: a stripe of its port, the number, and the name.
    pub fn tag(&mut self, at: Point, port: u8, text: &str, chosen: bool, items: &mut Vec<Item>) -> Rectangle {
        let width = (text_width(text, self.text_size) + INSET + STRIPE).min(self.width - 2.0 * EDGE);
        let tag = self.beside(at, width, self.line() + 1.0);
        self.leaders.extend(leader(at, &tag));
        let edge = if chosen { Stroke::solid(Ink::Accent, 2.0) } else { Stroke::solid(Ink::Move, 0.8) };
        items.push(Item::rectangle(&tag, Some(Ink::Ground), None));
        let stripe = Rectangle { right: tag.left + STRIPE, ..tag };
        items.push(Item::rectangle(&stripe, Some(Ink::Port(port)), None));
        items.push(Item::rectangle(&tag, None, Some(edge)));
        let words =
            Item::text(self.baseline(&tag, STRIPE + INSET), Anchor::Start, self.text_size, Ink::Text, text);
        items.push(if chosen { words.semibold() } else { words });
        tag
    }
}

fn around(at: Point, radius: f32) -> Rectangle {
    Rectangle { left: at.x - radius, top: at.y - radius, right: at.x + radius, bottom: at.y + radius }
}

/// A line from a place to a name that stands off it.
fn leader(at: Point, strip: &Rectangle) -> Option<Item> {
    let to = (at.x.clamp(strip.left, strip.right), at.y.clamp(strip.top, strip.bottom));
    let off = (to.0 - at.x).hypot(to.1 - at.y);
    (off > 12.0).then(|| Item::segment((at.x, at.y), to, Stroke::solid(Ink::Move, 0.8)))
}
