//! The lanes of the timeline: the sky of each port, from the horizon at its foot to the zenith at its head, with its stops filled up
//! to where their targets stand, the moves to them, and the entries across all lanes.

use super::stop_names::{ASCENT, HELD_SIDE, INK_ASCENT, LEADING, Named, SIZES, Stand, Words, place_names};
use super::timeline::{Frame, SCALE_GAP};
use super::timeline_key::{Meaning, Pattern};
use super::timeline_parts::{HAIRLINE, OUTLINE};
use super::{
    Anchor, Block, Ink, Item, Lane, Placed, Point, Rectangle, Stroke, altitude_path, hatch, lane_blocks,
    shortened, text_width, thin,
};
use crate::plan::{Stop, StopTiming};
use crate::sheet::{Names, numbers, port_letter};
use crate::units::Angle;

/// Altitudes with a line through every lane, in degrees.
const LEVELS_DEG: [f64; 2] = [30.0, 60.0];
/// The way of a target while it is shown.
pub(super) const PATH: Stroke = Stroke::solid(Ink::Text, 2.2);
pub(super) const MOVE: Stroke = Stroke::solid(Ink::Move, 0.5);
/// Ties words to their stop.
const TIE: Stroke = Stroke::solid(Ink::Text, 0.7);

/// The ground and the scale of every sky: what the mount can't reach is shaded.
pub(super) fn grounds(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let (axis, text) = (&frame.axis, frame.text);
    for index in 0..names.materials.rig.ports.len() {
        let sky = frame.lanes.sky(Lane::Port(index));
        if let Some(ground) = ground(frame, names, index) {
            items.push(Item::rectangle(&ground, Some(Ink::Earth), None));
            items.push(Item::segment((axis.left, ground.top), (axis.right, ground.top), HAIRLINE));
        }
        let mut lower = f32::INFINITY;
        for altitude in LEVELS_DEG.map(Angle::from_degrees) {
            let y = sky.y(altitude);
            items.push(Item::segment((axis.left, y), (axis.right, y), HAIRLINE));
            // In a low lane only the lower one has room for its number.
            if lower - y >= 0.9 * text {
                let at = (axis.right + SCALE_GAP * text, y + 0.33 * text);
                items.push(Item::text(at, Anchor::Start, text, Ink::Text, numbers::degrees(altitude)));
                lower = y;
            }
        }
        let (top, bottom) = frame.lanes.edges(Lane::Port(index));
        let lane = Rectangle { left: axis.left, top, right: axis.right, bottom };
        items.push(Item::rectangle(&lane, None, Some(HAIRLINE)));
    }
}

/// The part of a lane's sky that the mount can't reach.
fn ground(frame: &Frame, names: &Names<'_>, port: usize) -> Option<Rectangle> {
    let sky = frame.lanes.sky(Lane::Port(port));
    let top = sky.y(names.materials.rig.mount.lowest_altitude).max(sky.zenith);
    let ground = Rectangle { left: frame.axis.left, top, right: frame.axis.right, bottom: sky.horizon };
    (ground.height() > 0.0).then_some(ground)
}

/// A stop as it is drawn.
struct Drawn<'d> {
    block: Block,
    stop: &'d Stop,
    /// What is drawn of its people's time.
    rectangle: Rectangle,
    /// Its target, on a port of the rig.
    target: Option<usize>,
    /// The way of its target, without corners that nobody sees.
    path: Vec<Vec<Point>>,
}

impl Drawn<'_> {
    fn is_held(&self) -> bool {
        self.stop.held.time || self.stop.held.port
    }
}

