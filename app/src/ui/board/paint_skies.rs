//! Paints the sky of each lane: what the mount can't reach, a scale of altitude, how high each stop's target stands, and the
//! paths that go on through the evening with their airmass.

use std::sync::Arc;

use egui::text::{LayoutJob, TextFormat};
use egui::{Align2, Color32, Galley, Mesh, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use evenfall_core::chart::{in_lines, thin};
use evenfall_core::sheet::numbers;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

use super::altitude::{clear_of, passes, path};
use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::names::{Placed, Taken};
use super::trails::Trail;
use super::words;
use crate::ui::parts::small;
use crate::ui::text;
use crate::ui::theme::{BOLD, CLOSE_LINE, FINE, HAIR, NEAR, SMALL, SPACE, TIGHT, Tokens, regular, semibold};

/// Altitudes with a line through every lane, in degrees.
const LEVELS: [f64; 2] = [30.0, 60.0];
/// Airmasses with a mark on a path.
const AIRMASSES: [f64; 5] = [1.1, 1.3, 1.6, 2.0, 3.0];
/// Others, one of which is told where those have no room.
const BETWEEN: [f64; 6] = [1.4, 1.8, 1.2, 2.4, 1.5, 1.7];
/// Width of the bed on which the path of what is selected lies.
const BED: f32 = 5.0;
/// Half the height of such a mark.
const TICK: f32 = 4.0;
/// Strokes across a path in a closed part of the sky: every so far, and this half long either way.
const CLOSED_EVERY: f32 = 7.0;
const CLOSED_HALF: (f32, f32) = (3.0, 5.0);

/// The ground and the scale of every lane.
pub fn paint_grounds(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let lowest = model.open.document.stock.rig.mount.lowest_altitude;
    for (position, lane) in layout.lanes.iter().enumerate() {
        let limit = layout.altitude_y(position, lowest);
        painter.rect_filled(lane.with_min_y(limit), 0.0, tokens.earth);
        painter.hline(lane.x_range(), limit, Stroke::new(HAIR, tokens.hair));
        for degrees in LEVELS {
            let altitude = Angle::from_degrees(degrees);
            let y = layout.altitude_y(position, altitude);
            painter.hline(lane.x_range(), y, Stroke::new(FINE, tokens.hair));
            let at = pos2(lane.right() + TIGHT, y);
            small(painter, at, Align2::LEFT_CENTER, numbers::degrees(altitude), tokens.quiet);
        }
    }
}

/// Says in the lowest lane with room what its ground is.
pub fn paint_ground_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    taken: &mut Taken,
) {
    let lowest = model.open.document.stock.rig.mount.lowest_altitude;
    let galley = painter.layout_no_wrap(text::below_mount(lowest), regular(SMALL), tokens.quiet);
    for (position, lane) in layout.lanes.iter().enumerate().rev() {
        let ground = lane.with_min_y(layout.altitude_y(position, lowest));
        let room = (ground.width() - galley.size().x - 2.0 * TIGHT).max(0.0);
        let y = ground.center().y - galley.size().y / 2.0;
        let places = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| {
            let at = pos2(ground.left() + TIGHT + share * room, y);
            Rect::from_min_size(at, galley.size())
        });
        let free = |place: &Rect| taken.is_free(layout, place.shrink2(vec2(0.0, NEAR)));
        if let Some(place) = places.into_iter().filter(|_| ground.height() > SMALL).find(free) {
            painter.galley(place.min, galley, tokens.quiet);
            taken.take(place);
            return;
        }
    }
}

/// What a lane shows for a while.
pub struct Shown {
    pub target_index: usize,
    pub lane: usize,
    pub interval: Interval,
    /// The box that it is shown in.
    pub rect: Rect,
    /// Words that stand in the box.
    pub words: Option<Rect>,
    /// Whether its path is that of what is selected.
    pub chosen: bool,
}

/// What a stop shows, on a port, with its words.
pub fn shown(layout: &BoardLayout, block: &Block, placed: Option<&Placed>) -> Option<Shown> {
    Some(Shown {
        target_index: block.target_index?,
        lane: block.lane?,
        interval: block.interval,
        rect: layout.block(block),
        words: placed.map(|placed| placed.rect.expand2(vec2(NEAR / 2.0, 0.0))),
        chosen: block.selected,
    })
}

