//! Paints time and sky: hours, sky light, twilights, the Moon, and the reading under the pointer.

use std::sync::Arc;

use egui::{Align2, Color32, Galley, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use evenfall_core::chart::thin;
use evenfall_core::ephemeris::Body;
use evenfall_core::place::Source;
use evenfall_core::plan::Moment;
use evenfall_core::sheet::numbers;
use evenfall_core::time::Instant;
use evenfall_core::units::{Angle, SurfaceBrightness};

use super::hatch;
use super::layout::{BoardLayout, is_narrow};
use super::model::{Block, BoardModel};
use super::names::first_word;
use super::telescope::Travel;
use super::words;
use crate::ui::parts::{lines, small};
use crate::ui::sky_disc::{self, bright_limb, from_up};
use crate::ui::text;
use crate::ui::theme::{
    BOLD, FINE, HAIR, NEAR, SMALL, SMALLER, SPACE, STRONG, TIGHT, TINY, Tokens, regular, semibold,
};

/// Zenith brightness drawn as full day, in magnitudes per square arcsecond: that of civil twilight, near enough.
const BRIGHT_SKY: f64 = 8.0;
/// Height of the tick of an hour.
const TICK: f32 = 4.0;
/// The Moon's disc: its radius, and where it and its words stand in the margin.
const DISC: f32 = 8.0;
const BESIDE_DISC: f32 = 24.0;
/// What the label of an hour at the very left takes of the margin.
const FIRST_HOUR: f32 = 18.0;
/// A part of a move below the Board: its height, and its width for every second, as all of them to one scale.
const SAMPLE: f32 = 11.0;
const SAMPLE_A_SECOND: f32 = 0.5;
/// Height of the top of an hour's label over the sky light.
const LABEL_TOP: f32 = 21.0;
/// Least distance between two hours on the axis, in points.
const HOUR_SPACE: f32 = 54.0;

/// Paints everything above the lanes, and the lines of time through all of it.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    hours(painter, tokens, model, layout);
    sky_light(painter, tokens, model, layout);
    marks(painter, tokens, model, layout);
    moon(painter, tokens, model, layout);
}

/// Words in the margin, smaller where it is too narrow for them.
fn gutter(painter: &Painter, layout: &BoardLayout, y: f32, words: &str, ink: Color32) {
    // The first hour reaches to the left of its place.
    let room = layout.hours.left() - layout.whole.left() - FIRST_HOUR;
    let galley = painter.layout_no_wrap(words.to_owned(), regular(SMALL), ink);
    let galley = if galley.size().x > room {
        let size = (SMALL * room / galley.size().x).max(TINY);
        painter.layout_no_wrap(words.to_owned(), regular(size), ink)
    } else {
        galley
    };
    painter.galley(pos2(layout.whole.left(), y - galley.size().y / 2.0), galley, ink);
}

fn hours(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let night = &model.open.derived.prepared.night.local;
    gutter(painter, layout, layout.hours.center().y, &model.axis_words(), tokens.quiet);
    let points_a_minute = layout.hours.width() / (model.span.minutes().max(1.0) as f32);
    let step = [15_u32, 30, 60, 120].into_iter().find(|step| *step as f32 * points_a_minute >= HOUR_SPACE);
    let step = step.unwrap_or(180);
    let ticks = layout.axis.ticks(night, step);
    // The first hour after a change of clocks names the new zone; others near it give way.
    let renamed = model.change.and_then(|change| ticks.iter().copied().find(|tick| *tick >= change));
    let foot = layout.hours.bottom();
    for tick in ticks {
        let x = layout.axis.x(tick);
        let clock = numbers::clock(night.local(tick));
        let full_hour = clock.ends_with(":00");
        let label = if renamed == Some(tick) { model.clock(tick) } else { clock };
        painter.vline(x, foot - TICK..=foot, Stroke::new(HAIR, tokens.edge));
        for part in [layout.all_lanes(), layout.telescope, layout.line, layout.moon] {
            painter.vline(x, part.y_range(), Stroke::new(if full_hour { HAIR } else { FINE }, tokens.hair));
        }
        let near =
            renamed.is_some_and(|other| other != tick && (layout.axis.x(other) - x).abs() < HOUR_SPACE);
        if near {
            continue;
        }
        let font = if full_hour { semibold(SMALL) } else { regular(SMALL) };
        painter.text(pos2(x, foot - LABEL_TOP), Align2::CENTER_TOP, label, font, tokens.ink);
    }
    if let (Some(utc), Some(row)) = (&model.utc, layout.utc) {
        gutter(painter, layout, row.center().y, words::CLOCK_UTC, tokens.quiet);
        for tick in layout.axis.ticks(utc, step) {
            let x = layout.axis.x(tick);
            painter.vline(x, row.bottom() - TICK..=row.bottom(), Stroke::new(HAIR, tokens.edge));
            let clock = numbers::clock(utc.local(tick));
            let at = pos2(x, row.bottom() - LABEL_TOP);
            small(painter, at, Align2::CENTER_TOP, clock, tokens.quiet);
        }
    }
}