/// One lane a port with its stops and the moves to them; entries without the telescope lie across all lanes. Tells which patterns
/// are drawn and not named where they stand.
pub(super) fn lanes_of_ports(
    frame: &Frame,
    names: &Names<'_>,
    timings: &[StopTiming],
    items: &mut Vec<Item>,
) -> Vec<Meaning> {
    port_names(frame, names, items);
    let drawn = drawn(frame, names, timings);
    for one in &drawn {
        draw_move(frame, &one.block, items);
    }
    for one in &drawn {
        draw_stop(frame, one, items);
    }
    let mut placed = Placed::default();
    for one in &drawn {
        placed.keep_free(Rectangle { left: before(frame, one), ..one.rectangle });
    }
    for lane in lanes_with_names(frame, names, &drawn) {
        for (one, words) in lane {
            draw_path(one, words.as_ref(), items);
            if let Some(words) = &words {
                draw_words(one, words, items);
                placed.keep_free(words.rectangle);
            }
            draw_airmass(frame, names, one, words.as_ref(), items);
        }
    }
    let told = ground_words(frame, names, &mut placed, items);
    meanings(names, &drawn, told)
}

/// Letter and name of each port, left of its lane.
fn port_names(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let text = frame.text;
    for (index, port) in names.materials.rig.ports.iter().enumerate() {
        let (top, bottom) = frame.lanes.edges(Lane::Port(index));
        let baseline = f32::midpoint(top, bottom) + 0.35 * text;
        let letter = port_letter(index);
        items.push(Item::text((0.0, baseline), Anchor::Start, text, Ink::Text, letter).semibold());
        let name = shortened(&port.name, text, frame.axis.left - 1.6 * text);
        items.push(Item::text((1.1 * text, baseline), Anchor::Start, text, Ink::Text, name));
    }
}

fn drawn<'d>(frame: &Frame, names: &Names<'d>, timings: &[StopTiming]) -> Vec<Drawn<'d>> {
    let order = &names.evening.order;
    let blocks = lane_blocks(order, timings, names.materials.rig, &frame.axis, &frame.lanes);
    let drawn = blocks.into_iter().filter_map(|block| {
        let stop = order.get(block.stop)?;
        let rectangle = block.rectangle.between(frame.axis.left, frame.axis.right)?;
        let on_port = stop.show().filter(|_| block.lane != Lane::All);
        let target = on_port.and_then(|show| Some(names.target(&show.target)?.0));
        let sky = frame.lanes.sky(block.lane);
        let path = target.map_or_else(Vec::new, |target| {
            altitude_path(names.prepared, target, stop.interval, &frame.axis, &sky)
        });
        let path = path.iter().map(|piece| thin(piece, |point| (point.x, point.y))).collect();
        Some(Drawn { block, stop, rectangle, target, path })
    });
    drawn.collect()
}

/// Where a stop begins together with the move to it.
fn before(frame: &Frame, one: &Drawn<'_>) -> f32 {
    let left = one.block.bars.map_or(one.rectangle.left, |bars| bars.travel.left);
    left.clamp(frame.axis.left, one.rectangle.left)
}

fn draw_move(frame: &Frame, block: &Block, items: &mut Vec<Item>) {
    let clip = |rectangle: &Rectangle| rectangle.between(frame.axis.left, frame.axis.right);
    let Some(bars) = &block.bars else { return };
    if let Some(travel) = clip(&bars.travel) {
        items.push(Item::rectangle(&travel, Some(Ink::Ground), None));
        items.extend(hatch(&travel, 0.3 * frame.text, MOVE));
        items.push(Item::rectangle(&travel, None, Some(MOVE)));
    }
    for waiting in [&bars.settle, &bars.lead].into_iter().filter_map(clip) {
        items.push(Item::rectangle(&waiting, Some(Ink::Ground), Some(MOVE)));
    }
}

