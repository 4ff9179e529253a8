//! What stands on the unrolled sky and the ground below it: the winds, the building, where the telescope points, Sun and Moon.

use super::directions::towards;
use super::moon_disc::moon_disc;
use super::sky_labels::{Labels, SIZE};
use super::sky_marks::{disc, person};
use super::unrolled_ground::{open, seams, winds};
use super::unrolled_telescope::{Telescope, cable_ends};
use super::{Anchor, Ink, Item, Point, Rectangle, Stroke, UnrolledMap, text_width};
use crate::plan::Moment;
use crate::sheet::{Names, numbers, upper_first};
use crate::units::Angle;

/// The ground below the level horizon: slit and people, then the winds.
pub(super) const GROUND: f32 = 56.0;
const FEET: f32 = 28.0;
const PERSON: f32 = 15.0;
/// The Moon's disc, and the ring of the telescope.
const MOON: f32 = 9.0;
pub(super) const RING: f32 = 11.0;

/// A drawing being made: what is on it, and where its names still find room.
pub(super) struct Drawing<'n> {
    pub map: UnrolledMap,
    pub labels: Labels,
    /// Where the ground ends below.
    pub foot: f32,
    pub names: &'n Names<'n>,
    pub items: Vec<Item>,
}

impl Drawing<'_> {
    /// A name, led to its place by a line where it stands apart.
    pub fn name(&mut self, at: Point, text: &str, ink: Ink) {
        self.labels.name_if_free(at, (text, ink), true, &mut self.items);
    }

    /// A name of what can be seen without it.
    pub fn name_if_near(&mut self, at: Point, text: &str) {
        self.labels.name_if_free(at, (text, Ink::Text), false, &mut self.items);
    }

    /// Where the strip shows an azimuth to which the mount has turned.
    pub fn shown(&self, turned: Angle) -> Angle {
        let by_cable = cable_ends(self.names.materials).is_some();
        if by_cable { self.map.near(turned, turned) } else { self.map.in_home(turned) }
    }

    /// The winds by their words on the ground, with a line down from each, and where what is seen again begins.
    pub fn winds(&mut self, below: f32) {
        let baseline = self.foot - 7.0;
        let open = open(&self.map, self.names.materials);
        let wide = (self.map.along(Angle::from_degrees(45.0)) - self.map.along(Angle::ZERO)) * 0.9;
        for (turned, always) in winds(&self.map) {
            let x = self.map.along(turned);
            let word = upper_first(numbers::compass_word(turned));
            let width = text_width(&word, SIZE);
            self.items.push(Item::segment(
                (x, self.map.strip.bottom),
                (x, self.map.strip.bottom + if always { 7.0 } else { 4.0 }),
                Stroke::solid(Ink::Text, 1.0),
            ));
            if always && below > self.foot {
                self.items.push(Item::segment((x, self.foot), (x, below), Stroke::solid(Ink::Grid, 1.0)));
            }
            let left = (x - width / 2.0).max(open.0 + 4.0).min(open.1 - 4.0 - width);
            let inside = (left + width / 2.0 - x).abs() <= width;
            if !inside || (!always && width > wide - text_width("South", SIZE) / 2.0) {
                continue;
            }
            let again = self.map.is_again(turned);
            let ink = if again { Ink::Quiet } else { Ink::Text };
            let text = Item::text((left + width / 2.0, baseline), Anchor::Middle, SIZE, ink, word);
            self.items.push(if always && !again { text.semibold() } else { text });
            let place =
                Rectangle { left, right: left + width, top: baseline - SIZE, bottom: baseline + 0.3 * SIZE };
            self.labels.keep_clear(place);
        }
        for seam in seams(&self.map).collect::<Vec<_>>() {
            let x = self.map.along(seam);
            let line = ((x, self.map.strip.top), (x, self.foot));
            self.items.push(Item::segment(line.0, line.1, Stroke::dashed(Ink::Move, 1.0, 7.0, 5.0)));
            let again_left = seam == self.map.home;
            let room = if again_left { x - open.0 } else { open.1 - x } - 9.0;
            let said = ["seen again", "again"].into_iter().find(|words| text_width(words, SIZE) <= room);
            let Some(said) = said else { continue };
            let width = text_width(said, SIZE);
            let left = if again_left { x - width - 5.0 } else { x + 5.0 };
            let place = Rectangle {
                left: left - 3.0,
                right: left + width,
                top: self.map.strip.top + 16.0,
                bottom: self.map.strip.top + 16.0 + 1.3 * SIZE,
            };
            self.items.push(Item::rectangle(&place, Some(Ink::Ground), None));
            let baseline = (left, place.bottom - 0.35 * SIZE);
            self.items.push(Item::text(baseline, Anchor::Start, SIZE, Ink::Quiet, said));
            self.labels.keep_clear(place);
        }
    }

    /// The slit of the dome as a bracket on the azimuth, the line of visitors, and the plumb line of the telescope.
    pub fn building(&mut self, telescope: &Telescope<'_>) {
        let (materials, level) = (self.names.materials, self.map.strip.bottom);
        let shown = self.shown(telescope.turned);
        if let Some((slit, half)) = telescope.slit(materials) {
            let middle = self.map.near(slit, shown);
            let [left, right] = [middle - half, middle + half].map(|end| self.map.along(end));
            let (left, right) = (left.max(self.map.strip.left), right.min(self.map.strip.right));
            let bracket =
                [(left, level + 4.0), (left, level + 11.0), (right, level + 11.0), (right, level + 4.0)];
            let bracket = bracket.map(|(x, y)| Point { x, y }).to_vec();
            self.items.push(Item::line(bracket, Stroke::solid(Ink::Text, 3.0)));
            self.labels.keep_clear(Rectangle { left, right, top: level + 2.0, bottom: level + 13.0 });
            self.name_if_near(Point { x: right, y: level + 10.0 }, "dome slit");
        }
        if let Some(line) = telescope.line(materials) {
            let x = self.map.along(self.map.near(line, shown));
            let spacing = 10.0;
            let x = x.max(3.0 * spacing).min(self.map.strip.right - 3.0 * spacing);
            let feet = level + FEET + 2.0;
            for place in -2..=2_i8 {
                self.items.extend(person(Point { x: x + f32::from(place) * spacing, y: feet }, PERSON));
            }
            let (left, right) = (x - 2.6 * spacing, x + 2.6 * spacing);
            self.labels.keep_clear(Rectangle { left, right, top: feet - PERSON - 1.0, bottom: feet + 1.0 });
            self.name(Point { x: right - 4.0, y: feet - PERSON / 2.0 }, "line stands here", Ink::Text);
        }
    }

    /// From where the telescope points down to the ground, kept free of names as far as they find room elsewhere.
    pub fn plumb_line(&mut self, from: Point) {
        let top = from.y + RING;
        let steps = ((self.foot - top) / 7.0).max(0.0) as u16;
        let places: Vec<Point> =
            (0..=steps).map(|step| Point { x: from.x, y: top + 7.0 * f32::from(step) }).collect();
        self.labels.spare(&places);
        for (ink, width) in [(Ink::Ground, 3.0), (Ink::Text, 1.0)] {
            self.items.push(Item::segment((from.x, top), (from.x, self.foot), Stroke::solid(ink, width)));
        }
    }

    /// Where the telescope points.
    pub fn telescope(&mut self, telescope: &Telescope<'_>) {
        let place = self.map.place(self.shown(telescope.turned), telescope.altitude);
        for (ink, width) in [(Ink::Ground, 4.5), (Ink::Text, 2.0)] {
            self.items.push(disc(place, RING, None, Some(Stroke::solid(ink, width))));
        }
        self.name_if_near(place, "telescope");
    }

    /// Where the Sun is drawn: in the ground while it is down, no deeper than there is ground.
    fn sun_place(&self, moment: &Moment, turned: Angle) -> Point {
        let altitude = moment.sun.apparent_altitude(self.names.materials.site.air);
        let at = self.map.place(turned, altitude);
        Point { y: at.y.min(self.map.strip.bottom + GROUND - 30.0), ..at }
    }

    /// The discs of Moon and Sun, wherever the strip shows them.
    pub fn bodies(&mut self, moment: &Moment) {
        let altitude = moment.moon.apparent_altitude(self.names.materials.site.air);
        if altitude >= Angle::ZERO {
            // The great circle to the Sun as somebody sees it who faces the Moon: to the right, and up.
            let (east, north) = moment.moon.azimuth.sin_cos();
            let sun = moment.sun.east_north_up;
            let right = sun.x * north - sun.y * east;
            let zenith_ward = towards(moment.moon.azimuth, altitude + Angle::from_degrees(90.0));
            let sunward = (right as f32, -(sun.dot(zenith_ward) as f32));
            for turned in self.map.all(moment.moon.azimuth).collect::<Vec<_>>() {
                let at = self.map.place(turned, altitude);
                self.items.extend(moon_disc(at, MOON, moment.moon_illuminated(), sunward));
                self.labels.keep_free(at, MOON + 1.5);
            }
        }
        for turned in self.map.all(moment.sun.azimuth).collect::<Vec<_>>() {
            let at = self.sun_place(moment, turned);
            self.items.push(disc(at, 6.0, Some(Ink::Ground), Some(Stroke::solid(Ink::Stopper, 2.0))));
            self.items.push(disc(at, 1.6, Some(Ink::Stopper), None));
            self.labels.keep_free(at, 7.0);
        }
    }

    /// Moon and Sun by their names, where the evening is.
    pub fn name_bodies(&mut self, moment: &Moment) {
        let air = self.names.materials.site.air;
        let moon = moment.moon.apparent_altitude(air);
        if moon >= Angle::ZERO {
            let lit = numbers::percent(moment.moon_illuminated());
            let at = self.map.place(self.map.in_home(moment.moon.azimuth), moon);
            self.name(at, &format!("Moon, {lit} lit"), Ink::Text);
        }
        let words = if moment.sun.apparent_altitude(air) >= Angle::ZERO {
            "Sun".to_owned()
        } else {
            format!("Sun, {} down", numbers::degrees(moment.sun.altitude.abs()))
        };
        let at = self.sun_place(moment, self.map.in_home(moment.sun.azimuth));
        self.name(at, &words, Ink::Text);
    }
}
