//! The lanes of the timeline: the sky of each port, from the horizon at its foot to the zenith at its head, with its stops filled up
//! to where their targets stand, the moves to them, and the entries across all lanes.

use super::stop_names::{HELD_SIDE, Stand, Words};
use super::timeline::{Frame, SCALE_GAP};
use super::timeline_closed::closed_hatch;
use super::timeline_key::{Meaning, Pattern};
use super::timeline_parts::{HAIRLINE, OUTLINE};
use super::timeline_words::{draw_airmass, draw_words, ground_meaning, ground_words, lanes_with_names};
use super::{
    Anchor, Block, Ink, Item, Lane, Placed, Point, Rectangle, Stroke, altitude_path, hatch, lane_blocks,
    shortened, thin,
};
use crate::plan::{Stop, StopTiming, closed_stretches};
use crate::sheet::{Names, numbers, port_letter};
use crate::units::Angle;

/// Altitudes with a line through every lane, in degrees.
const LEVELS_DEG: [f64; 2] = [30.0, 60.0];
/// The way of a target while it is shown.
pub(super) const PATH: Stroke = Stroke::solid(Ink::Text, 2.2);
pub(super) const MOVE: Stroke = Stroke::solid(Ink::Move, 0.5);

/// The upper edge of what the mount can't reach, which tells it where a pale shade does not: under a red lamp, in a bad copy.
pub(super) const EDGE_OF_GROUND: Stroke = Stroke::solid(Ink::Move, 0.5);

/// The ground and the scale of every sky: what the mount can't reach is shaded.
pub(super) fn grounds(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let (axis, text) = (&frame.axis, frame.text);
    // Areas, lines and words one after the other: a pen draws each sort at one go.
    let (mut lines, mut edges, mut words) = (Vec::new(), Vec::new(), Vec::new());
    for index in 0..names.materials.rig.ports.len() {
        let sky = frame.lanes.sky(Lane::Port(index));
        if let Some(ground) = ground(frame, names, index) {
            items.push(Item::rectangle(&ground, Some(Ink::Earth), None));
            edges.push(Item::segment((axis.left, ground.top), (axis.right, ground.top), EDGE_OF_GROUND));
        }
        let mut lower = f32::INFINITY;
        for altitude in LEVELS_DEG.map(Angle::from_degrees) {
            let y = sky.y(altitude);
            lines.push(Item::segment((axis.left, y), (axis.right, y), HAIRLINE));
            // In a low lane only the lower one has room for its number.
            if lower - y >= 0.9 * text {
                let at = (axis.right + SCALE_GAP * text, y + 0.33 * text);
                words.push(Item::text(at, Anchor::Start, text, Ink::Text, numbers::degrees(altitude)));
                lower = y;
            }
        }
        let (top, bottom) = frame.lanes.edges(Lane::Port(index));
        let lane = Rectangle { left: axis.left, top, right: axis.right, bottom };
        lines.push(Item::rectangle(&lane, None, Some(HAIRLINE)));
    }
    items.append(&mut lines);
    items.append(&mut edges);
    items.append(&mut words);
}

/// The part of a lane's sky that the mount can't reach.
pub(super) fn ground(frame: &Frame, names: &Names<'_>, port: usize) -> Option<Rectangle> {
    let sky = frame.lanes.sky(Lane::Port(port));
    let top = sky.y(names.materials.rig.mount.lowest_altitude).max(sky.zenith);
    let ground = Rectangle { left: frame.axis.left, top, right: frame.axis.right, bottom: sky.horizon };
    (ground.height() > 0.0).then_some(ground)
}

/// A stop as it is drawn.
pub(super) struct Drawn<'d> {
    pub block: Block,
    pub stop: &'d Stop,
    /// What is drawn of its people's time.
    pub rectangle: Rectangle,
    /// Its target, on a port of the rig.
    pub target: Option<usize>,
    /// The way of its target, without corners that nobody sees.
    path: Vec<Vec<Point>>,
    /// Where its target stands in closed sky.
    pub closed: Vec<Rectangle>,
}

impl Drawn<'_> {
    pub fn is_held(&self) -> bool {
        self.stop.held.time || self.stop.held.port
    }

    /// Between which heights the way of its target lies, with its line.
    pub fn path_heights(&self) -> Option<(f32, f32)> {
        let heights = || self.path.iter().flatten().map(|point| point.y);
        let (highest, lowest) = (heights().reduce(f32::min)?, heights().reduce(f32::max)?);
        Some((highest - PATH.width / 2.0, lowest + PATH.width / 2.0))
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
        let closed = target
            .map_or_else(Vec::new, |target| closed_stretches(names.prepared, target, stop.interval))
            .into_iter()
            .filter_map(|own| rectangle.between(frame.axis.x(own.start()), frame.axis.x(own.end())))
            .collect();
        Some(Drawn { block, stop, rectangle, target, path, closed })
    });
    drawn.collect()
}

/// Where a stop begins together with the move to it.
pub(super) fn before(frame: &Frame, one: &Drawn<'_>) -> f32 {
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
    items.extend(one.closed.iter().flat_map(|closed| closed_hatch(closed, frame.text)));
    items.push(Item::rectangle(rectangle, None, Some(OUTLINE)));
    if one.is_held() {
        items.push(held_mark(rectangle, frame.text));
    }
}

/// The way of a stop's target, thin where words run up over it.
fn draw_path(one: &Drawn<'_>, words: Option<&Words>, items: &mut Vec<Item>) {
    let gap = words.filter(|words| words.stand == Stand::Up).map(|words| words.rectangle);
    let gap = gap
        .filter(|gap| one.path_heights().is_some_and(|(over, under)| gap.top < under && over < gap.bottom));
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
        (Pattern::Closed, "in closed sky".to_owned(), drawn.iter().any(|one| !one.closed.is_empty())),
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