/// What lies under the paths of targets while they are shown, in one mesh, and their paths over it.
pub fn paint_shown(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    all: impl Iterator<Item = Shown>,
) {
    let mut mesh = Mesh::default();
    let mut lines = Vec::new();
    for Shown { target_index, lane, interval, rect, words, chosen } in all {
        let inner = rect.shrink(HAIR);
        for piece in path(model, layout, (target_index, lane), interval) {
            let within = |corner: Pos2| pos2(corner.x.clamp(inner.left(), inner.right()), corner.y);
            let piece: Vec<Pos2> =
                thin(&piece, |corner| (corner.x, corner.y)).into_iter().map(within).collect();
            under(&mut mesh, &piece, inner.bottom(), tokens.port_soft(lane));
            let ink = if chosen { tokens.ink } else { tokens.port(lane) };
            let pieces = words.map_or_else(|| vec![piece.clone()], |words| clear_of(piece.clone(), words));
            lines.extend(pieces.into_iter().map(|piece| Shape::line(piece, Stroke::new(BOLD, ink))));
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.extend(lines);
}

/// Fills between a path and a level.
fn under(mesh: &mut Mesh, path: &[Pos2], level: f32, colour: Color32) {
    let first = mesh.vertices.len() as u32;
    for (position, corner) in path.iter().enumerate() {
        mesh.colored_vertex(*corner, colour);
        mesh.colored_vertex(pos2(corner.x, level), colour);
        if position > 0 {
            let last = first + 2 * position as u32 - 2;
            mesh.add_triangle(last, last + 1, last + 2);
            mesh.add_triangle(last + 1, last + 2, last + 3);
        }
    }
}

/// Between which heights the altitude of a block's target lies while it is shown, by both ends.
pub fn heights(model: &BoardModel<'_>, layout: &BoardLayout, block: &Block) -> Option<(f32, f32)> {
    let (target_index, lane) = block.target_index.zip(block.lane)?;
    let prepared = &model.open.derived.prepared;
    let ends = [block.interval.start(), block.interval.end()];
    let y = ends
        .map(|at| prepared.sample(target_index, at).map(|sample| layout.altitude_y(lane, sample.altitude)));
    let [Some(start), Some(end)] = y else { return None };
    Some((start.min(end), start.max(end)))
}

/// The paths that go on beyond their stops, with strokes across them while their part of the sky is closed.
pub fn paint_trails(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    trails: &[Trail],
) {
    for trail in trails.iter().rev() {
        let stroke = trail_stroke(tokens, trail);
        let of = (trail.target_index, trail.lane);
        for piece in path(model, layout, of, model.span) {
            let piece = thin(&piece, |corner| (corner.x, corner.y));
            if trail.strong {
                // Its own among all that crosses it: dark, on a light bed.
                painter.add(Shape::line(piece.clone(), Stroke::new(BED, tokens.raised)));
            }
            painter.add(Shape::line(piece, stroke));
        }
        let across = vec2(CLOSED_HALF.0, CLOSED_HALF.1);
        for piece in trail.closed.iter().flat_map(|run| path(model, layout, of, *run)) {
            for two in piece.windows(2) {
                let strokes = ((two[1].x - two[0].x) / CLOSED_EVERY).round().max(1.0);
                for stroke_at in 0..strokes as usize {
                    let at = two[0].lerp(two[1], stroke_at as f32 / strokes);
                    painter.line_segment([at - across, at + across], Stroke::new(HAIR, tokens.travel));
                }
            }
        }
    }
}

fn trail_stroke(tokens: &Tokens, trail: &Trail) -> Stroke {
    if trail.strong { Stroke::new(BOLD, tokens.ink) } else { Stroke::new(HAIR, tokens.edge) }
}

/// The words along those paths, clear of everything else: what is selected by its name, and the airmass where the path passes
/// a round value, the first in words with the altitude it has there; in one where there is room.
pub fn paint_trail_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (trails, taken): (&[Trail], &mut Taken),
) {
    let prepared = &model.open.derived.prepared;
    for trail in trails {
        let name = name(model, trail);
        let passed = |airmass: &f64| {
            let passes = passes(prepared, trail.target_index, model.span, *airmass);
            let words = numbers::airmass(*airmass);
            passes.into_iter().filter_map(move |at| {
                let altitude = prepared.sample(trail.target_index, at)?.altitude;
                Some((at, words.clone(), numbers::degrees(altitude)))
            })
        };
        let mut put = |at: Instant, name: &str, words: &str| {
            let galley = name_over_words(painter, tokens, name, words);
            mark(painter, tokens, model, layout, (trail, at, galley), taken)
        };
        let round: Vec<(Instant, String, String)> = AIRMASSES.iter().flat_map(passed).collect();
        // One is told in words: a round one, or where those have no room one between them.
        let all: Vec<_> = round.iter().cloned().chain(BETWEEN.iter().flat_map(passed)).collect();
        let mut tell = |name: &str| {
            let whole = |(at, number, altitude): &&(Instant, String, String)| {
                put(*at, name, &words::airmass(number, altitude))
            };
            let found = all.iter().find(whole);
            found.or_else(|| all.iter().find(|(at, number, _)| put(*at, name, &words::airmass_alone(number))))
        };
        let forms: Vec<String> = name.into_iter().flat_map(name_forms).collect();
        let named = forms.iter().find_map(|name| tell(name));
        let told = named.or_else(|| tell(""));
        if named.is_none() {
            forms.iter().find(|name| quarters(model, trail).any(|at| put(at, name, "")));
        }
        for (at, number, _) in &round {
            if told.is_none_or(|(told, ..)| told != at) {
                put(*at, "", number);
            }
        }
    }
}

/// A name and what is told of it below each other, or one of the two alone.
fn name_over_words(painter: &Painter, tokens: &Tokens, name: &str, words: &str) -> Arc<Galley> {
    let mut job = LayoutJob::default();
    let between = if name.is_empty() || words.is_empty() { "" } else { "\n" };
    for (words, font) in [(name, semibold(SMALL)), (between, regular(SMALL)), (words, regular(SMALL))] {
        let line_height = Some(CLOSE_LINE * SMALL);
        job.append(words, 0.0, TextFormat { line_height, ..TextFormat::simple(font, tokens.ink) });
    }
    painter.layout_job(job)
}

/// A name along, and in two lines.
fn name_forms(name: &str) -> impl Iterator<Item = String> {
    [Some(name.to_owned()), in_lines(name, 2).map(|lines| lines.join("\n"))].into_iter().flatten()
}

/// The name of what is selected; what is dragged bears its own.
fn name<'m>(model: &BoardModel<'m>, trail: &Trail) -> Option<&'m str> {
    let targets = &model.open.document.stock.catalogue.targets;
    let target = targets.get(trail.target_index).filter(|_| trail.strong && model.drag.is_none())?;
    Some(target.name.as_str())
}

