//! The sky at one minute of the evening, unrolled as the telescope turns: its light, what is closed of it, the stops and the
//! ways between them, and below it, in step, how the mount turns through the evening.

use super::sky_labels::{Labels, Paper, SIZE};
use super::unrolled_drawing::{Drawing, GROUND, RING};
use super::unrolled_ground::{
    closed_sky, ground, heights, keyhole, limits_named, lowest, open, sun_limit, walls,
};
use super::unrolled_light::Light;
use super::unrolled_stops::{Shows, Strong, tags, tracks, ways};
use super::unrolled_telescope::{Telescope, cable_ends};
use super::unrolled_turns::Turns;
use super::unrolled_words::{alt, cable_words};
use super::{Anchor, Ink, Item, Point, Rectangle, Scene, Stroke, UnrolledMap, shortened, text_width};
use crate::plan::{Materials, StopId};
use crate::sheet::{Names, closed_sky_words, numbers};
use crate::time::Instant;
use crate::units::Angle;

/// The least height with room for the mount's turning below the sky, and the share of it that this takes.
const LEAST_FOR_TURNS: f32 = 400.0;
const TURNS: f32 = 0.4;
/// What the wall at the end of the cables is.
const CABLE_ENDS: &str = "cable ends";
/// What the lower part is.
const TURNING: &str = "How the mount turns through the evening.";

/// A stop on the sky.
#[derive(Clone, Debug, PartialEq)]
pub struct SkyStop {
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
    /// Its tag where the mount's turning is drawn; empty where it has none.
    pub row: Rectangle,
    /// What it is, on which port, and when: `Double star on C, Eyepiece, 19:40 to 20:13 GMT`.
    pub about: String,
    /// Where it stands and what comes then: `4, Jupiter, 47° up in the south-east, next move 84° right, 62 s`.
    pub words: String,
}

/// The sky unrolled, drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct UnrolledSky {
    /// The drawing.
    pub scene: Scene,
    /// Where directions lie on it.
    pub map: UnrolledMap,
    /// The stops that show a target, in order.
    pub stops: Vec<SkyStop>,
}

