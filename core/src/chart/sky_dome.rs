//! The sky overhead at one minute of the evening: its light, what is closed of it, the stops and the ways between them.

use super::dome_ground::{closed_sky, horizon, keyhole, limits_named, lowest, sun_limit};
use super::dome_labels::{Labels, SIZE};
use super::dome_light::shades;
use super::dome_moon::moon_disc;
use super::dome_stops::{Shows, disc, stops, ways};
use super::dome_telescope::Telescope;
use super::dome_words::{AS_ON_THE_GROUND, alt};
use super::{Anchor, DomeMap, Ink, Item, Point, Rectangle, Scene, Stroke, text_width};
use crate::plan::{Materials, Moment, StopId};
use crate::sheet::{Names, closed_sky_words, numbers};
use crate::time::Instant;
use crate::units::Angle;

/// Room beside and over the rim, for directions, slit and line.
const BESIDE: f32 = 56.0;
const OVER: f32 = 38.0;
/// The least radius of the dome.
const LEAST_RADIUS: f32 = 60.0;
/// The least radius with room for all names.
const LEAST_ROOMY: f32 = 125.0;
/// The Moon's disc.
const MOON: f32 = 9.0;
/// How far beyond the rim stand the slit, the people, a Sun that is down, and the directions.
const SLIT: f32 = 5.0;
const PEOPLE: f32 = 14.0;
const SUN_DOWN: f32 = 11.0;
const DIRECTIONS: f32 = 24.0;

/// A stop on the dome.
#[derive(Clone, Debug, PartialEq)]
pub struct DomeStop {
    /// The stop.
    pub stop: StopId,
    /// Its number in the running order, from 1.
    pub number: usize,
    /// What it shows.
    pub title: String,
    /// Where its target stands when it begins.
    pub place: Point,
    /// Its tag.
    pub tag: Rectangle,
    /// What it is, on which port, and when: `Double star on C, Eyepiece, 19:40 to 20:13 GMT`.
    pub about: String,
    /// Where it stands and what comes then: `4, Jupiter, 47° up in the south-east, next move 84° right, 62 s`.
    pub words: String,
}

/// The sky overhead, drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct SkyDome {
    /// The drawing.
    pub scene: Scene,
    /// Where directions lie on it.
    pub map: DomeMap,
    /// The stops that show a target, in order.
    pub stops: Vec<DomeStop>,
}

/// Draws the sky of an evening at an instant, in so much room.
pub fn sky_dome(
    names: &Names<'_>,
    at: Instant,
    selected: Option<StopId>,
    (width, height): (f32, f32),
) -> SkyDome {
    let radius = ((width - 2.0 * BESIDE).min(height - 2.0 * OVER) / 2.0).max(LEAST_RADIUS);
    let map = DomeMap { centre: Point { x: width / 2.0, y: height / 2.0 }, radius, overhead: false };
    let shows = Shows::new(names);
    let order = &names.evening.order;
    let moves = (&shows.timings[..], &shows.slews[..]);
    let telescope = Telescope::at(order, moves, names.prepared, names.materials, at);
    let mut drawing = Drawing { map, labels: Labels::new(map, (width, height), SIZE), items: Vec::new() };
    let moment = names.prepared.moments.get(names.prepared.moment_index(at));
    let mut closed = Vec::new();
    if let Some(moment) = moment {
        drawing.items.extend(shades(&map, names.materials.site, moment));
        let (lines, middles) = closed_sky(&map, names.prepared, moment);
        drawing.items.extend(lines);
        closed = middles;
    }
    let near_sun = moment.and_then(|moment| sun_limit(&map, names.materials, moment));
    drawing.items.extend(near_sun.iter().flat_map(|(lines, _)| lines.clone()));
    drawing.items.extend(lowest(&map, names.materials));
    drawing.items.extend(horizon(&map, names.materials, 1));
    drawing.around();
    if let Some(telescope) = &telescope {
        drawing.building(telescope, names.materials);
    }
    let keyhole = keyhole(&map, names.materials);
    drawing.items.extend(keyhole.iter().flat_map(|(edge, ..)| edge.clone()));
    drawing.labels.keep_free(map.centre, 8.0);
    if let Some(moment) = moment {
        if let Some((disc, at)) = moon_disc(&map, moment, names.materials.site.air, MOON) {
            drawing.items.extend(disc);
            drawing.labels.keep_free(at, MOON + 1.5);
        }
        drawing.labels.keep_free(sun_place(&map, moment, names.materials), 7.0);
    }
    let next = ways(&map, names, &shows, at, &mut drawing.labels, &mut drawing.items);
    if let Some(telescope) = &telescope {
        drawing.labels.keep_free(map.place(telescope.azimuth, telescope.altitude), 12.0);
    }
    let under_names = drawing.items.len();
    let tags = stops(&map, names, &shows, selected, &mut drawing.labels, &mut drawing.items);
    if let Some(telescope) = &telescope {
        let place = map.place(telescope.azimuth, telescope.altitude);
        for (radius, width) in [(11.0, 4.0), (11.0, 1.8)] {
            let ink = if width > 2.0 { Ink::Ground } else { Ink::Text };
            drawing.items.push(disc(place, radius, None, Some(Stroke::solid(ink, width))));
        }
        drawing.name(place, "telescope", Ink::Text);
    }
    if let Some((at, words)) = next {
        drawing.name(at, &words, Ink::Accent);
    }
    if let Some(moment) = moment {
        drawing.bodies(moment, names.materials);
    }
    if let Some((_, at)) = near_sun {
        drawing.name(at, "too near the Sun", Ink::Stopper);
    }
    for (at, words) in limits_named(&map, names.materials).into_iter().filter(|_| !crowded(radius)) {
        drawing.name(at, words, Ink::Text);
    }
    if let Some((_, at, radius)) = &keyhole {
        drawing.name(*at, &format!("keyhole, {}", numbers::size(*radius)), Ink::Text);
    }
    for (position, at) in closed {
        let wished = names.evening.wishes.closed_sky.get(position);
        let words = wished.map_or_else(String::new, closed_sky_words);
        drawing.name(at, &format!("closed: {words}"), Ink::Text);
    }
    drawing.items.splice(under_names..under_names, drawing.labels.leaders);
    let words: Vec<String> = tags.iter().map(|tag| tag.words.clone()).collect();
    let alt = alt(names, at, telescope.as_ref(), &words);
    SkyDome { scene: Scene { width, height, alt, items: drawing.items }, map, stops: tags }
}