/// A window on the sky of its lane, filled up to where its target stands.
fn draw_stop(frame: &Frame, one: &Drawn<'_>, items: &mut Vec<Item>) {
    let rectangle = &one.rectangle;
    items.push(Item::rectangle(rectangle, Some(Ink::Ground), None));
    if let Lane::Port(index) = one.block.lane {
        let ink = Ink::Port(index.min(255) as u8);
        for pair in one.path.iter().flat_map(|piece| piece.windows(2)) {
            // A little too far to the right: the next part covers it, and no seam shows.
            let right = (pair[1].x + 0.4).min(rectangle.right);
            let points = vec![
                pair[0],
                Point { x: right, ..pair[1] },
                Point { x: right, y: rectangle.bottom },
                Point { x: pair[0].x, y: rectangle.bottom },
            ];
            items.push(Item::Path { points, closed: true, fill: Some(ink), stroke: None });
        }
    }
    items.push(Item::rectangle(rectangle, None, Some(OUTLINE)));
    if one.is_held() {
        items.push(held_mark(rectangle, frame.text));
    }
}

/// The way of a stop's target, thin where words run up over it.
fn draw_path(one: &Drawn<'_>, words: Option<&Words>, items: &mut Vec<Item>) {
    let gap = words.filter(|words| words.stand == Stand::Up).map(|words| words.rectangle);
    let gap =
        gap.filter(|gap| path_heights(one).is_some_and(|(over, under)| gap.top < under && over < gap.bottom));
    for piece in &one.path {
        let Some(gap) = gap else {
            items.push(Item::line(piece.clone(), PATH));
            continue;
        };
        items.push(Item::line(piece.clone(), OUTLINE));
        let sides = [between(piece, f32::NEG_INFINITY, gap.left), between(piece, gap.right, f32::INFINITY)];
        items.extend(sides.into_iter().filter(|side| side.len() > 1).map(|side| Item::line(side, PATH)));
    }
}

/// The part of a line, which runs to the right, between two x.
fn between(line: &[Point], left: f32, right: f32) -> Vec<Point> {
    let mut part = Vec::new();
    for pair in line.windows(2) {
        let (from, to) = (pair[0].x.max(left), pair[1].x.min(right));
        if from < to {
            let slope = (pair[1].y - pair[0].y) / (pair[1].x - pair[0].x);
            let at = |x: f32| Point { x, y: pair[0].y + (x - pair[0].x) * slope };
            if part.is_empty() {
                part.push(at(from));
            }
            part.push(at(to));
        }
    }
    part
}

/// The stops of each lane and every entry across all, each with its words where these have room.
fn lanes_with_names<'d>(
    frame: &Frame,
    names: &Names<'_>,
    drawn: &'d [Drawn<'d>],
) -> Vec<Vec<(&'d Drawn<'d>, Option<Words>)>> {
    let ports = (0..names.materials.rig.ports.len()).map(|port| {
        let own: Vec<&Drawn<'_>> = drawn.iter().filter(|one| one.block.lane == Lane::Port(port)).collect();
        let (top, bottom) = frame.lanes.edges(Lane::Port(port));
        let lane = Rectangle { left: frame.axis.left, top, right: frame.axis.right, bottom };
        (lane, own)
    });
    let across = drawn.iter().filter(|one| one.block.lane == Lane::All).map(|one| (one.rectangle, vec![one]));
    let taken: Vec<Rectangle> =
        drawn.iter().map(|one| Rectangle { left: before(frame, one), ..one.rectangle }).collect();
    let named = |(lane, own): (Rectangle, Vec<&'d Drawn<'d>>)| {
        let stops: Vec<Named> = own.iter().map(|one| named(frame, names, one)).collect();
        let words = place_names(&lane, &stops, &taken, frame.text);
        own.into_iter().zip(words).collect()
    };
    ports.chain(across).map(named).collect()
}

fn named(frame: &Frame, names: &Names<'_>, one: &Drawn<'_>) -> Named {
    Named {
        rectangle: one.rectangle,
        before: before(frame, one),
        path: path_heights(one),
        number: one.block.number,
        title: names.stop_title(one.stop),
        clock: numbers::clock(names.prepared.night.local.local(one.stop.start())),
        held: one.is_held(),
    }
}