/// Draws the sky of an evening at an instant, in so much room.
pub fn unrolled_sky(
    names: &Names<'_>,
    at: Instant,
    selected: Option<StopId>,
    (width, height): (f32, f32),
) -> UnrolledSky {
    let materials = names.materials;
    let turns = Shows::turns(names);
    let shows = Shows::new(names, &turns);
    let telescope = Telescope::at(&names.evening.order, &turns, materials, at);
    let turning = if height >= LEAST_FOR_TURNS { (height * TURNS).round() } else { 0.0 };
    let horizon = height - turning - GROUND;
    let strip = Rectangle { left: 1.0, top: 1.0, right: width - 1.0, bottom: horizon };
    let map = UnrolledMap::around(strip, middle_of(&shows, materials), cable_ends(materials));
    let strong = Strong {
        selected,
        on: telescope.as_ref().filter(|telescope| !telescope.moves).map(|telescope| telescope.stop.id),
        next: shows.next(at),
    };
    let foot = horizon + GROUND;
    let labels = Labels::new(Paper::Above(horizon), (width, foot), SIZE);
    let mut drawing = Drawing { map, labels, foot, names, items: Vec::new() };
    let moment = names.prepared.moments.get(names.prepared.moment_index(at));
    let light = moment.map(|moment| Light::new(materials.site, moment));
    drawing.items.extend(light.iter().flat_map(|light| light.shades(&map)));
    let heights = heights(&map);
    drawing.items.extend(heights.iter().map(|(line, _)| line.clone()));
    let closed = moment.map(|moment| closed_sky(&map, names.prepared, moment));
    drawing.items.extend(closed.iter().flat_map(|(lines, _)| lines.clone()));
    let near_sun = moment.and_then(|moment| sun_limit(&map, materials, moment));
    drawing.items.extend(near_sun.iter().flat_map(|(lines, _)| lines.clone()));
    let keyhole = keyhole(&map, materials);
    if let Some(keyhole) = &keyhole {
        drawing.items.extend(keyhole.lines.clone());
        keyhole.band.into_iter().for_each(|band| drawing.labels.keep_clear(band));
    }
    drawing.items.extend(lowest(&map, materials));
    drawing.items.extend(ground(&map, materials, foot));
    drawing.items.push(Item::segment(
        (strip.left, horizon),
        (strip.right, horizon),
        Stroke::solid(Ink::Move, 0.8),
    ));
    let below = height - 2.0;
    let (lines, walls) = walls(&map, materials, if turning > 0.0 { below } else { foot });
    drawing.items.extend(lines);
    for wall in &walls {
        drawing.labels.keep_clear(*wall);
    }
    drawing.winds(if turning > 0.0 { below } else { foot });
    if let Some(moment) = moment {
        drawing.bodies(moment);
    }
    if let Some(telescope) = &telescope {
        drawing.building(telescope);
    }
    let next = ways(&map, names, &shows, strong, &mut drawing.labels, &mut drawing.items);
    tracks(&map, names, &shows, &mut drawing.labels, &mut drawing.items);
    if let Some(telescope) = &telescope {
        let at = map.place(drawing.shown(telescope.turned), telescope.altitude);
        drawing.labels.keep_free(at, RING + 1.0);
        drawing.plumb_line(at);
    }
    let under_names = drawing.items.len();
    if let Some((at, words)) = next {
        drawing.name(at, &words, Ink::Accent);
    }
    let mut stops = tags(&map, names, &shows, strong, &mut drawing.labels, &mut drawing.items);
    if let Some(telescope) = &telescope {
        drawing.telescope(telescope);
    }
    if let Some(moment) = moment {
        drawing.name_bodies(moment);
    }
    if let Some((_, at)) = near_sun {
        drawing.name(at, "too near the Sun", Ink::Stopper);
    }
    for (position, at) in closed.into_iter().flat_map(|(_, middles)| middles) {
        let wished = names.evening.wishes.closed_sky.get(position);
        let words = wished.map_or_else(String::new, closed_sky_words);
        drawing.name(at, &format!("closed: {words}"), Ink::Text);
    }
    let open = open(&map, materials);
    if let Some(keyhole) = &keyhole {
        let words = format!("keyhole, {}", numbers::size(keyhole.radius));
        match keyhole.band {
            Some(band) => {
                // Just below the band, wherever there is room.
                let room = open.1 - open.0 - text_width(&words, SIZE) - 24.0;
                let along = [0.3, 0.5, 0.7, 0.9, 0.1, 0.4, 0.6, 0.8, 0.2, 0.0, 1.0];
                let places = along
                    .map(|share| Point { x: open.0 + 12.0 + room * share, y: band.bottom + 0.65 * SIZE });
                drawing.labels.name_at(&places, &words, Ink::Text, &mut drawing.items);
            }
            None => drawing.name(keyhole.at, &words, Ink::Text),
        }
    }
    for wall in &walls {
        // Beside the wall, at any height.
        let is_left = wall.left < width / 2.0;
        let x = if is_left { wall.right + 4.0 } else { wall.left - 10.0 - text_width(CABLE_ENDS, SIZE) };
        let heights = (1..=12_u8).map(|step| strip.top + f32::from(step) / 13.0 * strip.height());
        let places: Vec<Point> = heights.map(|y| Point { x, y }).collect();
        drawing.labels.name_at(&places, CABLE_ENDS, Ink::Text, &mut drawing.items);
    }
    for (at, words) in limits_named(&map, materials) {
        drawing.name_if_near(at, words);
    }
    for (_, up) in &heights {
        let words = format!("{} up", numbers::degrees(*up));
        let ends = [open.0 + 4.0, open.1 - 8.0 - text_width(&words, SIZE)];
        let ends = ends.map(|x| Point { x, y: map.height(*up) });
        drawing.labels.name_at(&ends, &words, Ink::Quiet, &mut drawing.items);
    }
    let leaders = std::mem::take(&mut drawing.labels.leaders);
    drawing.items.splice(under_names..under_names, leaders);
    let mut items = drawing.items;
    if turning > 0.0 {
        let room = Rectangle { left: strip.left, right: strip.right, top: foot, bottom: below };
        below_the_sky(
            names,
            &shows,
            (&map, room, open),
            (strong, at),
            telescope.as_ref(),
            &mut stops,
            &mut items,
        );
    }
    let words: Vec<String> = stops.iter().map(|stop| stop.words.clone()).collect();
    let alt = alt(names, at, &map, light.as_ref(), telescope.as_ref(), &words);
    UnrolledSky { scene: Scene { width, height, alt, items }, map, stops }
}

