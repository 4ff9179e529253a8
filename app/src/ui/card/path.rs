//! Paints the path of the target over the hours: its altitude, the horizon and the mount's limits, the stop on it.

use egui::{Align, Align2, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2};
use evenfall_core::chart::thin;
use evenfall_core::sheet::numbers;
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;

use super::Subject;
use super::evening_chart::{Chart, HOURS, TOWARDS};
use super::words;
use crate::ui::parts::small;
use crate::ui::text;
use crate::ui::theme::{SMALL, Tokens, semibold};

/// Least distance between two hours on the axis.
const HOUR_SPACE: f32 = 42.0;
/// A limit is named where the path is so far from it, in degrees.
const CLEAR_DEG: f64 = 14.0;
/// A highest altitude from here on is not drawn, in degrees.
const NEAR_ZENITH_DEG: f64 = 85.0;

/// Paints the path over its hours; the minute that is read apart, over the strips.
pub(super) fn paint(painter: &Painter, tokens: &Tokens, subject: &Subject<'_>, chart: &Chart, at: Instant) {
    let path = chart.path;
    let inner = painter.with_clip_rect(painter.clip_rect().intersect(path));
    painter.rect_filled(path, 0.0, tokens.raised);
    if let Some(stop) = subject.stop {
        let x = chart.axis.x(stop.start())..=chart.axis.x(stop.end());
        inner.rect_filled(Rect::from_x_y_ranges(x, path.y_range()), 0.0, tokens.accent_soft);
    }
    for degrees in [30.0, 60.0, 90.0] {
        let y = chart.altitude_y(Angle::from_degrees(degrees));
        painter.hline(path.x_range(), y, Stroke::new(1.0, tokens.hair));
        let anchor = if degrees > 80.0 { Align2::RIGHT_TOP } else { Align2::RIGHT_CENTER };
        let words = numbers::degrees(Angle::from_degrees(degrees));
        small(painter, pos2(path.left() - 4.0, y), anchor, words, tokens.quiet);
    }
    let y = chart.altitude_y(Angle::from_degrees(75.0));
    small(painter, pos2(chart.whole.left(), y), Align2::LEFT_CENTER, text::ALTITUDE, tokens.quiet);
    hours(painter, tokens, subject, chart);
    ground(&inner, tokens, subject, chart);
    curve(&inner, tokens, subject, chart);
    if let Some(sample) = subject.sample(at) {
        let y = chart.altitude_y(sample.altitude.max(Angle::ZERO));
        let words = numbers::degrees(sample.altitude);
        let y = y.clamp(path.top() + 8.0, path.bottom() - 8.0);
        small(painter, pos2(chart.whole.right(), y), Align2::RIGHT_CENTER, words, tokens.ink);
    }
    painter.rect_stroke(path, 0.0, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
}

/// Hours with the direction of the target below each.
fn hours(painter: &Painter, tokens: &Tokens, subject: &Subject<'_>, chart: &Chart) {
    let night = &subject.prepared().night.local;
    let axis = chart.axis;
    let y = chart.path.bottom() + HOURS / 2.0 + 1.0;
    let left = chart.whole.left();
    let clock = format!("{} {}", text::CLOCK, night.zone_label(axis.span.start()));
    small(painter, pos2(left, y), Align2::LEFT_CENTER, clock, tokens.quiet);
    small(painter, pos2(left, y + TOWARDS), Align2::LEFT_CENTER, words::TOWARDS, tokens.quiet);
    let ticks = axis.ticks(night, axis.label_step_minutes(HOUR_SPACE).max(60));
    // The first hour after a change of clocks names the new zone; others near it give way.
    let change = night.clock_change().filter(|change| axis.span.contains(*change));
    let renamed = change.and_then(|change| ticks.iter().copied().find(|tick| *tick >= change));
    for tick in ticks {
        let x = axis.x(tick);
        painter.vline(x, chart.path.y_range(), Stroke::new(1.0, tokens.hair));
        painter.vline(x, chart.path.bottom()..=chart.path.bottom() + 4.0, Stroke::new(1.0, tokens.edge));
        let near = |other: Instant| other != tick && (axis.x(other) - x).abs() < 1.6 * HOUR_SPACE;
        if renamed.is_some_and(near) {
            continue;
        }
        let label = if renamed == Some(tick) {
            numbers::clock_with_zone(night, tick)
        } else {
            numbers::clock(night.local(tick))
        };
        let galley = painter.layout_no_wrap(label, semibold(SMALL), tokens.ink);
        let left = (x - galley.size().x / 2.0).max(axis.left);
        painter.galley(pos2(left, y - galley.size().y / 2.0), galley, tokens.ink);
        if let Some(sample) = subject.sample(tick) {
            let wind = numbers::compass_letters(sample.azimuth);
            small(painter, pos2(x, y + TOWARDS), Align2::CENTER_CENTER, wind, tokens.quiet);
        }
    }
}

/// The site's horizon where the target stands, and the mount's limit over it.
fn ground(painter: &Painter, tokens: &Tokens, subject: &Subject<'_>, chart: &Chart) {
    let stock = &subject.open.document.stock;
    let moments = &subject.prepared().moments;
    let within = moments.iter().filter(|moment| chart.axis.span.contains(moment.instant));
    let edge: Vec<Pos2> = within
        .filter_map(|moment| {
            let sample = subject.sample(moment.instant)?;
            let horizon = stock.site.horizon.altitude(sample.azimuth);
            Some(pos2(chart.axis.x(moment.instant), chart.altitude_y(horizon)))
        })
        .collect();
    let edge = thin(&edge, |corner| (corner.x, corner.y));
    let mut mesh = Mesh::default();
    for (position, top) in edge.iter().enumerate() {
        mesh.colored_vertex(*top, tokens.earth);
        mesh.colored_vertex(pos2(top.x, chart.path.bottom()), tokens.earth);
        if position > 0 {
            let first = 2 * position as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.add(Shape::line(edge, Stroke::new(1.2, tokens.edge)));
    let mount = &stock.rig.mount;
    // A limit close to the zenith would only thicken the frame; what the keyhole bars is dashed on the path itself.
    let highest = Some(mount.highest_altitude).filter(|highest| highest.degrees() < NEAR_ZENITH_DEG);
    for (limit, anchor) in [(Some(mount.lowest_altitude), Align2::LEFT_BOTTOM), (highest, Align2::LEFT_TOP)] {
        let Some(limit) = limit else { continue };
        let y = chart.altitude_y(limit);
        let ends = [pos2(chart.path.left(), y), pos2(chart.path.right(), y)];
        painter.extend(Shape::dashed_line(&ends, Stroke::new(1.0, tokens.edge), 3.0, 3.0));
        limit_name(painter, tokens, subject, chart, (limit, y, anchor));
    }
}

/// The name of a limit, at that end of its line which is farther from the path.
fn limit_name(
    painter: &Painter,
    tokens: &Tokens,
    subject: &Subject<'_>,
    chart: &Chart,
    (limit, y, anchor): (Angle, f32, Align2),
) {
    let span = chart.axis.span;
    let off =
        |at| subject.sample(at).map_or(f64::INFINITY, |sample| (sample.altitude - limit).abs().degrees());
    let ends = (off(span.start().plus_minutes(30.0)), off(span.end().plus_minutes(-30.0)));
    if ends.0.max(ends.1) < CLEAR_DEG {
        return;
    }
    let left = ends.0 >= ends.1;
    let (x, side) =
        if left { (chart.path.left() + 4.0, Align::Min) } else { (chart.path.right() - 4.0, Align::Max) };
    small(painter, pos2(x, y), Align2([side, anchor.y()]), words::MOUNT_LIMIT, tokens.quiet);
}

/// The path: a line where it may be shown, dashes where not, thick at the stop.
fn curve(painter: &Painter, tokens: &Tokens, subject: &Subject<'_>, chart: &Chart) {
    let allowed = |at: Instant| {
        subject.told.and_then(|told| told.minute(at)).is_none_or(|minute| minute.limit.is_none())
    };
    let shown = subject.stop.map(|stop| stop.interval);
    let (mut free, mut barred, mut own) = (vec![Vec::new()], vec![Vec::new()], Vec::new());
    let mut last_free = None;
    for moment in &subject.prepared().moments {
        let at = moment.instant;
        let Some(sample) = subject.sample(at).filter(|_| chart.axis.span.contains(at)) else { continue };
        let point = pos2(chart.axis.x(at), chart.altitude_y(sample.altitude));
        let is_free = allowed(at);
        if last_free.is_some_and(|last| last != is_free) {
            // Both sorts meet in this point.
            let (ending, beginning) =
                if is_free { (&mut barred, &mut free) } else { (&mut free, &mut barred) };
            ending.last_mut().expect("there is one at least").push(point);
            beginning.push(Vec::new());
        }
        let line = if is_free { &mut free } else { &mut barred };
        line.last_mut().expect("there is one at least").push(point);
        last_free = Some(is_free);
        if shown.is_some_and(|shown| shown.contains(at)) {
            own.push(point);
        }
    }
    for line in free {
        painter.add(Shape::line(thin(&line, |corner| (corner.x, corner.y)), Stroke::new(1.6, tokens.edge)));
    }
    for line in barred {
        painter.extend(Shape::dashed_line(
            &thin(&line, |corner| (corner.x, corner.y)),
            Stroke::new(1.2, tokens.edge),
            2.0,
            3.0,
        ));
    }
    painter.add(Shape::line(thin(&own, |corner| (corner.x, corner.y)), Stroke::new(4.0, tokens.accent)));
}

/// The line of the minute that is read, through path and strips.
pub(super) fn paint_minute(
    painter: &Painter,
    tokens: &Tokens,
    subject: &Subject<'_>,
    chart: &Chart,
    at: Instant,
) {
    let x = chart.axis.x(at);
    let stroke = Stroke::new(1.2, tokens.ink);
    painter.vline(x, chart.path.y_range(), stroke);
    painter.vline(x, chart.path.bottom() + HOURS + TOWARDS..=chart.whole.bottom(), stroke);
    if let Some(sample) = subject.sample(at).filter(|sample| sample.altitude > Angle::ZERO) {
        let spot = pos2(x, chart.altitude_y(sample.altitude));
        painter.circle_filled(spot, 4.0, tokens.accent);
        painter.circle_stroke(spot, 4.0, Stroke::new(1.0, tokens.raised));
    }
}
