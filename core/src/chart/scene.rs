//! Shapes in points with colours as roles; y runs down.

/// A place in a scene: points from its upper left corner, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Down.
    pub y: f32,
}

/// A rectangle in a scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Its left edge.
    pub left: f32,
    /// Its upper edge.
    pub top: f32,
    /// Its right edge.
    pub right: f32,
    /// Its lower edge.
    pub bottom: f32,
}

impl Rectangle {
    /// Its width.
    pub fn width(&self) -> f32 {
        self.right - self.left
    }

    /// Its height.
    pub fn height(&self) -> f32 {
        self.bottom - self.top
    }

    /// Whether the two share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether a place lies within it or on its edge.
    pub fn contains(&self, at: Point) -> bool {
        (self.left..=self.right).contains(&at.x) && (self.top..=self.bottom).contains(&at.y)
    }

    /// Whether a straight line between two places goes through it.
    ///
    /// Clipped at its four edges; Liang and Barsky, A New Concept and Method for Line Clipping, ACM Transactions on
    /// Graphics 3(1), 1984.
    pub fn is_crossed_by(&self, from: Point, to: Point) -> bool {
        let (right, down) = (to.x - from.x, to.y - from.y);
        let mut within = (0.0_f32, 1.0_f32);
        let edges = [
            (-right, from.x - self.left),
            (right, self.right - from.x),
            (-down, from.y - self.top),
            (down, self.bottom - from.y),
        ];
        for (across, room) in edges {
            if across == 0.0 {
                if room <= 0.0 {
                    return false;
                }
            } else if across < 0.0 {
                within.0 = within.0.max(room / across);
            } else {
                within.1 = within.1.min(room / across);
            }
        }
        within.0 < within.1
    }

    /// The part of it between two x, if any is left.
    pub fn between(&self, left: f32, right: f32) -> Option<Self> {
        let (left, right) = (self.left.max(left), self.right.min(right));
        (left < right).then_some(Self { left, right, ..*self })
    }

    /// Its corners, clockwise from the upper left.
    pub fn corners(&self) -> Vec<Point> {
        vec![
            Point { x: self.left, y: self.top },
            Point { x: self.right, y: self.top },
            Point { x: self.right, y: self.bottom },
            Point { x: self.left, y: self.bottom },
        ]
    }
}

/// A colour by its role; each medium has its own table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ink {
    /// The ground.
    Ground,
    /// Text.
    Text,
    /// Quieter text.
    Quiet,
    /// Grid lines.
    Grid,
    /// The sky's light, from 0 (dark) to 255 (day).
    SkyLight(u8),
    /// Moonlight.
    Moon,
    /// The Moon's disc, where the Sun lights it.
    MoonLit,
    /// The rest of the Moon's disc.
    MoonDark,
    /// Ground below the horizon profile.
    Earth,
    /// The lane of a port, by its position on the rig.
    Port(u8),
    /// A move between stops.
    Move,
    /// A held stop's mark.
    Held,
    /// A Stopper.
    Stopper,
    /// A Caution.
    Caution,
    /// Now, or what is selected.
    Accent,
}

impl Stroke {
    /// A solid line.
    pub const fn solid(ink: Ink, width: f32) -> Self {
        Self { ink, width, dash: None }
    }

    /// A dashed line.
    pub const fn dashed(ink: Ink, width: f32, dash: f32, gap: f32) -> Self {
        Self { ink, width, dash: Some((dash, gap)) }
    }
}

/// A line's width and pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub ink: Ink,
    /// Width in points.
    pub width: f32,
    /// Lengths of dash and gap in points, if dashed.
    pub dash: Option<(f32, f32)>,
}

/// Weight of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// 400.
    Regular,
    /// 600.
    Semibold,
}

/// Which point of a text its place means; always on the baseline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A filled and possibly outlined polygon (convex), or an open line without fill.
    Path {
        /// Corners.
        points: Vec<Point>,
        /// Whether the last joins the first.
        closed: bool,
        /// Filling.
        fill: Option<Ink>,
        /// Outline.
        stroke: Option<Stroke>,
    },
    /// Text.
    Text {
        /// Baseline point.
        at: Point,
        /// Which end `at` means.
        anchor: Anchor,
        /// Size in points.
        size: f32,
        /// Weight.
        weight: Weight,
        /// Colour.
        ink: Ink,
        /// Whether it runs up from its place, the feet of its letters to the right, instead of along.
        runs_up: bool,
        /// What it says.
        text: String,
    },
}

impl Item {
    /// A rectangle.
    pub fn rectangle(rectangle: &Rectangle, fill: Option<Ink>, stroke: Option<Stroke>) -> Self {
        Self::Path { points: rectangle.corners(), closed: true, fill, stroke }
    }

    /// An open line through points.
    pub const fn line(points: Vec<Point>, stroke: Stroke) -> Self {
        Self::Path { points, closed: false, fill: None, stroke: Some(stroke) }
    }

    /// A straight line.
    pub fn segment(from: (f32, f32), to: (f32, f32), stroke: Stroke) -> Self {
        Self::line(vec![Point { x: from.0, y: from.1 }, Point { x: to.0, y: to.1 }], stroke)
    }

    /// A line of text in regular weight.
    pub fn text(at: (f32, f32), anchor: Anchor, size: f32, ink: Ink, text: impl Into<String>) -> Self {
        let at = Point { x: at.0, y: at.1 };
        Self::Text { at, anchor, size, weight: Weight::Regular, ink, runs_up: false, text: text.into() }
    }

    /// The same text in semibold; anything else stays as it is.
    #[must_use]
    pub fn semibold(mut self) -> Self {
        if let Self::Text { weight, .. } = &mut self {
            *weight = Weight::Semibold;
        }
        self
    }

    /// The same text running up; anything else stays as it is.
    #[must_use]
    pub fn running_up(mut self) -> Self {
        if let Self::Text { runs_up, .. } = &mut self {
            *runs_up = true;
        }
        self
    }
}

/// Slanting lines that fill a rectangle, `spacing` points apart (at least one): a pattern that needs no colour.
pub fn hatch(rectangle: &Rectangle, spacing: f32, stroke: Stroke) -> Vec<Item> {
    let spacing = spacing.max(1.0);
    let (width, height) = (rectangle.width(), rectangle.height());
    let mut lines = Vec::new();
    // Each line rises to the right at 45 degrees and meets the lower edge `along` from the left corner.
    let mut along = spacing - height;
    while along < width {
        let from = along.max(0.0);
        let to = (along + height).min(width);
        lines.push(Item::segment(
            (rectangle.left + from, rectangle.bottom - (from - along)),
            (rectangle.left + to, rectangle.bottom - (to - along)),
            stroke,
        ));
        along += spacing;
    }
    lines
}

/// A drawing, with the words that stand for it where it can't be seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    /// What it shows, in words.
    pub alt: String,
    /// Drawn in order, later over earlier.
    pub items: Vec<Item>,
}
