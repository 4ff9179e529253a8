//! The stops on the dome with the ways between them.

use std::borrow::Cow;

use super::dome_labels::Labels;
use super::dome_telescope::Slew;
use super::dome_words::{turn_words, up_in_the};
use super::sky_dome::crowded;
use super::{DomeMap, DomeStop, Ink, Item, Point, Stroke};
use crate::plan::{Sample, Stop, StopId, StopTiming, slews, timings};
use crate::sheet::wording::kind_word;
use crate::sheet::{Names, numbers, port_letter};
use crate::time::Instant;

/// A stop that shows a target, with what is drawn of it.
pub(super) struct Shown<'a> {
    pub number: usize,
    pub stop: &'a Stop,
    pub timing: StopTiming,
    pub title: String,
    pub port: usize,
    /// Where its target stands through it.
    pub samples: Cow<'a, [Sample]>,
    /// The way of the mount to it.
    pub slew: Slew,
}

/// The moves of an order, and the stops of it that show a target of the catalogue.
pub(super) struct Shows<'a> {
    pub timings: Vec<StopTiming>,
    pub slews: Vec<Slew>,
    pub stops: Vec<Shown<'a>>,
}

impl<'a> Shows<'a> {
    pub fn new(names: &Names<'a>) -> Self {
        let (order, prepared, materials) = (&names.evening.order, names.prepared, names.materials);
        let (timings, slews) = (timings(order, prepared, materials), slews(order, prepared, materials));
        let stops = order.stops().iter().zip(&timings).zip(&slews).enumerate();
        let stops = stops.filter_map(|(position, ((stop, timing), slew))| {
            let show = stop.show()?;
            let target_index = materials.target_index(&show.target)?;
            let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
            Some(Shown {
                number: position + 1,
                stop,
                timing: *timing,
                title: names.stop_title(stop),
                port: names.port_index(&show.port).unwrap_or(0),
                samples: prepared.samples(target_index, first..=last),
                slew: *slew,
            })
        });
        let stops = stops.collect();
        Self { timings, slews, stops }
    }

    /// The move that comes next at an instant: its position among the stops.
    pub fn next(&self, at: Instant) -> Option<usize> {
        self.stops.iter().position(|shown| shown.stop.start() > at)
    }

    /// A stop in words: `4, Jupiter, 47° up in the south-east, next move 84° right, 62 s`.
    pub fn words(&self, position: usize) -> String {
        let Some(shown) = self.stops.get(position) else { return String::new() };
        let mut words = format!("{}, {}", shown.number, shown.title);
        if let Some(start) = shown.samples.first() {
            words.push_str(", ");
            words.push_str(&up_in_the(start.azimuth, start.altitude));
        }
        match self.stops.get(position + 1) {
            Some(next) => words + ", next move " + &next.move_words(),
            None => words + ", the last",
        }
    }
}

impl Shown<'_> {
    /// The move to it: how far, and how long.
    fn move_words(&self) -> String {
        let seconds = numbers::duration(self.timing.parts.total_s());
        format!("{}, {seconds}", turn_words(self.timing.azimuth_turn))
    }

    /// What it is, on which port, and when.
    fn about(&self, names: &Names<'_>) -> String {
        let Some(show) = self.stop.show() else { return String::new() };
        let kind = names.target(&show.target).map_or("", |(_, target)| kind_word(target.kind));
        let (letter, port) = (port_letter(self.port), names.port_name(&show.port));
        let when = numbers::clock_span(&names.prepared.night.local, self.stop.interval);
        format!("{kind} on {letter}, {port}, {when}")
    }

    fn places(&self, map: &DomeMap) -> Vec<Point> {
        self.samples.iter().map(|sample| map.place(sample.azimuth, sample.altitude)).collect()
    }

    fn ink(&self) -> Ink {
        Ink::Port(port_number(self.port))
    }
}

fn port_number(port: usize) -> u8 {
    u8::try_from(port).unwrap_or(u8::MAX)
}

