//! The whole sky for visitors at the middle of the evening, black on white, to be held overhead.

use super::directions::{direction_of, towards};
use super::dome_ground::{horizon, ring};
use super::dome_map::DomeMap;
use super::moon_disc::moon_disc;
use super::sky_labels::{Labels, Paper};
use super::sky_marks::dot;
use super::visitor_sky_key::{NUMBER, PLANET, SHOWN, numbered, planet as planet_mark, shown, star_radius};
use super::visitor_sky_layout::Layout;
use super::visitor_sky_words::{Seen, SeenTarget, alt, title};
use super::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, text_width};
use crate::place::Air;
use crate::plan::Moment;
use crate::sheet::Names;
use crate::units::Angle;

/// Room for a drawing, in points, and the size of all of its text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VisitorSkyOptions {
    /// Width.
    pub width: f32,
    /// The most height.
    pub height: f32,
    /// Height of the sky where its words stand beside it; they may take more.
    pub sky_beside: f32,
    /// Size of text.
    pub text_size: f32,
}

/// Radius of the Moon, in sizes of the text.
const MOON: f32 = 0.75;
/// A piece of ground: fine enough for paper.
const GROUND_STEP_DEG: u16 = 3;
/// The directions round the rim, by their words.
const DIRECTIONS: [(&str, f64); 8] = [
    ("North", 0.0),
    ("North-east", 45.0),
    ("East", 90.0),
    ("South-east", 135.0),
    ("South", 180.0),
    ("South-west", 225.0),
    ("West", 270.0),
    ("North-west", 315.0),
];
/// The heights drawn as rings, in fists of ten degrees at arm's length (common practice, no source).
const RINGS: [(f64, &str); 2] = [(30.0, "3 fists high"), (60.0, "6 fists high")];

/// Draws the sky at the middle of doors: the ground, the targets of the evening by number, their names beside or below, Moon
/// and planets, and the brighter stars of the catalogue as dots.
pub fn visitor_sky(names: &Names<'_>, options: VisitorSkyOptions) -> Scene {
    let seen = Seen::new(names);
    let layout = Layout::new(&seen, options);
    let map = DomeMap { centre: layout.centre, radius: layout.radius };
    let (width, text_size) = (options.width, options.text_size);
    let mut drawing = Drawing {
        map,
        labels: Labels::new(Paper::Disc(layout.centre, layout.radius), (width, options.height), text_size),
        items: Vec::new(),
        size: text_size,
    };
    let over = (layout.centre.x, text_size);
    drawing.items.push(Item::text(over, Anchor::Middle, text_size, Ink::Text, title(names)).semibold());
    for item in horizon(&map, names.materials, GROUND_STEP_DEG) {
        if let Item::Path { points, stroke: Some(_), .. } = &item {
            drawing.labels.spare(points);
        }
        drawing.items.push(item);
    }
    drawing.directions();
    drawing.rings(names.materials.site.place.latitude < Angle::ZERO);
    drawing.sky(names, &seen);
    for (at, anchor, text) in layout.words {
        drawing.items.push(Item::text(at, anchor, text_size, Ink::Text, text));
    }
    for (at, line) in layout.key {
        line.draw(at, text_size, &mut drawing.items);
    }
    Scene { width, height: layout.height, alt: alt(names, &seen), items: drawing.items }
}

struct Drawing {
    map: DomeMap,
    labels: Labels,
    items: Vec<Item>,
    size: f32,
}

impl Drawing {
    /// The directions by their words, round the rim.
    fn directions(&mut self) {
        for (word, azimuth) in DIRECTIONS {
            let out = Angle::from_degrees(azimuth);
            let at = self.map.beyond(out, 0.45 * self.size);
            // How far to the right and down of the middle it stands.
            let (right, down) = (at.x - self.map.centre.x, at.y - self.map.centre.y);
            let (anchor, share) = match right {
                right if right > 1.0 => (Anchor::Start, 0.0),
                right if right < -1.0 => (Anchor::End, 1.0),
                _ => (Anchor::Middle, 0.5),
            };
            let drop = (down / self.map.radius).clamp(-1.0, 1.0);
            let baseline = at.y + (0.35 + 0.4 * drop) * self.size;
            self.items.push(Item::text((at.x, baseline), anchor, self.size, Ink::Text, word).semibold());
            let wide = text_width(word, self.size);
            let left = at.x - share * wide;
            let place = Rectangle {
                left,
                top: baseline - self.size,
                right: left + wide,
                bottom: baseline + 0.3 * self.size,
            };
            self.labels.keep_clear(place);
        }
    }

