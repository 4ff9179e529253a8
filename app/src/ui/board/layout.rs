//! Where everything on the Board lies: rectangles from model and axis, nothing painted.

use egui::{Rangef, Rect, pos2, vec2};
use evenfall_core::chart::TimeAxis;
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;

use super::marks::{MarkPlace, place_marks};
use super::model::{Block, Mark};
use crate::ui::theme::NEAR;

/// Left of the axis: names of strips and lanes, in a roomy and in a narrow Board.
const GUTTERS: (f32, f32) = (108.0, 86.0);
/// Right of the axis: the scale of altitude.
const RIGHT_GUTTERS: (f32, f32) = (34.0, 30.0);
/// A Board narrower than this is narrow.
const NARROW: f32 = 400.0;
/// The hours, and what a second line of their name adds.
const HOURS: f32 = 20.0;
const SECOND_LINE: f32 = 14.0;
const SKY: f32 = 16.0;
const MOON: f32 = 30.0;
const MARK_ROW: f32 = 15.0;
/// A closed part of the sky.
const CLOSED_ROW: f32 = 17.0;
/// The telescope: two lines of small type beside it.
const TELESCOPE: f32 = 31.0;
/// The line before the eyepiece: as much.
const LINE: f32 = 30.0;
const GAP: f32 = 6.0;
/// The line that tells the sky, and the one that tells a move.
const READING: f32 = 18.0;
/// A Board narrower than this takes two lines to tell the sky.
const ONE_LINE: f32 = 600.0;
/// A lane is the sky that its port looks at: low ones no lower than is needed to tell 40 degrees from 50, and no higher than
/// is taken in at a glance.
const LANE_HEIGHTS: Rangef = Rangef { min: 64.0, max: 190.0 };
/// Between a block and the edges of its lane.
const BLOCK_INSET: f32 = 2.0;
/// Least width of a block.
const LEAST_BLOCK: f32 = 4.0;

/// Whether a Board of this width has room for the names of its ports.
pub const fn is_narrow(width: f32) -> bool {
    width < NARROW
}

/// Height of the lines that tell the sky and a move, below a Board of this width; a narrow one tells no move there.
pub const fn reading_height(width: f32) -> f32 {
    if is_narrow(width) || width >= ONE_LINE { 2.0 * READING + NEAR } else { 3.0 * READING + NEAR }
}

/// What the height of the parts depends on.
pub struct Shown<'m> {
    pub lanes: usize,
    pub marks: &'m [Mark],
    /// The width of each mark's label.
    pub mark_widths: &'m [f32],
    /// Whether the name of the hours takes two lines.
    pub change: bool,
    /// Whether the hours of UTC are shown too.
    pub utc: bool,
    /// Closed parts of the sky.
    pub closed: usize,
    /// Whether there is an eyepiece to stand in line for.
    pub line: bool,
}

/// All rectangles.
#[derive(Clone, Debug)]
pub struct BoardLayout {
    pub whole: Rect,
    pub axis: TimeAxis,
    pub utc: Option<Rect>,
    pub hours: Rect,
    pub sky: Rect,
    pub marks: Rect,
    pub mark_places: Vec<MarkPlace>,
    pub moon: Rect,
    pub closed: Vec<Rect>,
    pub lanes: Vec<Rect>,
    pub telescope: Rect,
    pub line: Rect,
}

impl BoardLayout {
    pub fn new(whole: Rect, span: Interval, shown: &Shown<'_>) -> Self {
        let narrow = is_narrow(whole.width());
        let of = |(roomy, small): (f32, f32)| if narrow { small } else { roomy };
        let left = whole.left() + of(GUTTERS);
        let right = (whole.right() - of(RIGHT_GUTTERS)).max(left + 40.0);
        let axis = TimeAxis { span, left, right };
        let mut top = whole.top();
        let mut strip = |height: f32, gap: f32| {
            let rect = Rect::from_min_max(pos2(left, top), pos2(right, top + height));
            top += height + gap;
            rect
        };
        let utc = shown.utc.then(|| strip(HOURS, 0.0));
        let hours = strip(if shown.change { HOURS + SECOND_LINE } else { HOURS }, 0.0);
        let sky = strip(SKY, NEAR);
        let places: Vec<(f32, f32)> =
            shown.marks.iter().map(|mark| axis.x(mark.at)).zip(shown.mark_widths.iter().copied()).collect();
        let mark_places = place_marks(&places, whole.x_range());
        let rows = mark_places.iter().map(|place| place.row + 1).max().unwrap_or(0);
        let marks = strip(rows as f32 * MARK_ROW, GAP);
        let moon = strip(MOON, GAP);
        let closed: Vec<Rect> = (0..shown.closed)
            .map(|row| strip(CLOSED_ROW, if row + 1 == shown.closed { GAP } else { NEAR }))
            .collect();
        let lanes_top = closed.last().map_or(moon.bottom(), Rect::bottom);
        let below = TELESCOPE + GAP + if shown.line { LINE + GAP } else { 0.0 };
        let rest = (whole.bottom() - lanes_top - GAP - below).max(0.0);
        let lane_height = LANE_HEIGHTS.clamp((rest / shown.lanes.max(1) as f32).floor());
        let lanes: Vec<Rect> = (0..shown.lanes).map(|_| strip(lane_height, 0.0)).collect();
        let telescope = strip(TELESCOPE, GAP);
        let line = strip(if shown.line { LINE } else { 0.0 }, 0.0);
        Self { whole, axis, utc, hours, sky, marks, mark_places, moon, closed, lanes, telescope, line }
    }

