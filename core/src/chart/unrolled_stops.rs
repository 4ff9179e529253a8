//! The stops on the unrolled sky with the ways of the mount between them.

use std::borrow::Cow;

use super::sky_labels::{Labels, Tag};
use super::sky_marks::{arrow_head, disc};
use super::unrolled_telescope::{on_strip, slew};
use super::unrolled_words::{turn_words, up_in_the};
use super::{Ink, Item, Point, Rectangle, SkyStop, Stroke, UnrolledMap};
use crate::plan::{Sample, Stop, StopId, Turn, turns};
use crate::sheet::wording::kind_word;
use crate::sheet::{Names, numbers, port_letter};
use crate::time::Instant;
use crate::units::Angle;

/// A stop that shows a target, with what is drawn of it.
pub(super) struct Shown<'a> {
    pub number: usize,
    pub stop: &'a Stop,
    pub turn: &'a Turn,
    pub title: String,
    pub port: usize,
    /// Where its target stands through it.
    samples: Cow<'a, [Sample]>,
}

/// The stops of an order that show a target of the catalogue.
pub(super) struct Shows<'a> {
    pub stops: Vec<Shown<'a>>,
}

/// What stands out: the stop that is selected, the one that the telescope is on, and the one it goes to next.
#[derive(Clone, Copy)]
pub(super) struct Strong {
    pub selected: Option<StopId>,
    pub on: Option<StopId>,
    pub next: Option<usize>,
}

impl<'a> Shows<'a> {
    pub fn new(names: &Names<'a>, turns: &'a [Turn]) -> Self {
        let (order, prepared, materials) = (&names.evening.order, names.prepared, names.materials);
        let stops = order.stops().iter().zip(turns).enumerate();
        let stops = stops.filter_map(|(position, (stop, turn))| {
            let show = stop.show()?;
            let target_index = materials.target_index(&show.target)?;
            let (first, last) = (prepared.moment_index(stop.start()), prepared.moment_index(stop.end()));
            Some(Shown {
                number: position + 1,
                stop,
                turn,
                title: names.stop_title(stop),
                port: names.port_index(&show.port).unwrap_or(0),
                samples: prepared.samples(target_index, first..=last),
            })
        });
        Self { stops: stops.collect() }
    }

    /// The mount's ways through the evening.
    pub fn turns(names: &Names<'_>) -> Vec<Turn> {
        turns(&names.evening.order, names.prepared, names.materials)
    }

    /// The least and the greatest azimuth that the mount turns to; `None` without a stop.
    pub fn reach(&self) -> Option<(Angle, Angle)> {
        let pointings = self.stops.iter().flat_map(|shown| shown.turn.follows.iter());
        pointings
            .map(|(_, at)| (at.cable_azimuth, at.cable_azimuth))
            .reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
    }

    /// The move that comes next at an instant: its position among the stops.
    pub fn next(&self, at: Instant) -> Option<usize> {
        self.stops.iter().position(|shown| shown.stop.start() > at)
    }