/// Draws the ways of the mount, each with its direction; the next one stands out and says how far and how long.
pub(super) fn ways(
    map: &DomeMap,
    names: &Names<'_>,
    shows: &Shows<'_>,
    at: Instant,
    labels: &mut Labels,
    items: &mut Vec<Item>,
) -> Option<(Point, String)> {
    let next = shows.next(at);
    let mut told = None;
    let latitude = names.materials.site.place.latitude;
    // The next one over the others.
    let mut order: Vec<usize> = (0..shows.stops.len()).filter(|position| Some(*position) != next).collect();
    order.extend(next);
    for position in order {
        let shown = &shows.stops[position];
        let is_next = Some(position) == next;
        let Some((from, to)) = shown.slew else {
            // From its parking place the telescope comes by a way that is not known.
            let start = shown.places(map).first().copied().filter(|_| is_next && position == 0);
            told = told.or(start.map(|start| (start, "the first".to_owned())));
            continue;
        };
        let stroke =
            if is_next { Stroke::solid(Ink::Accent, 2.6) } else { Stroke::dashed(Ink::Move, 1.1, 5.0, 4.0) };
        for line in map.lines(names.materials.rig.mount.path(latitude, from, to)) {
            let casing = if is_next { 6.0 } else { 3.0 };
            items.push(Item::line(line.clone(), Stroke::solid(Ink::Ground, casing)));
            let middle = line[line.len() / 2];
            let spared = line.clone();
            let head = arrow_head(&line, if is_next { 8.0 } else { 5.0 }, stroke.ink);
            items.push(Item::line(line, stroke));
            items.extend(head);
            if is_next {
                labels.spare(&spared);
                told = Some((middle, format!("next move {}", shown.move_words())));
            }
        }
    }
    told
}

/// A head in the middle of a line, pointing along it; none on a line too short to have a direction.
fn arrow_head(line: &[Point], size: f32, ink: Ink) -> Option<Item> {
    let middle = line.len() / 2;
    let (tail, tip) = (line.get(middle.saturating_sub(3))?, line.get((middle + 3).min(line.len() - 1))?);
    let (x, y) = (tip.x - tail.x, tip.y - tail.y);
    let length = x.hypot(y);
    if length < 2.0 {
        return None;
    }
    let (x, y) = (x / length * size, y / length * size);
    let at = line[middle];
    let corner =
        |along: f32, side: f32| Point { x: at.x + along * x - side * y, y: at.y + along * y + side * x };
    Some(Item::Path {
        points: vec![corner(1.0, 0.0), corner(-0.7, 0.7), corner(-0.7, -0.7)],
        closed: true,
        fill: Some(ink),
        stroke: Some(Stroke::solid(Ink::Ground, 0.8)),
    })
}

/// Draws the stops: where each target goes while it is shown, and a tag where it begins.
pub(super) fn stops(
    map: &DomeMap,
    names: &Names<'_>,
    shows: &Shows<'_>,
    selected: Option<StopId>,
    labels: &mut Labels,
    items: &mut Vec<Item>,
) -> Vec<DomeStop> {
    for shown in &shows.stops {
        let line = shown.places(map);
        items.push(Item::line(line.clone(), Stroke::solid(Ink::Ground, 8.0)));
        items.push(Item::line(line.clone(), Stroke::solid(shown.ink(), 4.5)));
        if let Some(start) = line.first() {
            items.push(disc(*start, 6.5, Some(Ink::Ground), None));
            items.push(disc(*start, 5.0, Some(shown.ink()), None));
            labels.keep_free(*start, 6.0);
        }
        labels.spare(&line);
    }
    let mut tags = Vec::new();
    for (position, shown) in shows.stops.iter().enumerate() {
        let Some(place) = shown.places(map).first().copied() else { continue };
        let letter = port_letter(shown.port);
        let words = if crowded(map.radius) {
            format!("{} · {letter}", shown.number)
        } else {
            format!("{} {} · {letter}", shown.number, shown.title)
        };
        let chosen = selected == Some(shown.stop.id);
        let tag = labels.tag(place, port_number(shown.port), &words, chosen, items);
        let words = shows.words(position);
        let about = shown.about(names);
        tags.push(DomeStop {
            stop: shown.stop.id,
            number: shown.number,
            title: shown.title.clone(),
            place,
            tag,
            about,
            words,
        });
    }
    tags
}

/// A disc, or its edge.
pub(super) fn disc(at: Point, radius: f32, fill: Option<Ink>, stroke: Option<Stroke>) -> Item {
    corners(at, radius, 24, fill, stroke)
}

/// A disc so small that its corners can't be seen.
pub(super) fn dot(at: Point, radius: f32, fill: Ink) -> Item {
    corners(at, radius, 10, Some(fill), None)
}

fn corners(at: Point, radius: f32, count: u16, fill: Option<Ink>, stroke: Option<Stroke>) -> Item {
    let points = (0..count).map(|step| {
        let (sine, cosine) = (f64::from(step) * std::f64::consts::TAU / f64::from(count)).sin_cos();
        Point { x: at.x + radius * cosine as f32, y: at.y + radius * sine as f32 }
    });
    Item::Path { points: points.collect(), closed: true, fill, stroke }
}