    /// Heights as rings, named on the side of the pole, and a cross straight overhead.
    fn rings(&mut self, south: bool) {
        let pole = Angle::from_degrees(if south { 180.0 } else { 0.0 });
        for (altitude_deg, words) in RINGS {
            let altitude = Angle::from_degrees(altitude_deg);
            self.items.push(ring(&self.map, altitude, Stroke::dashed(Ink::Quiet, 0.7, 1.0, 3.0)));
            let at = self.map.place(pole, altitude);
            let wide = text_width(words, self.size);
            let place = Rectangle {
                left: at.x - wide / 2.0,
                top: at.y - 0.65 * self.size,
                right: at.x + wide / 2.0,
                bottom: at.y + 0.65 * self.size,
            };
            self.items.push(Item::rectangle(&place, Some(Ink::Ground), None));
            let baseline = (at.x, at.y + 0.35 * self.size);
            self.items.push(Item::text(baseline, Anchor::Middle, self.size, Ink::Text, words));
            self.labels.keep_clear(place);
        }
        let (Point { x, y }, arm) = (self.map.centre, 0.35 * self.size);
        let stroke = Stroke::solid(Ink::Text, 0.9);
        self.items.push(Item::segment((x - arm, y), (x + arm, y), stroke));
        self.items.push(Item::segment((x, y - arm), (x, y + arm), stroke));
        self.labels.keep_free(self.map.centre, arm);
    }

    /// Stars, Moon, planets and targets, then their names.
    fn sky(&mut self, names: &Names<'_>, seen: &Seen) {
        for star in &seen.stars {
            let at = self.map.place(star.azimuth, star.altitude);
            self.items.push(dot(at, star_radius(star.magnitude, self.size), Ink::Text));
        }
        let moment = names.prepared.moments.get(names.prepared.moment_index(seen.at));
        let moon = moment
            .filter(|_| seen.bodies.iter().any(|body| body.is_moon))
            .and_then(|moment| self.moon(moment, names.materials.site.air));
        if let Some((moon, at)) = moon {
            self.items.extend(moon);
            self.labels.keep_free(at, 0.9 * self.size);
        }
        for planet in seen.bodies.iter().filter(|body| !body.is_moon) {
            let at = self.map.place(planet.azimuth, planet.altitude);
            self.items.push(planet_mark(at, self.size));
            self.labels.keep_free(at, 0.4 * self.size);
        }
        let up = || seen.targets.iter().filter(|target| target.is_up);
        let places: Vec<(Point, &SeenTarget)> =
            up().map(|target| (self.map.place(target.azimuth, target.altitude), target)).collect();
        let bodies: Vec<(Point, f32)> = seen
            .bodies
            .iter()
            .map(|body| {
                (self.map.place(body.azimuth, body.altitude), if body.is_moon { MOON } else { PLANET })
            })
            .collect();
        // A number stands where its target does; where it would touch one before it, hide where another stands, or hide Moon or
        // planet, beside it.
        let mut alone: Vec<bool> = Vec::new();
        for (index, (own, target)) in places.iter().enumerate() {
            let is_near = |other: &Point, apart: f32| {
                (other.x - own.x).hypot(other.y - own.y) < (NUMBER + apart + 0.1) * self.size
            };
            let by_number = |(other, (at, _)): (usize, &(Point, &SeenTarget))| {
                let is_number = alone.get(other).copied().unwrap_or(false);
                other != index && is_near(at, if is_number { NUMBER } else { SHOWN })
            };
            let is_free = !bodies.iter().any(|(at, radius)| is_near(at, *radius))
                && !places.iter().enumerate().any(by_number);
            alone.push(is_free && !target.is_body);
        }
        for ((at, target), alone) in places.iter().zip(&alone) {
            if !alone && !target.is_body {
                self.items.push(shown(*at, self.size));
            }
            let radius = if *alone { NUMBER } else { SHOWN + 0.1 };
            self.labels.keep_free(*at, radius * self.size);
        }
        let under_names = self.items.len();
        for ((at, target), alone) in places.iter().zip(&alone) {
            let middle = if *alone { *at } else { self.beside(*at) };
            self.items.extend(numbered(middle, target.number, self.size));
        }
        for body in seen.bodies.iter().filter(|body| !body.is_shown) {
            let at = self.map.place(body.azimuth, body.altitude);
            self.labels.name(at, body.name, Ink::Text, &mut self.items);
        }
        let leaders = std::mem::take(&mut self.labels.leaders);
        self.items.splice(under_names..under_names, leaders);
    }