/// From 0, as bright as day, to 1, as dark as this site gets.
fn darkness(zenith: SurfaceBrightness, darkest: SurfaceBrightness) -> f32 {
    ((zenith.0 - BRIGHT_SKY) / (darkest.0 - BRIGHT_SKY).max(1.0)).clamp(0.0, 1.0) as f32
}

fn sky_light(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let rect = layout.sky;
    gutter(painter, layout, rect.center().y, text::SKY_LIGHT, tokens.quiet);
    let darkest = model.open.document.stock.site.zenith_brightness;
    let mut mesh = Mesh::default();
    let moments = model.open.derived.prepared.moments.iter();
    let visible = moments.filter(|moment| model.span.contains(moment.instant));
    for (position, moment) in visible.enumerate() {
        let colour = tokens.sky.0.lerp_to_gamma(tokens.sky.1, darkness(moment.zenith, darkest));
        let x = layout.axis.x(moment.instant);
        mesh.colored_vertex(pos2(x, rect.top()), colour);
        mesh.colored_vertex(pos2(x, rect.bottom()), colour);
        if position > 0 {
            let first = 2 * position as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.rect_stroke(rect, 0.0, Stroke::new(HAIR, tokens.edge), StrokeKind::Inside);
}

fn marks(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let rows = layout.mark_places.iter().map(|place| place.row + 1).max().unwrap_or(1);
    let row_height = layout.marks.height() / rows as f32;
    for (mark, place) in model.marks.iter().zip(&layout.mark_places) {
        let x = layout.axis.x(mark.at);
        let foot = layout.marks.top() + (place.row + 1) as f32 * row_height - NEAR;
        let width = if mark.strong { STRONG } else { HAIR };
        let stroke = Stroke::new(width, tokens.edge);
        painter.vline(x, layout.sky.top()..=foot, stroke);
        if mark.strong {
            for part in [layout.moon, layout.all_lanes(), layout.telescope, layout.line] {
                painter.vline(x, part.y_range(), stroke);
            }
        }
    }
    for (mark, place) in model.marks.iter().zip(&layout.mark_places) {
        let x = layout.axis.x(mark.at);
        let y = layout.marks.top() + place.row as f32 * row_height;
        let ink = if mark.strong { tokens.ink } else { tokens.quiet };
        let left_of = place.left + 1.0 < x;
        let (at, anchor) = if left_of {
            (pos2(x - TIGHT, y), Align2::RIGHT_TOP)
        } else {
            (pos2(x + TIGHT, y), Align2::LEFT_TOP)
        };
        let font = if mark.strong { semibold(SMALL) } else { regular(SMALL) };
        // The line of another mark never strikes a word through.
        let galley = painter.layout_no_wrap(mark.label.clone(), font, ink);
        let place = anchor.anchor_size(at, galley.size());
        painter.rect_filled(place, 0.0, tokens.ground);
        painter.galley(place.min, galley, ink);
    }
}

fn moon(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let rect = layout.moon;
    let prepared = &model.open.derived.prepared;
    let (middle, illuminated) = prepared.moon_illuminated_at_mid();
    let disc = pos2(layout.whole.left() + DISC + HAIR, rect.center().y);
    if let Some(Moment { moon, sun, .. }) = prepared.moments.get(prepared.moment_index(middle)) {
        let limb = bright_limb((moon.altitude, moon.azimuth), (sun.altitude, sun.azimuth));
        sky_disc::paint(painter, tokens, (disc, DISC), illuminated.value() as f32, from_up(limb));
    }
    let left = layout.whole.left() + BESIDE_DISC;
    // A share of the disc is that of a minute: half a night on it is another.
    let room = rect.left() - TIGHT - left;
    let fits =
        |words: &String| painter.layout_no_wrap(words.clone(), regular(SMALL), tokens.quiet).size().x <= room;
    let told = words::lit(&numbers::percent(illuminated), &model.clock(middle));
    let lit = told.iter().find(|words| fits(words)).unwrap_or(&told[2]);
    small(painter, pos2(left, rect.center().y), Align2::LEFT_BOTTOM, text::MOON, tokens.quiet);
    small(painter, pos2(left, rect.center().y - 1.0), Align2::LEFT_TOP, lit, tokens.quiet);
    let base = rect.bottom();
    let y = |altitude: Angle| base - (altitude.degrees().max(0.0) / 90.0) as f32 * rect.height();
    let moments = model.open.derived.prepared.moments.iter();
    let path: Vec<Pos2> = moments
        .filter(|moment| model.span.contains(moment.instant))
        .step_by(3)
        .map(|moment| pos2(layout.axis.x(moment.instant), y(moment.moon.altitude)))
        .collect();
    let path = thin(&path, |corner| (corner.x, corner.y));
    let mut mesh = Mesh::default();
    for (position, point) in path.iter().enumerate() {
        mesh.colored_vertex(*point, tokens.moon_soft);
        mesh.colored_vertex(pos2(point.x, base), tokens.moon_soft);
        if position > 0 {
            let first = 2 * position as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.hline(rect.x_range(), base, Stroke::new(HAIR, tokens.edge));
    painter.add(Shape::line(path, Stroke::new(BOLD, tokens.moon)));
    let altitude = |at| prepared.moments.get(prepared.moment_index(at)).map(|moment| moment.moon.altitude);
    let words = |altitude: Angle| {
        if altitude < Angle::ZERO { text::IS_DOWN.to_owned() } else { numbers::degrees(altitude) }
    };
    let (Some(first), Some(last)) = (altitude(model.span.start()), altitude(model.span.end())) else {
        return;
    };
    let y = base - 1.0;
    small(painter, pos2(rect.left() + TIGHT, y), Align2::LEFT_BOTTOM, words(first), tokens.ink);
    // Beside the strip there is room for a number; words stand inside it, once if the Moon is down at both ends.
    if last >= Angle::ZERO {
        small(painter, pos2(rect.right() + TIGHT, y), Align2::LEFT_BOTTOM, words(last), tokens.ink);
    } else if first >= Angle::ZERO {
        small(painter, pos2(rect.right() - TIGHT, y), Align2::RIGHT_BOTTOM, words(last), tokens.ink);
    }
}

/// The line of time under the pointer.
pub fn paint_pointer(painter: &Painter, tokens: &Tokens, layout: &BoardLayout, at: Instant) {
    let x = layout.axis.x(at);
    painter.vline(x, layout.sky.top()..=layout.line.bottom(), Stroke::new(HAIR, tokens.accent));
}

/// The lines at the bottom: what the sky is at the instant under the pointer, or at the selected stop, and the move to the
/// stop that is then.
pub fn paint_reading(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    rect: Rect,
    pointed: Option<Instant>,
) {
    let selected = model.blocks.iter().find(|block| block.selected);
    let at = pointed.or(selected.map(|block| block.interval.start()));
    let Some(at) = at.filter(|at| model.span.contains(*at)) else {
        let hint = lines(painter, text::READING_HINT, regular(SMALL), tokens.quiet, rect.width(), 2);
        painter.galley(rect.left_top() + vec2(0.0, NEAR), hint, tokens.quiet);
        return;
    };
    let then = model.blocks.iter().find(|block| {
        let from = block.travel.as_ref().map_or(block.interval.start(), Travel::leave);
        block.travel.is_some() && from <= at && at < block.interval.end()
    });
    let moves = then.filter(|_| pointed.is_some()).or(selected);
    let moves = moves.filter(|block| block.travel.is_some() && !is_narrow(rect.width()));
    let readings = [Length::Full, Length::Short, Length::Shortest].map(|length| reading(model, at, length));
    let set = |words: &str, size: f32, rows: usize| {
        lines(painter, words, regular(size), tokens.ink, rect.width(), rows)
    };
    let room = ((rect.height() - 2.0 * NEAR) / set("0", SMALL, 1).size().y).floor() as usize;
    // The move keeps a line of its own.
    let rows = room.saturating_sub(usize::from(moves.is_some())).max(1);
    let line = longest(&readings, |words, size| set(words, size, rows));
    let below = rect.top() + NEAR + line.size().y;
    painter.galley(rect.left_top() + vec2(0.0, NEAR), line, tokens.ink);
    if let Some(block) = moves {
        move_words(painter, tokens, model, block, rect.with_min_y(below + NEAR));
    }
}

/// The parts of a move to one scale, each with its pattern before its words; a sentence where there is no room.
fn move_words(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, block: &Block, rect: Rect) {
    let Some(travel) = &block.travel else { return };
    let set = |words: String| painter.layout_no_wrap(words, regular(SMALL), tokens.ink);
    let begins = set(words::move_begins(&block.title, &travel.total_words()));
    let ready = set(words::ready(&model.clock(travel.interval.end())));
    let parts: Vec<_> = travel
        .parts
        .iter()
        .map(|own| {
            let width = own.interval.seconds() as f32 * SAMPLE_A_SECOND;
            (own.part, width, set(Travel::part_words(own)))
        })
        .collect();
    let told: f32 = parts.iter().map(|(_, width, words)| width + TIGHT + words.size().x + SPACE).sum();
    if begins.size().x + SPACE + told + ready.size().x > rect.width() {
        let ready = model.clock(travel.interval.end());
        let words =
            [travel.words(&block.title, &ready), travel.short_words(&ready), travel.shortest_words(&ready)];
        let rows = (rect.height() / begins.size().y).floor() as usize;
        let line = longest(&words, |words, size| {
            lines(painter, words, regular(size), tokens.ink, rect.width(), rows.max(1))
        });
        painter.galley(rect.min, line, tokens.ink);
        return;
    }
    let middle = rect.top() + begins.size().y / 2.0;
    let put = |galley: Arc<Galley>, x: f32| {
        let size = galley.size();
        painter.galley(pos2(x, middle - size.y / 2.0), galley, tokens.ink);
        x + size.x + SPACE
    };
    let mut x = put(begins, rect.left());
    for (part, width, galley) in parts {
        let sample = Rect::from_min_size(pos2(x, middle - SAMPLE / 2.0), vec2(width, SAMPLE));
        hatch::part(painter, tokens, part, sample);
        x = put(galley, sample.right() + TIGHT);
    }
    put(ready, x);
}

/// The longest of some words, the longest first, that is set whole: in smaller type before so little is said as in the last.
fn longest(words: &[String; 3], set: impl Fn(&str, f32) -> Arc<Galley>) -> Arc<Galley> {
    let [full, short, shortest] = words;
    let tried = [(full, SMALL), (short, SMALL), (short, SMALLER), (shortest, SMALL)];
    let whole = tried.into_iter().map(|(words, size)| set(words, size)).find(|line| !line.elided);
    whole.unwrap_or_else(|| set(shortest, SMALLER))
}

/// How much is said: where there is little room, without units and airmass, and by the first word of a name.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Length {
    Full,
    Short,
    Shortest,
}

fn reading(model: &BoardModel<'_>, at: Instant, length: Length) -> String {
    let prepared = &model.open.derived.prepared;
    let mut parts = vec![numbers::clock_with_zone(&prepared.night.local, at)];
    let shown = model.blocks.iter().filter(|block| block.interval.contains(at));
    let selected = model.blocks.iter().filter(|block| block.selected);
    let target_index = shown.chain(selected).find_map(|block| block.target_index);
    let target_index = target_index.or(model.looked_at.map(|(target_index, _)| target_index));
    let target = target_index.and_then(|index| model.open.document.stock.catalogue.targets.get(index));
    if let Some((target_index, target)) = target_index.zip(target)
        && let Some(sample) = prepared.sample(target_index, at)
    {
        let airmass = sample
            .airmass
            .filter(|_| length == Length::Full)
            .map_or_else(String::new, |airmass| format!(", airmass {}", numbers::airmass(airmass)));
        let name = first_word(&target.name).filter(|_| length == Length::Shortest);
        parts.push(format!(
            "{} {} {}{airmass}",
            name.as_ref().unwrap_or(&target.name),
            numbers::degrees(sample.altitude),
            numbers::compass_letters(sample.azimuth),
        ));
    }
    parts.extend(model.line.as_ref().and_then(|band| band.words_at(at)));
    if let Some(moment) = prepared.moments.get(prepared.moment_index(at)) {
        let told = target.is_some_and(|target| target.source == Source::Body(Body::Moon));
        if !told {
            parts.push(format!("Moon {}", numbers::degrees(moment.moon.altitude)));
        }
        parts.push(format!("Sun {}", numbers::degrees(moment.sun.altitude)));
        parts.push(match length {
            Length::Full => text::zenith_sky(moment.zenith),
            _ => words::zenith(moment.zenith),
        });
    }
    parts.join(" · ")
}
