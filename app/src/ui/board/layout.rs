//! Where everything on the Board lies: rectangles from model and axis, nothing painted.

use egui::{Pos2, Rangef, Rect, pos2, vec2};
use evenfall_core::chart::TimeAxis;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

use super::model::{Block, Mark};
use crate::ui::theme::SMALL;

/// Left of the axis: names of strips and lanes.
const GUTTER: f32 = 108.0;
/// Right of the axis: the scale of airmass.
const RIGHT_GUTTER: f32 = 50.0;
/// The hours, and what a second line of their name adds.
const HOURS: f32 = 20.0;
const SECOND_LINE: f32 = 14.0;
const SKY: f32 = 16.0;
const MOON: f32 = 34.0;
const MARK_ROW: f32 = 15.0;
/// The line before the eyepiece: two lines of small type beside it.
const LINE: f32 = 32.0;
const GAP: f32 = 6.0;
const READING: f32 = 24.0;
/// A Board narrower than this takes two lines to tell the sky.
const ONE_LINE: f32 = 600.0;
const TWO_LINES: f32 = 40.0;
/// Least height of the altitude paths.
const PLOT: f32 = 150.0;
const LANE_HEIGHTS: Rangef = Rangef { min: 42.0, max: 60.0 };
/// Width of a small letter on average, to keep labels from overlapping.
const LETTER_WIDTH: f32 = SMALL * 0.46;

/// A label of a mark: the row it stands in, and its left end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkPlace {
    pub row: usize,
    pub left: f32,
    pub width: f32,
}

/// Height of the line that tells the sky, below a Board of this width.
pub const fn reading_height(width: f32) -> f32 {
    if width < ONE_LINE { TWO_LINES } else { READING }
}

/// What the height of the parts depends on.
pub struct Shown<'m> {
    pub lanes: usize,
    pub marks: &'m [Mark],
    /// Whether the name of the hours takes two lines.
    pub change: bool,
    /// Whether there is an eyepiece to stand in line for.
    pub line: bool,
}

/// All rectangles.
#[derive(Clone, Debug)]
pub struct BoardLayout {
    pub whole: Rect,
    pub axis: TimeAxis,
    pub hours: Rect,
    pub sky: Rect,
    pub marks: Rect,
    pub mark_places: Vec<MarkPlace>,
    pub moon: Rect,
    pub lanes: Vec<Rect>,
    pub line: Rect,
    pub plot: Rect,
}

impl BoardLayout {
    pub fn new(whole: Rect, span: Interval, shown: &Shown<'_>) -> Self {
        let left = whole.left() + GUTTER;
        let right = (whole.right() - RIGHT_GUTTER).max(left + 40.0);
        let axis = TimeAxis { span, left, right };
        let mut top = whole.top();
        let mut strip = |height: f32, gap: f32| {
            let rect = Rect::from_min_max(pos2(left, top), pos2(right, top + height));
            top += height + gap;
            rect
        };
        let hours = strip(if shown.change { HOURS + SECOND_LINE } else { HOURS }, 0.0);
        let sky = strip(SKY, 2.0);
        let mark_places = place_marks(&axis, shown.marks);
        let rows = mark_places.iter().map(|place| place.row + 1).max().unwrap_or(0);
        let marks = strip(rows as f32 * MARK_ROW, GAP);
        let moon = strip(MOON, GAP);
        let line_height = if shown.line { LINE + GAP } else { 0.0 };
        let rest = (whole.bottom() - moon.bottom() - line_height - 3.0 * GAP).max(0.0);
        let lane_height = LANE_HEIGHTS.clamp((rest * 0.52 / shown.lanes.max(1) as f32).floor());
        let lanes: Vec<Rect> = (0..shown.lanes).map(|_| strip(lane_height, 0.0)).collect();
        let lanes_end = lanes.last().map_or(moon.bottom(), Rect::bottom);
        let line_top = pos2(left, lanes_end + GAP);
        let line = Rect::from_min_max(line_top, pos2(right, lanes_end + line_height.max(GAP)));
        let plot_top = line.bottom() + if shown.line { GAP } else { 2.0 * GAP };
        let plot_bottom = (whole.bottom() - GAP).max(plot_top + PLOT);
        let plot = Rect::from_min_max(pos2(left, plot_top), pos2(right, plot_bottom));
        Self { whole, axis, hours, sky, marks, mark_places, moon, lanes, line, plot }
    }