/// What the strip has in its middle: the ways of the evening, or, where there are none, where the sky culminates.
fn middle_of(shows: &Shows<'_>, materials: &Materials<'_>) -> (Angle, Angle) {
    let southern = materials.site.place.latitude < Angle::ZERO;
    let culminates = Angle::from_degrees(if southern { 0.0 } else { 180.0 });
    match (shows.reach(), cable_ends(materials)) {
        (Some(reach), Some(_)) => reach,
        // Without cables the mount comes the short way round to where the sky culminates.
        (Some((least, greatest)), None) => {
            let middle = (least + greatest) / 2.0;
            let middle = culminates + (middle - culminates).wrapped_signed();
            (middle, middle)
        }
        (None, _) => (culminates, culminates),
    }
}

/// The mount's turning below the sky, with how far the cables let it turn.
fn below_the_sky(
    names: &Names<'_>,
    shows: &Shows<'_>,
    (map, mut room, open): (&UnrolledMap, Rectangle, (f32, f32)),
    (strong, at): (Strong, Instant),
    telescope: Option<&Telescope<'_>>,
    stops: &mut [SkyStop],
    items: &mut Vec<Item>,
) {
    let open = (open.0 + 3.0, open.1 - 3.0);
    let mut said = vec![TURNING.to_owned()];
    if let Some(cable) = telescope.and_then(|telescope| telescope.cable(names.materials)) {
        said.push(format!("{}.", cable_words(cable)));
        said.insert(0, said.join(" "));
        said.swap(1, 2);
    }
    // The longest that fits.
    let fits = |words: &&String| text_width(words, SIZE) <= open.1 - open.0 - 4.0;
    let words =
        said.iter().find(fits).cloned().unwrap_or_else(|| shortened(TURNING, SIZE, open.1 - open.0 - 4.0));
    let baseline = (open.0 + 3.0, room.top + 1.15 * SIZE);
    items.push(Item::text(baseline, Anchor::Start, SIZE, Ink::Quiet, words));
    room.top += 1.5 * SIZE;
    let first = shows.stops.first().map(|shown| shown.turn.timing.leave.min(shown.stop.start()));
    let last = shows.stops.iter().map(|shown| shown.stop.end()).reduce(Instant::max);
    let doors = names.prepared.doors;
    let first = first.map_or(doors.start(), |first| first.min(doors.start())).min(at);
    let last = last.map_or(doors.end(), |last| last.max(doors.end())).max(at);
    Turns { map, room, open, first, last }.draw(names, shows, (strong, at), telescope, stops, items);
}

#[cfg(test)]
mod tests {
    use super::{UnrolledSky, unrolled_sky};
    use crate::chart::{Anchor, Item, Point, Rectangle, text_width};
    use crate::plan::{Prepared, turns};
    use crate::sheet::demo::Demo;
    use crate::time::Instant;

    fn drawn(size: (f32, f32), at: impl Fn(&Prepared) -> Instant) -> UnrolledSky {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let mut sky = None;
        demo.with_names(&prepared, |names| sky = Some(unrolled_sky(names, at(&prepared), None, size)));
        sky.expect("it was drawn")
    }

    fn texts(sky: &UnrolledSky) -> Vec<String> {
        let of = |item: &Item| match item {
            Item::Text { text, .. } => Some(text.clone()),
            Item::Path { .. } => None,
        };
        sky.scene.items.iter().filter_map(of).collect()
    }

