//! The words on the lanes of the timeline: names of stops tied to them, airmass, and what the ground of the skies is.

use super::stop_names::{ASCENT, HELD_SIDE, INK_ASCENT, LEADING, Named, SIZES, Stand, Words, place_names};
use super::timeline::Frame;
use super::timeline_lanes::{Drawn, before, ground};
use super::{Anchor, Ink, Item, Lane, Placed, Rectangle, Stroke, text_width};
use crate::sheet::{Names, numbers};

/// Ties words to their stop.
const TIE: Stroke = Stroke::solid(Ink::Text, 0.7);

/// The stops of each lane and every entry across all, each with its words where these have room.
pub(super) fn lanes_with_names<'d>(
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
        path: one.path_heights(),
        number: one.block.number,
        title: names.stop_title(one.stop),
        clock: numbers::clock(names.prepared.night.local.local(one.stop.start())),
        held: one.is_held(),
    }
}

/// Words where they have room, tied to their stop where they stand beside it.
pub(super) fn draw_words(one: &Drawn<'_>, words: &Words, items: &mut Vec<Item>) {
    let (place, size) = (&words.rectangle, words.size);
    let over_hatch = one.closed.iter().any(|closed| closed.overlaps(place));
    if words.stand == Stand::Up {
        if over_hatch {
            items.push(Item::rectangle(place, Some(Ink::Ground), None));
        }
        for (row, line) in words.lines.iter().enumerate() {
            let at = (place.left + (row as f32 * LEADING + INK_ASCENT) * size, place.bottom);
            let line = Item::text(at, Anchor::Start, size, Ink::Text, line.as_str());
            items.push(line.semibold().running_up());
        }
        return;
    }
    let over_path = one.path_heights().is_some_and(|(over, under)| place.top < under && over < place.bottom);
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
        if words.stand != Stand::Inside || over_path || over_hatch {
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
pub(super) fn draw_airmass(
    frame: &Frame,
    names: &Names<'_>,
    one: &Drawn<'_>,
    words: Option<&Words>,
    items: &mut Vec<Item>,
) {
    let (Some(target), Some((over, under))) = (one.target, one.path_heights()) else { return };
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
            if one.closed.iter().any(|closed| closed.overlaps(&place)) {
                items.push(Item::rectangle(&place, Some(Ink::Ground), None));
            }
            items.push(Item::text(at, Anchor::Start, size, Ink::Text, told));
            return;
        }
    }
}

/// Says in the lowest lane with room what its ground is; else nothing.
pub(super) fn ground_words(
    frame: &Frame,
    names: &Names<'_>,
    placed: &mut Placed,
    items: &mut Vec<Item>,
) -> bool {
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
        let inside = places.into_iter().filter(|place| place.right <= ground.right);
        if let Some(place) = placed.first_free(inside) {
            let at = (place.left, f32::midpoint(place.top, place.bottom) + 0.33 * text);
            items.push(Item::text(at, Anchor::Start, text, Ink::Text, told));
            return true;
        }
    }
    false
}

/// What the shaded foot of every sky means.
pub(super) fn ground_meaning(names: &Names<'_>) -> String {
    format!("below the mount's limit {}", numbers::degrees(names.materials.rig.mount.lowest_altitude))
}