    /// The Moon's disc, and where it stands; `None` below the horizon.
    fn moon(&self, moment: &Moment, air: Air) -> Option<(Vec<Item>, Point)> {
        let altitude = moment.moon.apparent_altitude(air);
        if altitude < Angle::ZERO {
            return None;
        }
        let at = self.map.place(moment.moon.azimuth, altitude);
        // A small step along the great circle from the Moon to the Sun shows where the lit side faces.
        let moon = towards(moment.moon.azimuth, altitude);
        let across = moment.sun.east_north_up - moon * moment.sun.east_north_up.dot(moon);
        let (azimuth, altitude) = direction_of((moon + across.unit() * 0.01).unit());
        let beside = self.map.place(azimuth, altitude);
        let lit = moment.moon_illuminated();
        Some((moon_disc(at, MOON * self.size, lit, (beside.x - at.x, beside.y - at.y)), at))
    }

    /// The middle of a number beside a place.
    fn beside(&mut self, at: Point) -> Point {
        let place = self.labels.mark_beside(at, 2.0 * NUMBER * self.size);
        Point { x: f32::midpoint(place.left, place.right), y: f32::midpoint(place.top, place.bottom) }
    }
}

#[cfg(test)]
mod tests {
    use super::{VisitorSkyOptions, visitor_sky};
    use crate::catalogue::TargetId;
    use crate::chart::{Anchor, Item, Scene, text_width};
    use crate::plan::{Held, RunningOrder, Show, Stop, StopId, What};
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;
    use crate::time::Interval;

    fn drawn(date: &str, text_size: f32) -> (Scene, Vec<(usize, String)>) {
        let (demo, prepared) = Demo::on(date).drafted();
        let mut result = None;
        demo.with_names(&prepared, |names| {
            let options = VisitorSkyOptions { width: 500.0, height: 560.0, sky_beside: 300.0, text_size };
            let stops = names.evening.order.stops().iter().enumerate();
            let shows = stops.filter(|(_, stop)| stop.show().is_some());
            let shows = shows.map(|(index, stop)| (index + 1, names.stop_title(stop))).collect();
            result = Some((visitor_sky(names, options), shows));
        });
        result.expect("it was drawn")
    }

    fn texts(scene: &Scene) -> Vec<String> {
        let of = |item: &Item| match item {
            Item::Text { text, .. } => Some(text.clone()),
            Item::Path { .. } => None,
        };
        scene.items.iter().filter_map(of).collect()
    }

    #[test]
    fn every_target_of_the_evening_is_on_it_or_said_not_to_be_up() {
        for date in ["2027-03-13", "2027-06-19", "2027-10-16", "2027-12-18"] {
            for text_size in [12.0, 18.0] {
                let (scene, shows) = drawn(date, text_size);
                let (texts, words) = (texts(&scene), texts(&scene).join(" "));
                for (number, name) in shows {
                    let numbered = texts.contains(&number.to_string()) && words.contains(&name);
                    assert!(
                        numbered || words.contains(&format!("{number} {name}")),
                        "{date}: {number} {name}"
                    );
                    assert!(scene.alt.contains(&format!("{number}, {name}")), "{date}: {number} {name}");
                }
                for word in ["North", "South-west", "East", "3 fists high"] {
                    assert!(texts.iter().any(|text| text == word), "no {word}");
                }
                assert!(!words.contains('°') && !scene.alt.contains('°'), "{words} {}", scene.alt);
            }
        }
    }

    #[test]
    fn the_key_tells_what_is_drawn_and_nothing_else() {
        let key = ["what we show", "planet", "star", "hills and trees"];
        for text_size in [12.0, 18.0] {
            let told = |date| {
                let (scene, _) = drawn(date, text_size);
                let texts = texts(&scene);
                key.map(|words| texts.iter().filter(|text| *text == words).count())
            };
            assert_eq!(told("2027-03-13"), [1; 4], "{text_size}");
            // The Sun is up in the middle of doors: no star is drawn.
            assert_eq!(told("2027-06-21")[2], 0, "{text_size}");
        }
    }