    /// What it takes; more than it was given where that is too low.
    pub fn height(&self) -> f32 {
        self.plot.bottom() + GAP - self.whole.top()
    }

    /// All lanes together.
    pub fn all_lanes(&self) -> Rect {
        let (Some(first), Some(last)) = (self.lanes.first(), self.lanes.last()) else {
            return Rect::from_min_size(self.moon.left_bottom(), vec2(self.moon.width(), 0.0));
        };
        first.union(*last)
    }

    /// Everything that has the time axis.
    pub fn timed(&self) -> Rect {
        self.hours.union(self.plot)
    }

    /// Where a block lies.
    pub fn block(&self, block: &Block) -> Rect {
        self.stretch(block.lane, block.interval)
    }

    /// Where a stretch of time lies in a lane, or across all.
    pub fn stretch(&self, lane: Option<usize>, interval: Interval) -> Rect {
        let rows = match lane.and_then(|lane| self.lanes.get(lane)) {
            Some(lane) => lane.shrink2(vec2(0.0, 3.0)),
            None => self.all_lanes().shrink2(vec2(0.0, 3.0)),
        };
        let (from, to) = (self.axis.x(interval.start()), self.axis.x(interval.end()));
        Rect::from_min_max(pos2(from, rows.top()), pos2(to.max(from + 4.0), rows.bottom()))
    }

    /// The lane at a height; the nearest one.
    pub fn lane_at(&self, y: f32) -> Option<usize> {
        let distance = |lane: &Rect| (lane.center().y - y).abs();
        (0..self.lanes.len())
            .min_by(|one, other| distance(&self.lanes[*one]).total_cmp(&distance(&self.lanes[*other])))
    }

    /// The height of an altitude in the plot.
    pub fn altitude_y(&self, altitude: Angle) -> f32 {
        let share = (altitude.degrees() / 90.0) as f32;
        self.plot.bottom() - share * self.plot.height()
    }

    /// A sample in the plot.
    pub fn in_plot(&self, at: Instant, altitude: Angle) -> Pos2 {
        pos2(self.axis.x(at), self.altitude_y(altitude))
    }
}

/// Rows for the labels of marks, a staircase down to the left: a label lies below those of all later marks that it
/// reaches, so that no label covers another and no line that drops from the sky crosses a word.
fn place_marks(axis: &TimeAxis, marks: &[Mark]) -> Vec<MarkPlace> {
    let mut places: Vec<MarkPlace> = Vec::with_capacity(marks.len());
    for mark in marks.iter().rev() {
        let width = mark.label.chars().count() as f32 * LETTER_WIDTH + 10.0;
        let x = axis.x(mark.at);
        let left = if x + width > axis.right + RIGHT_GUTTER { x - width } else { x };
        let reached = places.iter().filter(|later| later.left < left + width);
        let row = reached.map(|later| later.row + 1).max().unwrap_or(0);
        places.push(MarkPlace { row, left, width });
    }
    places.reverse();
    places
}

#[cfg(test)]
mod tests {
    use egui::{Rect, pos2};
    use evenfall_core::time::{Instant, Interval};

    use super::{BoardLayout, Mark, Shown};

    fn layout(marks: &[Mark]) -> BoardLayout {
        let span = Interval::new(Instant::J2000, Instant::J2000.plus_minutes(240.0)).expect("in order");
        let shown = Shown { lanes: 4, marks, change: false, line: true };
        BoardLayout::new(Rect::from_min_max(pos2(0.0, 0.0), pos2(500.0, 600.0)), span, &shown)
    }

    #[test]
    fn labels_never_cover_one_another() {
        let mark = |minutes: f64| Mark {
            at: Instant::J2000.plus_minutes(minutes),
            label: "Astronomical dusk 19:58".to_owned(),
            strong: false,
        };
        let marks = [mark(10.0), mark(20.0), mark(30.0), mark(235.0)];
        let places = layout(&marks).mark_places;
        for (one, place) in places.iter().enumerate() {
            for other in &places[one + 1..] {
                let apart = place.left + place.width <= other.left || other.left + other.width <= place.left;
                assert!(place.row != other.row || apart, "{place:?} covers {other:?}");
            }
        }
    }

    #[test]
    fn a_height_finds_its_lane() {
        let layout = layout(&[]);
        for (position, lane) in layout.lanes.iter().enumerate() {
            assert_eq!(layout.lane_at(lane.center().y), Some(position));
        }
    }
}