/// Between which heights the way of a stop's target lies, with its line.
fn path_heights(one: &Drawn<'_>) -> Option<(f32, f32)> {
    let heights = || one.path.iter().flatten().map(|point| point.y);
    let (highest, lowest) = (heights().reduce(f32::min)?, heights().reduce(f32::max)?);
    Some((highest - PATH.width / 2.0, lowest + PATH.width / 2.0))
}

/// Words where they have room, tied to their stop where they stand beside it.
fn draw_words(one: &Drawn<'_>, words: &Words, items: &mut Vec<Item>) {
    let (place, size) = (&words.rectangle, words.size);
    if words.stand == Stand::Up {
        for (row, line) in words.lines.iter().enumerate() {
            let at = (place.left + (row as f32 * LEADING + INK_ASCENT) * size, place.bottom);
            let line = Item::text(at, Anchor::Start, size, Ink::Text, line.as_str());
            items.push(line.semibold().running_up());
        }
        return;
    }
    let over_path = path_heights(one).is_some_and(|(over, under)| place.top < under && over < place.bottom);
    let (x, anchor) = match words.stand {
        // Lines that end at their stop hang from their right end.
        Stand::Left => (place.right, Anchor::End),
        _ => (place.left, Anchor::Start),
    };
    let y = place.top + 0.55 * size;
    let near = 0.15 * size;
    match words.stand {
        Stand::Left => items.push(Item::segment((place.right + near, y), (one.rectangle.left, y), TIE)),
        Stand::Right => items.push(Item::segment((one.rectangle.right, y), (place.left - near, y), TIE)),
        Stand::Inside | Stand::Up => {}
    }
    for (row, line) in words.lines.iter().chain(&words.clock).enumerate() {
        let top = place.top + row as f32 * LEADING * size;
        if words.stand != Stand::Inside || over_path {
            // The estimate of the width is generous: less than all of it is cleared.
            let long = 0.92 * text_width(line, size);
            let left = if words.stand == Stand::Left { x - long } else { x };
            let cleared = Rectangle { left, top, right: left + long, bottom: top + LEADING * size };
            items.push(Item::rectangle(&cleared, Some(Ink::Ground), None));
        }
        let baseline = top + ASCENT * size;
        let item = Item::text((x, baseline), anchor, size, Ink::Text, line.as_str());
        items.push(if row < words.lines.len() { item.semibold() } else { item });
    }
}

/// Airmass at start and end at the foot or the head of a stop, where there is room.
fn draw_airmass(
    frame: &Frame,
    names: &Names<'_>,
    one: &Drawn<'_>,
    words: Option<&Words>,
    items: &mut Vec<Item>,
) {
    let (Some(target), Some((over, under))) = (one.target, path_heights(one)) else { return };
    let airmass = |at| Some(numbers::airmass(names.prepared.sample(target, at)?.airmass?));
    let ends = (airmass(one.stop.start()), airmass(one.stop.end()));
    let (Some(start), Some(end)) = ends else { return };
    let told = if start == end { format!("airmass {start}") } else { format!("airmass {start} → {end}") };
    let (own, text) = (&one.rectangle, frame.text);
    let inset = 0.3 * text;
    let mut placed = Placed::default();
    placed.keep_free(Rectangle { top: over, bottom: under, ..*own });
    if let Some(words) = words {
        placed.keep_free(words.rectangle);
    }
    let held = if one.is_held() { HELD_SIDE * text } else { 0.0 };
    for size in SIZES.map(|share| share * text) {
        let (left, high) = (own.left + inset, LEADING * size);
        let right = left + text_width(&told, size);
        let places = [own.bottom - 0.5 * inset - high, under, over - high, own.top + 0.5 * inset];
        let places = places.map(|top| Rectangle { left, top, right, bottom: top + high });
        let fits = |place: &Rectangle| {
            place.right + inset <= own.right && place.top > own.top + held && place.bottom < own.bottom
        };
        if let Some(place) = placed.first_free(places.into_iter().filter(fits)) {
            let at = (place.left, place.top + ASCENT * size);
            items.push(Item::text(at, Anchor::Start, size, Ink::Text, told));
            return;
        }
    }
}