    /// What it takes; more than it was given where that is too low.
    pub fn height(&self) -> f32 {
        self.line.bottom() + GAP - self.whole.top()
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
        self.utc.unwrap_or(self.hours).union(self.line)
    }

    /// Whether it is too narrow for the names of its ports.
    pub fn is_narrow(&self) -> bool {
        is_narrow(self.whole.width())
    }

    /// Where a block lies.
    pub fn block(&self, block: &Block) -> Rect {
        self.stretch(block.lane, block.interval)
    }

    /// Where a stretch of time lies in a lane, or across all.
    pub fn stretch(&self, lane: Option<usize>, interval: Interval) -> Rect {
        let rows = match lane.and_then(|lane| self.lanes.get(lane)) {
            Some(lane) => lane.shrink2(vec2(0.0, BLOCK_INSET)),
            None => self.all_lanes().shrink2(vec2(0.0, BLOCK_INSET)),
        };
        let (from, to) = (self.axis.x(interval.start()), self.axis.x(interval.end()));
        Rect::from_min_max(pos2(from, rows.top()), pos2(to.max(from + LEAST_BLOCK), rows.bottom()))
    }

    /// Where a move lies in a lane, wide enough to be pointed at: to the left, clear of its stop.
    pub fn before(&self, lane: Option<usize>, interval: Interval) -> Rect {
        let rect = self.stretch(lane, interval);
        let right = self.axis.x(interval.end());
        Rect::from_x_y_ranges(rect.left().min(right - LEAST_BLOCK)..=right, rect.y_range())
    }

    /// The lane at a height; the nearest one.
    pub fn lane_at(&self, y: f32) -> Option<usize> {
        let distance = |lane: &Rect| (lane.center().y - y).abs();
        (0..self.lanes.len())
            .min_by(|one, other| distance(&self.lanes[*one]).total_cmp(&distance(&self.lanes[*other])))
    }

    /// The height of an altitude in a lane: from the horizon at its foot to the zenith at its head.
    pub fn altitude_y(&self, lane: usize, altitude: Angle) -> f32 {
        let lane = self.lanes.get(lane).copied().unwrap_or(self.moon);
        let share = (altitude.degrees() / 90.0).clamp(0.0, 1.0) as f32;
        lane.bottom() - BLOCK_INSET - share * (lane.height() - 2.0 * BLOCK_INSET)
    }
}

#[cfg(test)]
mod tests {
    use egui::{Rect, pos2};
    use evenfall_core::time::{Instant, Interval};
    use evenfall_core::units::Angle;

    use super::{BoardLayout, LANE_HEIGHTS, Shown};

    fn layout(height: f32, lanes: usize, closed: usize) -> BoardLayout {
        let span = Interval::new(Instant::J2000, Instant::J2000.plus_minutes(240.0)).expect("in order");
        let shown =
            Shown { lanes, marks: &[], mark_widths: &[], change: false, utc: true, closed, line: true };
        BoardLayout::new(Rect::from_min_max(pos2(0.0, 0.0), pos2(500.0, height)), span, &shown)
    }

    #[test]
    fn a_height_finds_its_lane() {
        let layout = layout(600.0, 4, 0);
        for (position, lane) in layout.lanes.iter().enumerate() {
            assert_eq!(layout.lane_at(lane.center().y), Some(position));
        }
    }

    #[test]
    fn no_part_covers_another_and_the_lanes_keep_their_height() {
        for (height, lanes, closed) in
            [(300.0, 4, 0), (600.0, 1, 0), (600.0, 4, 0), (600.0, 6, 2), (1200.0, 6, 1)]
        {
            let layout = layout(height, lanes, closed);
            let mut parts: Vec<Rect> = layout.utc.into_iter().collect();
            parts.extend([layout.hours, layout.sky, layout.moon]);
            parts.extend(layout.closed.iter().chain(&layout.lanes));
            parts.extend([layout.telescope, layout.line]);
            for two in parts.windows(2) {
                assert!(two[0].bottom() <= two[1].top(), "{two:?}");
            }
            let lanes = layout.lanes.iter().map(Rect::height);
            assert!(lanes.clone().all(|lane| LANE_HEIGHTS.contains(lane)), "{:?}", layout.lanes);
        }
    }

    #[test]
    fn a_lane_reaches_from_the_horizon_to_the_zenith() {
        let layout = layout(600.0, 4, 0);
        for (position, lane) in layout.lanes.iter().enumerate() {
            let y = |degrees: f64| layout.altitude_y(position, Angle::from_degrees(degrees));
            assert!(lane.top() < y(90.0) && y(90.0) < y(45.0) && y(0.0) < lane.bottom(), "{lane:?}");
            assert!((y(45.0) - lane.center().y).abs() < 0.01, "halfway up stands in the middle");
            assert_eq!(y(-10.0), y(0.0), "what has set lies on the horizon");
        }
    }
}
