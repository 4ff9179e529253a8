//! Names on a drawing of the sky: each beside what it names, inside the drawing, hiding no other.

use super::{Anchor, Ink, Item, Placed, Point, Rectangle, Stroke, text_width};

/// Size of a name on the screen, and the height of a line in sizes of its text.
pub(super) const SIZE: f32 = 13.0;
pub(super) const LINE: f32 = 17.0 / 13.0;
/// Left and right of a name on its tag.
const INSET: f32 = 5.0;
/// The stripe of a port on a tag.
const STRIPE: f32 = 5.0;
/// Between a name and the edge of the drawing.
const EDGE: f32 = 2.0;
/// How far from what it names a name may stand, nearest first.
const DISTANCES: [f32; 7] = [7.0, 16.0, 30.0, 48.0, 70.0, 96.0, 126.0];
/// In a crowd it goes as far as it must.
const FAR: [f32; 5] = [160.0, 200.0, 250.0, 310.0, 380.0];
/// How many of them a name may stand off where shorter words can take its place.
const NEAREST: usize = 4;
/// To which sides, in the order tried.
const SIDES: [(f32, f32); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.8, -0.8), (-0.8, -0.8), (0.8, 0.8), (-0.8, 0.8), (0.0, -1.0), (0.0, 1.0)];

/// Where names need paper under them, so that no shade or line of the sky runs through them.
#[derive(Clone, Copy)]
pub(super) enum Paper {
    /// Over a disc: its middle and its radius.
    Disc(Point, f32),
    /// Over all that lies above a height of the drawing.
    Above(f32),
}

