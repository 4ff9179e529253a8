//! Shapes in points with colours as roles; y runs down.

/// A place in a scene: points from its upper left corner, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Down.
    pub y: f32,
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
        /// What it says.
        text: String,
    },
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