/// Where a name may stand: on the Shelf where its target shows best, else by the quarter of an hour, the latest first, away from
/// its stop, which bears it too.
fn quarters(model: &BoardModel<'_>, trail: &Trail) -> impl Iterator<Item = Instant> {
    let availability = model.open.derived.prepared.availability.get(trail.target_index);
    let best = availability.and_then(|known| known.best).map(|(best, _)| best);
    let start = model.span.start();
    let quarters = (0..=model.span.minutes() as i32 / 15).rev();
    let quarters = quarters.map(move |quarter| start.plus_minutes(f64::from(quarter) * 15.0));
    best.filter(|_| model.looked_at.is_some()).into_iter().chain(quarters)
}

/// A stroke across a path with words beside it; false where there is no room for both.
fn mark(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    (trail, at, galley): (&Trail, Instant, Arc<Galley>),
    taken: &mut Taken,
) -> bool {
    let Some(sample) = model.open.derived.prepared.sample(trail.target_index, at) else { return false };
    let centre = pos2(layout.axis.x(at), layout.altitude_y(trail.lane, sample.altitude));
    let size = galley.size();
    let later = model.open.derived.prepared.sample(trail.target_index, at.plus_minutes(1.0));
    let climbs = later.is_none_or(|later| later.altitude > sample.altitude);
    // Clear of the path itself: before it over a path that climbs, behind it under one; the other way where it sinks.
    let (over, under) = if climbs {
        (Align2::RIGHT_BOTTOM, Align2::LEFT_TOP)
    } else {
        (Align2::LEFT_BOTTOM, Align2::RIGHT_TOP)
    };
    let away = |points: f32| vec2(0.0, points);
    let places = [
        over.anchor_size(centre - away(NEAR), size),
        under.anchor_size(centre + away(NEAR), size),
        Align2::CENTER_BOTTOM.anchor_size(centre - away(SPACE), size),
        Align2::CENTER_TOP.anchor_size(centre + away(SPACE), size),
    ];
    let tick = Rect::from_center_size(centre, vec2(2.0, 2.0 * TICK));
    let lane = layout.lanes.get(trail.lane).copied().unwrap_or(Rect::NOTHING);
    let free = |place: &Rect| {
        lane.contains_rect(place.shrink2(vec2(0.0, NEAR)))
            && taken.is_free(layout, place.shrink2(vec2(0.0, NEAR)))
            && taken.is_free(layout, tick)
    };
    let Some(place) = places.into_iter().find(free) else { return false };
    painter.vline(centre.x, tick.y_range(), trail_stroke(tokens, trail));
    painter.galley(place.min, galley, tokens.ink);
    taken.take(place);
    true
}