/// Where names go.
pub(super) struct Labels {
    paper: Paper,
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
    pub fn new(paper: Paper, (width, height): (f32, f32), text_size: f32) -> Self {
        let (placed, lines, leaders) = (Placed::default(), Vec::new(), Vec::new());
        Self { paper, placed, lines, leaders, width, height, text_size }
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

    /// The places beside a place for something so large, nearest first, inside the drawing.
    fn places(&self, at: Point, (width, height): (f32, f32), distances: &[f32]) -> Vec<Rectangle> {
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
        let all = distances.iter().flat_map(|distance| SIDES.map(|side| beside(*distance, side)));
        all.filter(clear).collect()
    }

    /// Room for something beside a place that hides neither name nor line.
    fn free_beside(&mut self, at: Point, size: (f32, f32), distances: &[f32]) -> Option<Rectangle> {
        let places = self.places(at, size, distances);
        let clear = |place: &Rectangle| !self.lines.iter().any(|line| line.overlaps(place));
        self.placed.first_free(places.into_iter().filter(clear))
    }

    /// Room for something beside a place: the first free one, or, in a crowd, the nearest inside the drawing.
    fn beside(&mut self, at: Point, width: f32, height: f32) -> Rectangle {
        let free = self.free_beside(at, (width, height), &DISTANCES);
        free.unwrap_or_else(|| {
            let mut places = self.places(at, (width, height), &DISTANCES);
            places.extend(self.places(at, (width, height), &FAR));
            let nearest = places.first().copied();
            let fallback = Rectangle { left: at.x, top: at.y, right: at.x + width, bottom: at.y + height };
            self.placed.first_free(places).or(nearest).unwrap_or(fallback)
        })
    }

    /// A name beside a place, on a strip of paper so that no line runs through it.
    pub fn name(&mut self, at: Point, text: &str, ink: Ink, items: &mut Vec<Item>) -> Rectangle {
        let strip = self.strip(at, text_width(text, self.text_size) + INSET, items);
        items.push(Item::text(self.baseline(&strip, INSET), Anchor::Start, self.text_size, ink, text));
        strip
    }

    /// A name beside a place where it hides no other, however far off that is for one that must be told; none where
    /// there is no such place.
    pub fn name_if_free(&mut self, at: Point, (text, ink): (&str, Ink), must: bool, items: &mut Vec<Item>) {
        let size = (text_width(text, self.text_size) + INSET, self.line());
        let distances = if must { &DISTANCES[..] } else { &DISTANCES[..NEAREST] };
        let mut strip = self.free_beside(at, size, distances);
        if strip.is_none() && must {
            let mut places = self.places(at, size, &DISTANCES);
            places.extend(self.places(at, size, &FAR));
            strip = self.placed.first_free(places);
        }
        let Some(strip) = strip else { return };
        self.leaders.extend(leader(at, &strip));
        if self.is_over_the_sky(&strip) {
            items.push(Item::rectangle(&strip, Some(Ink::Ground), None));
        }
        items.push(Item::text(self.baseline(&strip, INSET), Anchor::Start, self.text_size, ink, text));
    }

    /// A name in the first of some places that is free, its left end and the middle of its line given; none elsewhere, as
    /// it would say something else there.
    pub fn name_at(&mut self, places: &[Point], text: &str, ink: Ink, items: &mut Vec<Item>) {
        let (width, height) = (text_width(text, self.text_size) + INSET, 0.9 * self.line());
        let places = places.iter().map(|at| Rectangle {
            left: at.x,
            right: at.x + width,
            top: at.y - height / 2.0,
            bottom: at.y + height / 2.0,
        });
        if let Some(place) = self.placed.first_free(places) {
            items.push(Item::rectangle(&place, Some(Ink::Ground), None));
            let baseline = (place.left + INSET / 2.0, place.bottom - 0.25 * self.line());
            items.push(Item::text(baseline, Anchor::Start, self.text_size, ink, text));
        }
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
        match self.paper {
            Paper::Disc(centre, radius) => {
                let x = centre.x.clamp(place.left, place.right) - centre.x;
                let y = centre.y.clamp(place.top, place.bottom) - centre.y;
                x.hypot(y) < radius + 1.0
            }
            Paper::Above(height) => place.top < height,
        }
    }

    /// A stop's tag beside its place: a stripe of its port and the words, the first of them that finds a free place; the
    /// last of them in any case.
    pub fn tag(&mut self, at: Point, tag: &Tag<'_>, items: &mut Vec<Item>) -> Rectangle {
        let size = |words: &str| {
            let width = text_width(words, self.text_size) + INSET + STRIPE;
            (width.min(self.width - 2.0 * EDGE), self.line() + 1.0)
        };
        let sizes: Vec<_> = tag.words.iter().map(|words| size(words)).collect();
        let last = sizes.len().saturating_sub(1);
        for (position, (width, height)) in sizes.into_iter().enumerate() {
            let distances = if position == last { &DISTANCES[..] } else { &DISTANCES[..NEAREST] };
            let found = self.free_beside(at, (width, height), distances);
            let place = match found {
                Some(place) => place,
                None if position == last => self.beside(at, width, height),
                None => continue,
            };
            self.leaders.extend(leader(at, &place));
            tag.draw(&place, &tag.words[position], self.text_size, items);
            return place;
        }
        around(at, 0.0)
    }
}

/// What a tag says, and how.
pub(super) struct Tag<'t> {
    /// The position of its port.
    pub port: u8,
    /// What it says, and shorter words for it, in the order tried.
    pub words: &'t [String],
    /// Its edge.
    pub edge: Stroke,
    /// Whether its words are heavier.
    pub is_strong: bool,
}

impl Tag<'_> {
    /// So wide a tag has room for words.
    pub fn width(words: &str, text_size: f32) -> f32 {
        text_width(words, text_size) + INSET + STRIPE
    }

    /// Draws it in a place.
    pub fn draw(&self, place: &Rectangle, words: &str, text_size: f32, items: &mut Vec<Item>) {
        items.push(Item::rectangle(place, Some(Ink::Ground), None));
        let stripe = Rectangle { right: place.left + STRIPE, ..*place };
        items.push(Item::rectangle(&stripe, Some(Ink::Port(self.port)), None));
        items.push(Item::rectangle(place, None, Some(self.edge)));
        let baseline = place.bottom - 0.3 * LINE * text_size;
        let at = (place.left + STRIPE + INSET, baseline);
        let words = Item::text(at, Anchor::Start, text_size, Ink::Text, words);
        items.push(if self.is_strong { words.semibold() } else { words });
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
