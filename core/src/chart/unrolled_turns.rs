//! How the mount turns through the evening, below the unrolled sky and in step with it: azimuth along, time down.

use super::sky_labels::{LINE, SIZE, Tag};
use super::sky_marks::arrow_head;
use super::unrolled_stops::{Shown, Shows, Strong, way_stroke};
use super::unrolled_telescope::{Telescope, cable_ends};
use super::{Anchor, Ink, Item, Placed, Point, Rectangle, SkyStop, Stroke, UnrolledMap, text_width};
use crate::sheet::{Names, numbers};
use crate::time::Instant;
use crate::units::Angle;

/// Between a bar and its words, and between a tag and what is said beside it.
const GAP: f32 = 9.0;
const BESIDE: f32 = 7.0;
/// How far words may slide down from where their bar begins, and by how much at a time.
const SLIDE: f32 = 30.0;
const STEP: f32 = 3.0;

/// Where it is drawn, and which time is where.
pub(super) struct Turns<'s> {
    pub map: &'s UnrolledMap,
    /// The part of the drawing below the sky.
    pub room: Rectangle,
    /// From where to where along it words may stand.
    pub open: (f32, f32),
    pub first: Instant,
    pub last: Instant,
}

impl Turns<'_> {
    fn height(&self, at: Instant) -> f32 {
        let share = at.seconds_since(self.first) / self.last.seconds_since(self.first).max(1.0);
        let (top, bottom) = (self.room.top + 8.0, self.room.bottom - 8.0);
        top + (share.clamp(0.0, 1.0) as f32) * (bottom - top)
    }

    /// Where the mount points, as it is shown on the strip.
    fn along(&self, turned: Angle, by_cable: bool) -> f32 {
        self.map.along(if by_cable { turned } else { self.map.in_home(turned) })
    }

    /// Draws it, and gives every stop its row.
    pub fn draw(
        &self,
        names: &Names<'_>,
        shows: &Shows<'_>,
        (strong, at): (Strong, Instant),
        telescope: Option<&Telescope<'_>>,
        tags: &mut [SkyStop],
        items: &mut Vec<Item>,
    ) {
        let by_cable = cable_ends(names.materials).is_some();
        let mut placed = Placed::default();
        let now = self.height(at);
        let clock = numbers::clock_with_zone(&names.prepared.night.local, at);
        let x = telescope.map(|telescope| self.along(telescope.turned, by_cable));
        self.now(now, x, &clock, &mut placed, items);
        let bars: Vec<Vec<Point>> = shows.stops.iter().map(|shown| self.bar(shown, by_cable)).collect();
        for (position, shown) in shows.stops.iter().enumerate() {
            let Some((from, to)) = shown.turn.slew else { continue };
            let is_next = strong.next == Some(position);
            let leave = shown.turn.timing.leave;
            let there = leave.plus_seconds(shown.turn.timing.parts.slew_s);
            let line = [(from, leave), (to, there), (to, shown.stop.start())]
                .map(|(at, when)| Point { x: self.along(at.cable_azimuth, by_cable), y: self.height(when) });
            let stroke = way_stroke(is_next);
            items
                .push(Item::line(line.to_vec(), Stroke::solid(Ink::Ground, if is_next { 6.0 } else { 3.0 })));
            items.push(Item::line(line.to_vec(), stroke));
            items.extend(arrow_head(&line[..2], if is_next { 9.0 } else { 6.0 }, stroke.ink));
            for step in 0..=8_u8 {
                let x = line[0].x + (line[1].x - line[0].x) * f32::from(step) / 8.0;
                placed.keep_free(Rectangle {
                    left: x - 2.0,
                    right: x + 2.0,
                    top: line[0].y - 2.0,
                    bottom: line[1].y + 2.0,
                });
            }
        }
        for (shown, bar) in shows.stops.iter().zip(&bars) {
            items.push(Item::line(bar.clone(), Stroke::solid(Ink::Ground, 10.0)));
            items.push(Item::line(bar.clone(), Stroke::solid(shown.ink(), 6.0)));
            for at in bar {
                let around =
                    Rectangle { left: at.x - 5.0, right: at.x + 5.0, top: at.y - 1.0, bottom: at.y + 1.0 };
                placed.keep_free(around);
            }
        }
        for (position, (shown, bar)) in shows.stops.iter().zip(&bars).enumerate() {
            let Some(start) = bar.first() else { continue };
            let row = self.row(names, (shown, position), (bar, *start), strong, &mut placed, items);
            let own = tags.iter_mut().find(|tag| tag.stop == shown.stop.id);
            if let Some((tag, row)) = own.zip(row) {
                tag.row = row;
            }
        }
    }

    /// The minute that is read, across all of it, its clock away from the telescope's plumb line.
    fn now(&self, y: f32, plumb: Option<f32>, clock: &str, placed: &mut Placed, items: &mut Vec<Item>) {
        let (width, height) = (text_width(clock, SIZE) + 8.0, LINE * SIZE);
        let top = (y - height / 2.0).max(self.room.top).min(self.room.bottom - height);
        let middle = f32::midpoint(self.open.0, self.open.1);
        let left = if plumb.is_some_and(|x| x < middle) { self.open.1 - width } else { self.open.0 };
        let tag = Rectangle { left, right: left + width, top, bottom: top + height };
        items.push(Item::segment((self.room.left, y), (self.room.right, y), Stroke::solid(Ink::Text, 1.0)));
        if let Some(x) = plumb {
            items.push(Item::segment((x, self.room.top), (x, y), Stroke::solid(Ink::Text, 1.0)));
        }
        items.push(Item::rectangle(&tag, Some(Ink::Text), None));
        let baseline = (tag.left + 4.0, tag.bottom - 0.3 * height);
        items.push(Item::text(baseline, Anchor::Start, SIZE, Ink::Ground, clock).semibold());
        placed.keep_free(tag);
        placed.keep_free(Rectangle { top: y - 1.0, bottom: y + 1.0, ..self.room });
    }

    fn bar(&self, shown: &Shown<'_>, by_cable: bool) -> Vec<Point> {
        let way = shown.turn.follows.iter();
        way.map(|(when, at)| Point { x: self.along(at.cable_azimuth, by_cable), y: self.height(*when) })
            .collect()
    }

    /// The words of a stop beside its bar: its tag, when it begins and by which move; as many as find a free place.
    fn row(
        &self,
        names: &Names<'_>,
        (shown, position): (&Shown<'_>, usize),
        (bar, start): (&[Point], Point),
        strong: Strong,
        placed: &mut Placed,
        items: &mut Vec<Item>,
    ) -> Option<Rectangle> {
        let [long, short] = shown.tag_words();
        let clock = numbers::clock(names.prepared.night.local.local(shown.stop.start()));
        let by = match position {
            0 => format!("{clock}, the first"),
            _ => format!("{clock}, after {}", shown.move_words()),
        };
        let (edge, is_strong) = shown.weight(strong);
        let height = LINE * SIZE + 1.0;
        for (words, beside) in [
            (&long, by.as_str()),
            (&long, clock.as_str()),
            (&short, by.as_str()),
            (&short, clock.as_str()),
            (&short, ""),
        ] {
            let tag_width = Tag::width(words, SIZE);
            let width = tag_width + if beside.is_empty() { 0.0 } else { BESIDE + text_width(beside, SIZE) };
            let places = (0..=(SLIDE / STEP) as u8).flat_map(|slide| {
                let top = (start.y - 4.0 + f32::from(slide) * STEP).min(self.room.bottom - height);
                // Clear of all of the bar that it stands beside.
                let near =
                    bar.iter().filter(|at| at.y >= top - 4.0 && at.y <= top + height + 4.0).map(|at| at.x);
                let (least, most) =
                    near.fold((start.x, start.x), |(least, most), x| (least.min(x), most.max(x)));
                let right =
                    Rectangle { left: most + GAP, right: most + GAP + width, top, bottom: top + height };
                let left = Rectangle { left: least - GAP - width, right: least - GAP, ..right };
                [right, left]
            });
            let inside = |place: &Rectangle| place.left >= self.open.0 && place.right <= self.open.1;
            let Some(place) = placed.first_free(places.filter(inside)) else { continue };
            let tag = Rectangle { right: place.left + tag_width, ..place };
            let own = [words.clone()];
            Tag { port: shown.port_number(), words: &own, edge, is_strong }.draw(&tag, words, SIZE, items);
            let baseline = (tag.right + BESIDE, tag.bottom - 0.3 * LINE * SIZE);
            let ink = if strong.next == Some(position) { Ink::Accent } else { Ink::Text };
            let beside = Item::text(baseline, Anchor::Start, SIZE, ink, beside);
            items.push(if ink == Ink::Accent { beside.semibold() } else { beside });
            return Some(tag);
        }
        None
    }
}