/// Where the Sun is drawn; beyond the rim while it is down.
fn sun_place(map: &DomeMap, moment: &Moment, materials: &Materials<'_>) -> Point {
    let altitude = moment.sun.apparent_altitude(materials.site.air);
    if altitude >= Angle::ZERO {
        map.place(moment.sun.azimuth, altitude)
    } else {
        map.beyond(moment.sun.azimuth, SUN_DOWN)
    }
}

/// Whether a dome is so small that stops are told by number and port, and limits not by name.
pub(super) const fn crowded(radius: f32) -> bool {
    radius < LEAST_ROOMY
}

struct Drawing {
    map: DomeMap,
    labels: Labels,
    items: Vec<Item>,
}

impl Drawing {
    fn name(&mut self, at: Point, text: &str, ink: Ink) {
        self.labels.name(at, text, ink, &mut self.items);
    }

    /// The four directions by their words, and how the drawing lies.
    fn around(&mut self) {
        for (azimuth, word, anchor) in [
            (0.0, "North", Anchor::Middle),
            (90.0, "East", Anchor::Start),
            (180.0, "South", Anchor::Middle),
            (270.0, "West", Anchor::End),
        ] {
            let at = self.map.beyond(Angle::from_degrees(azimuth), DIRECTIONS);
            let drop = match azimuth {
                0.0 => 0.0,
                180.0 => 0.7 * SIZE,
                _ => 0.35 * SIZE,
            };
            let width = text_width(word, SIZE);
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - width / 2.0,
                Anchor::End => at.x - width,
            };
            let baseline = at.y + drop;
            let text = Item::text((at.x, baseline), anchor, SIZE, Ink::Text, word).semibold();
            self.items.push(text);
            let place =
                Rectangle { left, top: baseline - SIZE, right: left + width, bottom: baseline + 0.3 * SIZE };
            self.labels.keep_clear(place);
        }
        for (line, words) in AS_ON_THE_GROUND.into_iter().enumerate() {
            let baseline = SIZE + line as f32 * 1.25 * SIZE;
            self.items.push(Item::text((2.0, baseline), Anchor::Start, SIZE, Ink::Quiet, words));
            let width = text_width(words, SIZE);
            let place = Rectangle {
                left: 0.0,
                top: baseline - SIZE,
                right: 2.0 + width,
                bottom: baseline + 0.3 * SIZE,
            };
            self.labels.keep_clear(place);
        }
    }

    /// The slit of the dome and the line of visitors, round the rim.
    fn building(&mut self, telescope: &Telescope<'_>, materials: &Materials<'_>) {
        if let Some((slit, half)) = telescope.slit(materials) {
            let arc = (-8..=8).map(|step| self.map.beyond(slit + half * (f64::from(step) / 8.0), SLIT));
            let arc: Vec<Point> = arc.collect();
            for at in &arc {
                self.labels.keep_free(*at, 4.0);
            }
            self.items.push(Item::line(arc, Stroke::solid(Ink::Text, 5.0)));
            self.name(self.map.beyond(slit, SLIT + 3.0), "dome slit", Ink::Text);
        }
        if let Some(line) = telescope.line(materials) {
            let spacing = Angle::from_radians(f64::from(9.0 / self.map.radius));
            for person in -2..=2 {
                let at = self.map.beyond(line + spacing * f64::from(person), PEOPLE);
                self.labels.keep_free(at, 3.5);
                self.items.push(disc(at, 3.2, Some(Ink::Text), None));
            }
            self.name(self.map.beyond(line, PEOPLE + 2.0), "line stands here", Ink::Text);
        }
    }

    /// Sun and Moon by their names; a Sun that is down stands beyond the rim.
    fn bodies(&mut self, moment: &Moment, materials: &Materials<'_>) {
        let air = materials.site.air;
        let moon = moment.moon.apparent_altitude(air);
        if moon >= Angle::ZERO {
            let lit = numbers::percent(moment.moon_illuminated());
            let at = self.map.place(moment.moon.azimuth, moon);
            self.name(at, &format!("Moon, {lit} lit"), Ink::Text);
        }
        let at = sun_place(&self.map, moment, materials);
        let words = if moment.sun.apparent_altitude(air) >= Angle::ZERO {
            "Sun".to_owned()
        } else {
            format!("Sun, {} down", numbers::degrees(moment.sun.altitude.abs()))
        };
        self.items.push(disc(at, 6.0, Some(Ink::Ground), Some(Stroke::solid(Ink::Stopper, 2.0))));
        self.name(at, &words, Ink::Text);
    }
}

