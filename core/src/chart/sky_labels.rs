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
/// The same in smaller steps, for places that are weighed.
const STEPS: [f32; 18] = [
    7.0, 11.0, 16.0, 22.0, 30.0, 38.0, 48.0, 58.0, 70.0, 82.0, 96.0, 110.0, 126.0, 160.0, 200.0, 250.0,
    310.0, 380.0,
];
/// How many of them a name may stand off where shorter words can take its place, or none.
const NEAREST: usize = 8;
/// How many one that must be told may, before it hides a line.
const APART: usize = 13;
/// To which sides, in the order tried.
const SIDES: [(f32, f32); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.8, -0.8), (-0.8, -0.8), (0.8, 0.8), (-0.8, 0.8), (0.0, -1.0), (0.0, 1.0)];
/// The same for places that are weighed: all round, those at the sides first.
const ALL_ROUND: [(f32, f32); 16] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (1.0, -0.5),
    (-1.0, -0.5),
    (1.0, 0.5),
    (-1.0, 0.5),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 1.0),
    (-1.0, 1.0),
    (0.0, -1.0),
    (0.0, 1.0),
    (0.5, -1.0),
    (-0.5, -1.0),
    (0.5, 1.0),
    (-0.5, 1.0),
];
/// What a place counts beside its distance, in points: for every step round, for every piece of a way that the name would
/// hide, and for every name or mark that its own line would cross.
const A_STEP_ROUND: f32 = 0.2;
const A_WAY_HIDDEN: f32 = 5.0;
const A_NAME_CROSSED: f32 = 60.0;
/// A name nearer to another mark than so might be taken for that one's; what that counts.
const NEAR_A_MARK: f32 = 12.0;
const ANOTHERS: f32 = 25.0;
/// Farther off than this, a name is led to what it names by a line.
const LED: f32 = 12.0;
/// The same where places are weighed.
const LED_IN_A_CROWD: f32 = 9.0;
/// From one place to the next where any place in the drawing will do.
const GRID: f32 = 8.0;

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
    /// The middles of marks.
    marks: Vec<Point>,
    /// What a name had better not hide, where another place is as good.
    ways: Vec<Rectangle>,
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
        Self {
            paper,
            placed: Placed::default(),
            lines: Vec::new(),
            marks: Vec::new(),
            ways: Vec::new(),
            leaders: Vec::new(),
            width,
            height,
            text_size,
        }
    }

    /// Height of the line of a name.
    pub fn line(&self) -> f32 {
        LINE * self.text_size
    }

    /// Keeps a line free of names, as far as they find room elsewhere.
    pub fn spare(&mut self, line: &[Point]) {
        self.lines.extend(squares_along(line));
    }

    /// Has names rather stand beside a line than on it.
    pub fn shun(&mut self, line: &[Point]) {
        self.ways.extend(squares_along(line));
    }

    /// Keeps a mark and its surroundings free of names.
    pub fn keep_free(&mut self, at: Point, radius: f32) {
        self.marks.push(at);
        self.placed.keep_free(around(at, radius));
    }

    /// Keeps a rectangle free of names.
    pub fn keep_clear(&mut self, place: Rectangle) {
        self.placed.keep_free(place);
    }

    /// The place inside the drawing for something so large, so far off to a side of a place; none where it would lie on
    /// that.
    fn place(
        &self,
        at: Point,
        (width, height): (f32, f32),
        distance: f32,
        (right, down): (f32, f32),
    ) -> Option<Rectangle> {
        let left = at.x + right * distance - (1.0 - right) / 2.0 * width;
        let top = at.y + down * distance - (1.0 - down) / 2.0 * height;
        let left = left.min(self.width - EDGE - width).max(EDGE);
        let top = top.min(self.height - EDGE - height).max(EDGE);
        let place = Rectangle { left, top, right: left + width, bottom: top + height };
        (off(at, &place) > 5.0).then_some(place)
    }

    /// The places beside a place for something so large, nearest first, inside the drawing.
    fn places(&self, at: Point, size: (f32, f32), distances: &[f32]) -> Vec<Rectangle> {
        let all =
            distances.iter().flat_map(|distance| SIDES.map(|side| self.place(at, size, *distance, side)));
        all.flatten().collect()
    }

    /// The best room for something beside a place that hides neither name, mark nor line that is kept free: near, over few
    /// ways, and with no name or mark between.
    fn best_beside(&mut self, at: Point, size: (f32, f32), distances: &[f32]) -> Option<Rectangle> {
        let mut best: Option<(f32, Rectangle)> = None;
        for distance in distances {
            for (step, side) in ALL_ROUND.into_iter().enumerate() {
                let least = distance + A_STEP_ROUND * step as f32;
                if best.as_ref().is_some_and(|(count, _)| *count <= least) {
                    continue;
                }
                let Some(place) = self.place(at, size, *distance, side) else { continue };
                let hides = self.lines.iter().any(|line| line.overlaps(&place));
                if hides || !self.placed.is_free(&place) {
                    continue;
                }
                let count = least + self.count(at, &place);
                if best.as_ref().is_none_or(|(least, _)| count < *least) {
                    best = Some((count, place));
                }
            }
        }
        let (_, place) = best?;
        self.placed.keep_free(place);
        Some(place)
    }

    /// What a place counts beside its distance.
    fn count(&self, at: Point, place: &Rectangle) -> f32 {
        let hidden = self.ways.iter().filter(|way| way.overlaps(place)).count();
        let crossed =
            if off(at, place) > LED_IN_A_CROWD { self.placed.crossed(at, nearest(at, place)) } else { 0 };
        let others = self.marks.iter().filter(|mark| (mark.x - at.x).hypot(mark.y - at.y) > NEAR_A_MARK);
        let anothers = others.filter(|mark| off(**mark, place) < NEAR_A_MARK).count();
        A_WAY_HIDDEN * hidden as f32 + A_NAME_CROSSED * crossed as f32 + ANOTHERS * anothers as f32
    }

    /// Leads a name to what it names; those that come later leave that line be.
    fn lead(&mut self, at: Point, place: &Rectangle) {
        let Some(line) = leader(at, place, LED_IN_A_CROWD) else { return };
        self.leaders.push(line);
        let (to, far) = (nearest(at, place), off(at, place));
        let between = |share: f32| Point { x: at.x + share * (to.x - at.x), y: at.y + share * (to.y - at.y) };
        let pieces = (far / 6.0).ceil().max(1.0) as u16;
        let line: Vec<Point> =
            (0..=pieces).map(|piece| between(f32::from(piece) / f32::from(pieces))).collect();
        self.ways.extend(squares_along(&line));
    }

    /// The free place nearest to a place, anywhere in the drawing, for what must be told.
    fn anywhere(&mut self, at: Point, (width, height): (f32, f32)) -> Option<Rectangle> {
        let steps = |room: f32| (0..=(room / GRID).max(0.0) as u16).map(|step| EDGE + GRID * f32::from(step));
        let lefts = steps(self.width - 2.0 * EDGE - width);
        let tops = || steps(self.height - 2.0 * EDGE - height);
        let all = lefts.flat_map(|left| tops().map(move |top| (left, top)));
        let all = all.map(|(left, top)| Rectangle { left, top, right: left + width, bottom: top + height });
        let free = all.filter(|place| self.placed.is_free(place));
        let place = free.min_by(|one, other| off(at, one).total_cmp(&off(at, other)))?;
        self.placed.keep_free(place);
        Some(place)
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
        let mut strip = self.best_beside(at, size, &STEPS[..if must { APART } else { NEAREST }]);
        if strip.is_none() && must {
            strip = self.anywhere(at, size);
        }
        let Some(strip) = strip else { return };
        self.lead(at, &strip);
        if self.is_over_the_sky(&strip) {
            items.push(Item::rectangle(&strip, Some(Ink::Ground), None));
        }
        items.push(Item::text(self.baseline(&strip, INSET), Anchor::Start, self.text_size, ink, text));
    }

    /// Room for a mark so wide beside a place, near and apart from other marks, and led to it.
    pub fn mark_beside(&mut self, at: Point, width: f32) -> Rectangle {
        let place = self.best_beside(at, (width, width), &STEPS);
        let place = place.unwrap_or_else(|| self.beside(at, width, width));
        self.lead(at, &place);
        place
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
        self.leaders.extend(leader(at, &strip, LED));
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
            let steps = if position == last { STEPS.len() } else { NEAREST };
            let found = self.best_beside(at, (width, height), &STEPS[..steps]);
            let place = match found {
                Some(place) => place,
                None if position == last => {
                    let free = self.anywhere(at, (width, height));
                    free.unwrap_or_else(|| self.beside(at, width, height))
                }
                None => continue,
            };
            self.lead(at, &place);
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

/// Squares that cover a line.
fn squares_along(line: &[Point]) -> Vec<Rectangle> {
    let mut squares = Vec::new();
    let mut last: Option<Point> = None;
    for at in line {
        if last.is_none_or(|last| (at.x - last.x).hypot(at.y - last.y) > 6.0) {
            squares.push(around(*at, 3.0));
            last = Some(*at);
        }
    }
    squares.extend(line.last().map(|at| around(*at, 3.0)));
    squares
}

/// The point of a rectangle that is nearest to a place.
fn nearest(at: Point, place: &Rectangle) -> Point {
    Point { x: at.x.clamp(place.left, place.right), y: at.y.clamp(place.top, place.bottom) }
}

/// How far a place lies off a rectangle.
fn off(at: Point, place: &Rectangle) -> f32 {
    let to = nearest(at, place);
    (to.x - at.x).hypot(to.y - at.y)
}

/// A line from a place to a name that stands farther off it than so.
fn leader(at: Point, strip: &Rectangle, led: f32) -> Option<Item> {
    let to = nearest(at, strip);
    (off(at, strip) > led).then(|| Item::segment((at.x, at.y), (to.x, to.y), Stroke::solid(Ink::Move, 0.8)))
}