/// Says in the lowest lane with room what its ground is; else nothing.
fn ground_words(frame: &Frame, names: &Names<'_>, placed: &mut Placed, items: &mut Vec<Item>) -> bool {
    let (text, told) = (frame.text, ground_meaning(names));
    for port in (0..names.materials.rig.ports.len()).rev() {
        let Some(ground) = ground(frame, names, port).filter(|ground| ground.height() >= LEADING * text)
        else {
            continue;
        };
        let inset = 0.5 * text;
        let long = text_width(&told, text);
        let room = (ground.width() - long - 2.0 * inset).max(0.0);
        let places = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| {
            let left = ground.left + inset + share * room;
            Rectangle { left, right: left + long, ..ground }
        });
        if let Some(place) = placed.first_free(places) {
            let at = (place.left, f32::midpoint(place.top, place.bottom) + 0.33 * text);
            items.push(Item::text(at, Anchor::Start, text, Ink::Text, told));
            return true;
        }
    }
    false
}

fn ground_meaning(names: &Names<'_>) -> String {
    format!("below the mount's limit {}", numbers::degrees(names.materials.rig.mount.lowest_altitude))
}

/// What the patterns that are drawn mean.
fn meanings(names: &Names<'_>, drawn: &[Drawn<'_>], ground_told: bool) -> Vec<Meaning> {
    let bars = || drawn.iter().filter_map(|one| one.block.bars);
    let wide = |bar: &Rectangle| bar.width() > 0.0;
    let filled = drawn.iter().any(|one| !one.path.is_empty());
    let has_ground =
        names.materials.rig.mount.lowest_altitude > Angle::ZERO && !names.materials.rig.ports.is_empty();
    let meanings = [
        (Pattern::Filled, "people's time, filled to the target's altitude".to_owned(), filled),
        (Pattern::Empty, "people's time".to_owned(), !filled && !drawn.is_empty()),
        (Pattern::Travel, "slew, dome, port".to_owned(), bars().any(|bars| wide(&bars.travel))),
        (
            Pattern::Waiting,
            "settle, focus, frame".to_owned(),
            bars().any(|bars| wide(&bars.settle) || wide(&bars.lead)),
        ),
        (Pattern::Held, "held".to_owned(), drawn.iter().any(Drawn::is_held)),
        (Pattern::Ground, ground_meaning(names), has_ground && !ground_told),
    ];
    meanings.into_iter().filter(|(.., shown)| *shown).map(|(pattern, words, _)| (pattern, words)).collect()
}

/// A filled corner: what is held is told by shape, not by colour.
pub(super) fn held_mark(block: &Rectangle, text: f32) -> Item {
    let side = (HELD_SIDE * text).min(block.width()).min(block.height());
    Item::Path {
        points: vec![
            Point { x: block.left, y: block.top },
            Point { x: block.left + side, y: block.top },
            Point { x: block.left, y: block.top + side },
        ],
        closed: true,
        fill: Some(Ink::Held),
        stroke: None,
    }
}

#[cfg(test)]
mod tests {
    use super::between;
    use crate::chart::Point;

    #[test]
    fn a_part_of_a_line_keeps_to_it() {
        let line = [(0.0, 0.0), (10.0, 20.0), (20.0, 20.0)].map(|(x, y)| Point { x, y });
        let part = [(5.0, 10.0), (10.0, 20.0), (15.0, 20.0)].map(|(x, y)| Point { x, y });
        assert_eq!(between(&line, 5.0, 15.0), part);
        assert_eq!(between(&line, f32::NEG_INFINITY, f32::INFINITY), line);
        assert!(between(&line, 20.0, 30.0).is_empty() && between(&line, 8.0, 7.0).is_empty());
    }
}
