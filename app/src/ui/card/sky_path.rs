//! The path across the sky: azimuth along, altitude up, the site's horizon filled, hours marked.

use egui::{Align2, Mesh, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::plan::Sample;
use evenfall_core::sheet::numbers;
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;

use super::Subject;
use crate::ui::parts::{heading, name_drawing, small};
use crate::ui::text;
use crate::ui::theme::{SMALL, Tokens, semibold};

const HEIGHT: f32 = 118.0;
/// Room for the names of the winds below and of altitudes on the left.
const FOOT: f32 = 16.0;
const SIDE: f32 = 28.0;
/// Azimuth shown to both sides of the middle of the path, in degrees: half the horizon.
const HALF_WIDTH_DEG: f64 = 100.0;
/// Minutes between two corners of the path.
const STEP_MINUTES: usize = 4;

struct View {
    rect: Rect,
    middle: Angle,
}

impl View {
    fn place(&self, azimuth: Angle, altitude: Angle) -> Pos2 {
        let across = (azimuth - self.middle).wrapped_signed().degrees() / HALF_WIDTH_DEG;
        let up = altitude.degrees() / 90.0;
        pos2(
            self.rect.center().x + across as f32 * self.rect.width() / 2.0,
            self.rect.bottom() - up as f32 * self.rect.height(),
        )
    }
}

/// Draws it.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    heading(ui, text::SKY_PATH);
    let Some((index, target)) = subject.target else { return };
    let prepared = &subject.open.derived.prepared;
    let Some(track) = prepared.tracks.get(index) else { return };
    let (whole, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let best = prepared.availability.get(index).and_then(|known| known.best).map(|(at, _)| at);
    let shown = subject.stop.map(|stop| stop.interval);
    let doors = prepared.doors;
    let middle_of_doors = doors.start().plus_seconds(doors.seconds() / 2.0);
    let moment = shown.map(Interval::start).or(best).unwrap_or(middle_of_doors);
    let Some(here) = prepared.sample(index, moment) else { return };
    name_drawing(&response, &words(&target.name, here));
    let rect = Rect::from_min_max(pos2(whole.left() + SIDE, whole.top() + 2.0), whole.max - vec2(2.0, FOOT));
    let view = View { rect, middle: here.azimuth };
    let painter = ui.painter().with_clip_rect(whole);
    let inner = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, tokens.raised);
    scale(&painter, tokens, &view, whole);
    horizon(&inner, tokens, &view, subject);
    path(&inner, tokens, &view, prepared, &track.samples, shown);
    let spot = view.place(here.azimuth, here.altitude);
    inner.circle_filled(spot, 4.5, tokens.accent);
    inner.circle_stroke(spot, 7.5, Stroke::new(1.5, tokens.accent));
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
}

fn words(name: &str, here: &Sample) -> String {
    format!(
        "{}: {name} at altitude {}, {} {}",
        text::SKY_PATH,
        numbers::degrees(here.altitude),
        numbers::compass_word(here.azimuth),
        numbers::azimuth_degrees(here.azimuth),
    )
}

fn scale(painter: &Painter, tokens: &Tokens, view: &View, whole: Rect) {
    for degrees in [30.0, 60.0, 90.0] {
        let altitude = Angle::from_degrees(degrees);
        let y = view.place(view.middle, altitude).y;
        painter.hline(view.rect.x_range(), y, Stroke::new(1.0, tokens.hair));
        let anchor = if degrees > 80.0 { Align2::RIGHT_TOP } else { Align2::RIGHT_CENTER };
        small(painter, pos2(view.rect.left() - 3.0, y), anchor, numbers::degrees(altitude), tokens.quiet);
    }
    for step in 0..8 {
        let azimuth = Angle::from_degrees(45.0 * f64::from(step));
        let x = view.place(azimuth, Angle::ZERO).x;
        if view.rect.x_range().contains(x) {
            painter.vline(x, view.rect.y_range(), Stroke::new(1.0, tokens.hair));
            let at =
                pos2(x.clamp(view.rect.left() + 8.0, view.rect.right() - 8.0), whole.bottom() - FOOT + 1.0);
            let wind = numbers::compass_letters(azimuth);
            painter.text(at, Align2::CENTER_TOP, wind, semibold(SMALL), tokens.ink);
        }
    }
}

fn horizon(painter: &Painter, tokens: &Tokens, view: &View, subject: &Subject<'_>) {
    let horizon = &subject.open.document.stock.site.horizon;
    let mut mesh = Mesh::default();
    let mut edge = Vec::new();
    for step in 0..=100 {
        let across = HALF_WIDTH_DEG * (f64::from(step) / 50.0 - 1.0) * 0.999;
        let azimuth = view.middle + Angle::from_degrees(across);
        let top = view.place(azimuth, horizon.altitude(azimuth));
        mesh.colored_vertex(top, tokens.earth);
        mesh.colored_vertex(pos2(top.x, view.rect.bottom()), tokens.earth);
        edge.push(top);
        if step > 0 {
            let first = 2 * step as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.add(Shape::line(edge, Stroke::new(1.2, tokens.edge)));
}

fn path(
    painter: &Painter,
    tokens: &Tokens,
    view: &View,
    prepared: &evenfall_core::plan::Prepared,
    samples: &[Sample],
    shown: Option<Interval>,
) {
    let stretch = |from: usize, to: usize, step: usize| -> Vec<Vec<Pos2>> {
        let mut pieces: Vec<Vec<Pos2>> = vec![Vec::new()];
        for index in (from..=to).step_by(step) {
            let Some(sample) = samples.get(index) else { break };
            let place = view.place(sample.azimuth, sample.altitude);
            let jumps = pieces
                .last()
                .and_then(|piece| piece.last())
                .is_some_and(|last: &Pos2| (last.x - place.x).abs() > view.rect.width() / 2.0);
            if jumps {
                pieces.push(Vec::new());
            }
            if let Some(piece) = pieces.last_mut() {
                piece.push(place);
            }
        }
        pieces
    };
    for piece in stretch(0, samples.len().saturating_sub(1), STEP_MINUTES) {
        painter.add(Shape::line(piece, Stroke::new(1.2, tokens.edge)));
    }
    if let Some(shown) = shown {
        let (from, to) = (prepared.moment_index(shown.start()), prepared.moment_index(shown.end()));
        for piece in stretch(from, to, 1) {
            painter.add(Shape::line(piece, Stroke::new(4.0, tokens.accent)));
        }
    }
    let night = &prepared.night.local;
    for (moment, sample) in prepared.moments.iter().zip(samples) {
        let clock = numbers::clock(night.local(moment.instant));
        if clock.ends_with(":00") && sample.altitude > Angle::ZERO {
            let at = view.place(sample.azimuth, sample.altitude);
            painter.circle_filled(at, 2.4, tokens.ink);
            small(painter, at - vec2(0.0, 3.0), Align2::CENTER_BOTTOM, &clock[..2], tokens.ink);
        }
    }
}