    #[test]
    fn all_text_is_inside_and_as_large_as_asked_for() {
        for text_size in [12.0, 18.0] {
            let (scene, _) = drawn("2027-03-13", text_size);
            assert!(scene.height <= 560.0, "{}", scene.height);
            for item in &scene.items {
                let Item::Text { at, anchor, size, text, .. } = item else { continue };
                let width = text_width(text, *size);
                let left = match anchor {
                    Anchor::Start => at.x,
                    Anchor::Middle => at.x - width / 2.0,
                    Anchor::End => at.x - width,
                };
                let inside =
                    left >= -1.0 && left + width <= 501.0 && at.y >= 0.75 * size && at.y <= scene.height;
                assert!(inside, "{text} at {left}, {} of {width}", at.y);
                assert!((size - text_size).abs() < 1e-3, "{text} is {size} large");
            }
        }
    }

    /// Sixty stops one after the other, of every target of the catalogue in turn.
    fn of_sixty_stops() -> Demo {
        let mut demo = Demo::on("2027-03-13");
        let start = demo.prepared().doors.start();
        let ids: Vec<TargetId> =
            demo.materials().catalogue.targets.iter().map(|target| target.id.clone()).collect();
        let stops = (0..60).zip(ids.iter().cycle()).map(|(id, target)| {
            let begins = start.plus_minutes(f64::from(id) * 4.0);
            let show = Show {
                target: target.clone(),
                port: PortId("eyepiece".into()),
                eyepiece: None,
                understudy: None,
            };
            let interval = Interval::new(begins, begins.plus_minutes(3.0)).expect("in order");
            Stop { id: StopId(id + 1), what: What::Show(show), interval, held: Held::default() }
        });
        demo.evening.order = RunningOrder::new(stops.collect());
        demo
    }

    #[test]
    fn sixty_stops_leave_the_sky_its_room_in_large_print() {
        let demo = of_sixty_stops();
        let prepared = demo.prepared();
        let options = VisitorSkyOptions { width: 511.0, height: 606.0, sky_beside: 300.0, text_size: 18.0 };
        let mut scene = None;
        demo.with_names(&prepared, |names| scene = Some(visitor_sky(names, options)));
        let scene = scene.expect("it was drawn");
        assert!(scene.height <= options.height, "{}", scene.height);
        let place = |word: &str| {
            scene.items.iter().find_map(|item| match item {
                Item::Text { at, text, .. } if text == word => Some(at.y),
                _ => None,
            })
        };
        let across = place("South").zip(place("North")).map(|(south, north)| south - north);
        assert!(across.is_some_and(|across| across > 0.4 * options.height), "{across:?}");
        assert!(scene.alt.contains("Shown tonight: 1, ") && scene.alt.contains("; 60, "), "{}", scene.alt);
    }

    #[test]
    fn stars_and_planets_are_drawn_only_where_the_eye_finds_them() {
        // Doors of 2027-06-21 close at 22:30 BST: the Sun, which sets at 21:50 there (almanacs, from memory), is up in the
        // middle of them, at 20:30.
        let dots = |scene: &Scene| {
            let small = |item: &&Item| matches!(item, Item::Path { fill: Some(_), stroke: None, .. });
            scene.items.iter().filter(small).count()
        };
        let (bright, _) = drawn("2027-06-21", 12.0);
        let (dark, _) = drawn("2027-03-13", 12.0);
        let said = |scene: &Scene| texts(scene).join(" ").contains("Too bright for stars then.");
        assert!(said(&bright) && bright.alt.contains("Too bright for stars then"), "{}", bright.alt);
        assert!(!said(&dark) && !bright.alt.contains("Also up: Mercury"), "{}", bright.alt);
        assert!(!bright.alt.contains("brighter stars") && dark.alt.contains("brighter stars"));
        assert!(dots(&bright) < dots(&dark), "{} {}", dots(&bright), dots(&dark));
    }

    #[test]
    fn east_is_on_the_left() {
        let (scene, _) = drawn("2027-03-13", 12.0);
        let place = |word: &str| {
            scene.items.iter().find_map(|item| match item {
                Item::Text { at, text, .. } if text == word => Some(at.x),
                _ => None,
            })
        };
        assert!(place("East") < place("North") && place("North") < place("West"));
    }
}