#[cfg(test)]
mod tests {
    use super::{SkyDome, sky_dome};
    use crate::chart::{Anchor, Item, text_width};
    use crate::plan::Prepared;
    use crate::sheet::demo::Demo;
    use crate::time::Instant;

    fn drawn(size: (f32, f32), at: impl Fn(&Prepared) -> Instant) -> SkyDome {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let mut dome = None;
        demo.with_names(&prepared, |names| dome = Some(sky_dome(names, at(&prepared), None, size)));
        dome.expect("it was drawn")
    }

    fn texts(dome: &SkyDome) -> Vec<String> {
        let of = |item: &Item| match item {
            Item::Text { text, .. } => Some(text.clone()),
            Item::Path { .. } => None,
        };
        dome.scene.items.iter().filter_map(of).collect()
    }

    #[test]
    fn every_label_is_inside_and_no_tag_covers_another() {
        for size in [(700.0, 560.0), (470.0, 520.0), (360.0, 300.0)] {
            let dome = drawn(size, |prepared| prepared.doors.start().plus_minutes(60.0));
            for item in &dome.scene.items {
                let Item::Text { at, anchor, size: type_size, text, .. } = item else { continue };
                let width = text_width(text, *type_size);
                let left = match anchor {
                    Anchor::Start => at.x,
                    Anchor::Middle => at.x - width / 2.0,
                    Anchor::End => at.x - width,
                };
                let inside = left >= 0.0 && left + width <= size.0;
                assert!(inside && at.y - 0.75 * type_size >= 0.0 && at.y <= size.1, "{text} in {size:?}");
            }
        }
        let dome = drawn((700.0, 560.0), |prepared| prepared.doors.start().plus_minutes(60.0));
        for (position, one) in dome.stops.iter().enumerate() {
            assert!(dome.stops[position + 1..].iter().all(|other| !one.tag.overlaps(&other.tag)));
        }
    }

    #[test]
    fn stops_stand_in_order_with_number_name_place_and_next_move() {
        let dome = drawn((700.0, 560.0), |prepared| prepared.doors.start());
        assert!(dome.stops.len() > 3);
        assert!(dome.stops.windows(2).all(|two| two[0].number < two[1].number));
        for stop in &dome.stops[..dome.stops.len() - 1] {
            assert!(stop.words.starts_with(&format!("{}, ", stop.number)), "{}", stop.words);
            assert!(stop.words.contains("° up") && stop.words.contains("next move"), "{}", stop.words);
            assert!(dome.scene.alt.contains(&stop.words));
            let (_, altitude) = dome.map.direction(stop.place).expect("above the horizon");
            assert!(altitude.degrees() > 10.0);
        }
        assert!(dome.stops.last().is_some_and(|stop| stop.words.ends_with("the last")));
    }

    #[test]
    fn it_names_what_is_there_and_follows_the_minute() {
        let early = drawn((700.0, 560.0), |prepared| prepared.doors.start().plus_minutes(60.0));
        let late = drawn((700.0, 560.0), |prepared| prepared.doors.start().plus_minutes(150.0));
        for word in ["North", "East", "South", "West", "telescope", "dome slit", "north up, east right"] {
            assert!(texts(&early).iter().any(|text| text == word), "no {word}");
        }
        for begins in ["Sun, ", "Moon, ", "keyhole, ", "next move "] {
            assert!(texts(&early).iter().any(|text| text.starts_with(begins)), "no {begins}");
        }
        assert_ne!(early.scene.alt, late.scene.alt);
        assert!(early.scene.alt.contains("the zenith in the middle"));
    }
}