    /// Where each text stands, by the estimate that places it.
    fn places(sky: &UnrolledSky) -> Vec<(String, Rectangle)> {
        let of = |item: &Item| {
            let Item::Text { at, anchor, size, text, .. } = item else { return None };
            let width = text_width(text, *size);
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - width / 2.0,
                Anchor::End => at.x - width,
            };
            let (top, bottom) = (at.y - 0.7 * size, at.y + 0.15 * size);
            Some((text.clone(), Rectangle { left, top, right: left + width, bottom }))
        };
        sky.scene.items.iter().filter_map(of).collect()
    }

    #[test]
    fn every_label_is_inside_and_none_covers_another() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        for size in [(760.0, 600.0), (690.0, 560.0), (470.0, 440.0), (560.0, 330.0)] {
            for minutes in [-30.0, 0.0, 60.0, 90.0, 180.0] {
                let at = prepared.doors.start().plus_minutes(minutes);
                demo.with_names(&prepared, |names| {
                    let sky = unrolled_sky(names, at, None, size);
                    let places = places(&sky);
                    for (position, (text, place)) in places.iter().enumerate() {
                        let inside = place.left >= 0.0 && place.right <= size.0;
                        let inside = inside && place.top >= 0.0 && place.bottom <= size.1;
                        assert!(inside, "{text} in {size:?} at {minutes}: {place:?}");
                        let covered = places[position + 1..].iter().find(|(_, other)| place.overlaps(other));
                        assert!(covered.is_none(), "{text} and {covered:?} in {size:?} at {minutes}");
                    }
                });
            }
        }
    }

    #[test]
    fn no_name_lies_over_another_or_over_the_mark_of_a_stop_on_the_demonstrations_evenings() {
        let (mut hidden, mut stops) = (0, 0);
        for date in ["2027-03-13", "2027-04-10", "2027-10-09"] {
            let (demo, prepared) = Demo::on(date).drafted();
            demo.with_names(&prepared, |names| {
                let order = names.evening.order.stops().iter();
                let minutes = order.map(|stop| (stop.start(), Some(stop.id)));
                for (at, selected) in minutes.chain([(prepared.doors.end(), None)]) {
                    for size in [(660.0, 590.0), (760.0, 600.0), (470.0, 490.0), (470.0, 330.0)] {
                        let sky = unrolled_sky(names, at, selected, size);
                        let tags = || sky.stops.iter().map(|stop| stop.tag);
                        let words: Vec<Rectangle> =
                            places(&sky).into_iter().map(|(_, place)| place).collect();
                        for (position, place) in words.iter().enumerate() {
                            hidden +=
                                words[position + 1..].iter().filter(|other| place.overlaps(other)).count();
                        }
                        for (position, tag) in tags().enumerate() {
                            hidden += tags().skip(position + 1).filter(|other| tag.overlaps(other)).count();
                        }
                        for stop in &sky.stops {
                            let Point { x, y } = stop.place;
                            let mark =
                                Rectangle { left: x - 4.0, top: y - 4.0, right: x + 4.0, bottom: y + 4.0 };
                            hidden +=
                                words.iter().copied().chain(tags()).filter(|own| own.overlaps(&mark)).count();
                        }
                        stops += sky.stops.len();
                    }
                }
            });
        }
        assert!(stops > 500, "only {stops} were drawn");
        assert_eq!(hidden, 0);
    }

    #[test]
    fn a_move_is_as_long_along_the_strip_as_the_mount_turns() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        demo.with_names(&prepared, |names| {
            let sky = unrolled_sky(names, prepared.doors.start(), None, (700.0, 560.0));
            let turns = turns(&names.evening.order, names.prepared, names.materials);
            let degree = f64::from(sky.map.strip.width()) / (sky.map.last - sky.map.first).degrees();
            let mut moves = 0;
            for (before, after) in turns.iter().zip(turns.iter().skip(1)) {
                let Some(((_, from), (_, to))) = before.follows.last().zip(after.follows.first()) else {
                    continue;
                };
                let along = f64::from(sky.map.along(to.cable_azimuth) - sky.map.along(from.cable_azimuth));
                assert!((along / degree - after.timing.azimuth_turn.degrees()).abs() < 0.01, "{along}");
                moves += 1;
            }
            assert!(moves > 3);
        });
    }

    #[test]
    fn stops_stand_in_order_with_number_name_place_and_next_move() {
        let sky = drawn((700.0, 560.0), |prepared| prepared.doors.start());
        assert!(sky.stops.len() > 3);
        assert!(sky.stops.windows(2).all(|two| two[0].number < two[1].number));
        for stop in &sky.stops[..sky.stops.len() - 1] {
            assert!(stop.words.starts_with(&format!("{}, ", stop.number)), "{}", stop.words);
            assert!(stop.words.contains("° up") && stop.words.contains("next move"), "{}", stop.words);
            assert!(sky.scene.alt.contains(&stop.words));
            let (_, altitude) = sky.map.direction(stop.place).expect("above the horizon");
            assert!(altitude.degrees() > 10.0);
        }
        assert!(sky.stops.last().is_some_and(|stop| stop.words.ends_with("the last")));
    }

    #[test]
    fn it_names_what_is_there_and_follows_the_minute() {
        let early = drawn((700.0, 560.0), |prepared| prepared.doors.start().plus_minutes(60.0));
        let late = drawn((700.0, 560.0), |prepared| prepared.doors.start().plus_minutes(150.0));
        for word in ["North", "East", "South", "West", "dome slit", "cable ends"] {
            assert!(texts(&early).iter().any(|text| text == word), "no {word}");
        }
        for begins in ["Sun, ", "Moon, ", "keyhole, ", "next move "] {
            assert!(texts(&early).iter().any(|text| text.starts_with(begins)), "no {begins}");
        }
        assert_ne!(early.scene.alt, late.scene.alt);
        for told in ["the zenith all along the top", "The telescope is ", "From here the cables let it turn "]
        {
            assert!(early.scene.alt.contains(told), "no {told}");
        }
    }
}