    /// A stop in words: `4, Jupiter, 47° up in the south-east, next move 84° right, 62 s`.
    fn words(&self, position: usize) -> String {
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
    pub fn move_words(&self) -> String {
        let timing = &self.turn.timing;
        format!("{}, {}", turn_words(timing.azimuth_turn), numbers::duration(timing.parts.total_s()))
    }

    /// What it is, on which port, and when.
    fn about(&self, names: &Names<'_>) -> String {
        let Some(show) = self.stop.show() else { return String::new() };
        let kind = names.target(&show.target).map_or("", |(_, target)| kind_word(target.kind));
        let (letter, port) = (port_letter(self.port), names.port_name(&show.port));
        let when = numbers::clock_span(&names.prepared.night.local, self.stop.interval);
        format!("{kind} on {letter}, {port}, {when}")
    }

    /// Where the mount follows it: azimuth as the mount turns, and altitude.
    fn way(&self) -> Vec<(Angle, Angle)> {
        self.turn.follows.iter().map(|(_, at)| (at.cable_azimuth, at.altitude)).collect()
    }

    pub fn ink(&self) -> Ink {
        Ink::Port(self.port_number())
    }

    pub fn port_number(&self) -> u8 {
        u8::try_from(self.port).unwrap_or(u8::MAX)
    }

    /// What its tag says: with its name, and without.
    pub fn tag_words(&self) -> [String; 2] {
        let letter = port_letter(self.port);
        [format!("{} {} · {letter}", self.number, self.title), format!("{} · {letter}", self.number)]
    }

    /// How strongly it is drawn: its edge, and whether its words are heavy.
    pub fn weight(&self, strong: Strong) -> (Stroke, bool) {
        if strong.selected == Some(self.stop.id) {
            (Stroke::solid(Ink::Accent, 2.0), true)
        } else if strong.on == Some(self.stop.id) {
            (Stroke::solid(Ink::Text, 1.8), true)
        } else {
            (Stroke::solid(Ink::Move, 0.8), false)
        }
    }
}

/// How a way of the mount is drawn.
pub(super) fn way_stroke(is_next: bool) -> Stroke {
    if is_next { Stroke::solid(Ink::Accent, 2.8) } else { Stroke::dashed(Ink::Move, 1.1, 5.0, 4.0) }
}

/// Draws the ways of the mount, each with its direction; the next one stands out. Gives back where it is, and its words.
pub(super) fn ways(
    map: &UnrolledMap,
    names: &Names<'_>,
    shows: &Shows<'_>,
    strong: Strong,
    labels: &mut Labels,
    items: &mut Vec<Item>,
) -> Option<(Point, String)> {
    let mut told = None;
    // The next one over the others.
    let mut order: Vec<usize> =
        (0..shows.stops.len()).filter(|position| Some(*position) != strong.next).collect();
    order.extend(strong.next);
    for position in order {
        let shown = &shows.stops[position];
        let is_next = Some(position) == strong.next;
        // From its parking place the telescope comes by a way that is not known.
        let Some((from, to)) = shown.turn.slew else { continue };
        let stroke = way_stroke(is_next);
        for line in on_strip(map, names.materials, &slew(names.materials, from, to)) {
            items.push(Item::line(line.clone(), Stroke::solid(Ink::Ground, if is_next { 6.0 } else { 3.0 })));
            items.push(Item::line(line.clone(), stroke));
            items.extend(arrow_head(&line, if is_next { 9.0 } else { 6.0 }, stroke.ink));
            if is_next {
                labels.spare(&line);
                let words = format!("next move {}", shown.move_words());
                told = told.or_else(|| Some((line[line.len() / 2], words)));
            } else {
                labels.shun(&line);
            }
        }
    }
    told
}

/// Draws where each target goes while it is shown.
pub(super) fn tracks(
    map: &UnrolledMap,
    names: &Names<'_>,
    shows: &Shows<'_>,
    labels: &mut Labels,
    items: &mut Vec<Item>,
) {
    for shown in &shows.stops {
        for line in on_strip(map, names.materials, &shown.way()) {
            items.push(Item::line(line.clone(), Stroke::solid(Ink::Ground, 8.0)));
            items.push(Item::line(line.clone(), Stroke::solid(shown.ink(), 4.5)));
            labels.spare(&line);
        }
        if let Some(start) = start(map, shown) {
            items.push(disc(start, 6.5, Some(Ink::Ground), None));
            items.push(disc(start, 5.0, Some(shown.ink()), None));
            labels.keep_free(start, 6.0);
        }
    }
}

/// Where a stop begins on the strip.
fn start(map: &UnrolledMap, shown: &Shown<'_>) -> Option<Point> {
    let (_, at) = shown.turn.follows.first()?;
    let inside = (map.first..=map.last).contains(&at.cable_azimuth);
    let turned = if inside { at.cable_azimuth } else { map.in_home(at.cable_azimuth) };
    Some(map.place(turned, at.altitude))
}

/// A tag where each stop begins: those that stand out have the first choice of places.
pub(super) fn tags(
    map: &UnrolledMap,
    names: &Names<'_>,
    shows: &Shows<'_>,
    strong: Strong,
    labels: &mut Labels,
    items: &mut Vec<Item>,
) -> Vec<SkyStop> {
    let mut order: Vec<usize> = (0..shows.stops.len()).collect();
    order.sort_by_key(|position| {
        let (_, is_strong) = shows.stops[*position].weight(strong);
        (!is_strong, Some(*position) != strong.next)
    });
    let mut tags: Vec<SkyStop> = Vec::new();
    for position in order {
        let shown = &shows.stops[position];
        let Some(place) = start(map, shown) else { continue };
        let (edge, is_strong) = shown.weight(strong);
        let words = shown.tag_words();
        let tag = Tag { port: shown.port_number(), words: &words, edge, is_strong };
        let tag = labels.tag(place, &tag, items);
        tags.push(SkyStop {
            stop: shown.stop.id,
            number: shown.number,
            title: shown.title.clone(),
            place,
            tag,
            row: Rectangle { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 },
            about: shown.about(names),
            words: shows.words(position),
        });
    }
    tags.sort_by_key(|tag| tag.number);
    tags
}
