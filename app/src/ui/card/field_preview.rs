//! The target in the field of each port, to scale: outline of the field, ellipse of the target, a scale bar.

use std::f32::consts::TAU;

use egui::{Align2, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::assign::PortChoice;
use evenfall_core::catalogue::Target;
use evenfall_core::rig::FieldShape;
use evenfall_core::sheet::wording::{fit_phrase, view_word};
use evenfall_core::sheet::{numbers, port_letter};
use evenfall_core::units::Angle;

use super::Subject;
use crate::state::{AppState, Command};
use crate::ui::parts::{command_button, heading, name_drawing, quiet, small};
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, SPACE, TIGHT, Tokens, semibold};

const DRAWING_HEIGHT: f32 = 92.0;
/// The outline takes this much of the drawing.
const FILLED: f32 = 0.84;
/// How many times the field is shown at most, when the target is larger.
const WIDEST: f64 = 2.4;
/// Round lengths of the scale bar, in arcseconds.
const BARS_ARCSEC: [f64; 12] = [1.0, 2.0, 5.0, 10.0, 20.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 3600.0, 7200.0];

/// Draws one tile for each port, two beside one another, in the order of the rig.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    let Some((index, target)) = subject.target else { return };
    heading(ui, text::FIELDS);
    let ports = &subject.open.document.stock.rig.ports;
    let width = (ui.available_width() - SPACE) / 2.0;
    let long = long_axis(subject, index, target);
    for pair in (0..ports.len()).collect::<Vec<_>>().chunks(2) {
        ui.horizontal_top(|ui| {
            for position in pair {
                let port = &ports[*position];
                let choice = subject.choices().iter().find(|choice| choice.port == port.id);
                let Some(choice) = choice else { continue };
                ui.vertical(|ui| {
                    ui.set_width(width);
                    tile(ui, state, tokens, subject, (*position, choice, target, long), commands);
                });
            }
        });
        ui.add_space(TIGHT);
    }
}

/// Long and short axis as drawn: as catalogued, or a body's disc tonight, or the space of a pair.
fn long_axis(subject: &Subject<'_>, index: usize, target: &Target) -> Option<(Angle, Angle)> {
    let appearance =
        subject.open.derived.prepared.tracks.get(index).and_then(|track| track.appearance.as_ref());
    target
        .size
        .or_else(|| appearance.map(|seen| (seen.diameter, seen.diameter)))
        .or_else(|| target.double.as_ref().map(|double| (double.separation, Angle::ZERO)))
}

fn tile(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    (position, choice, target, size): (usize, &PortChoice, &Target, Option<(Angle, Angle)>),
    commands: &mut Vec<Command>,
) {
    let port = &subject.open.document.stock.rig.ports[position];
    let in_use = subject.stop.and_then(|stop| stop.show()).is_some_and(|show| show.port == port.id);
    let title = format!("{}  {}", port_letter(position), port.name);
    ui.add(egui::Label::new(egui::RichText::new(title).font(semibold(BODY - 1.0))).truncate());
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), DRAWING_HEIGHT), Sense::hover());
    let fit = fit_phrase(&choice.fit);
    name_drawing(&response, &format!("{} on {}: {fit}", target.name, port.name));
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CORNER, tokens.raised);
    draw(&painter, tokens, rect, choice, target, size);
    let stroke = if in_use { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.hair) };
    painter.rect_stroke(rect, CORNER, stroke, StrokeKind::Inside);
    ui.label(quiet(tokens, format!("{}, {fit}", view_word(choice.view))));
    if let Some(stop) = subject.stop.filter(|stop| stop.show().is_some()) {
        if in_use {
            ui.label(quiet(tokens, text::PORT_IN_USE));
        } else {
            let name = format!("{} {}", text::USE_PORT, port.name);
            let command = Command::SetPort(stop.id, port.id.clone());
            command_button(ui, state, commands, (text::USE_PORT, &name), command);
        }
    }
}

fn draw(
    painter: &Painter,
    tokens: &Tokens,
    rect: Rect,
    choice: &PortChoice,
    target: &Target,
    size: Option<(Angle, Angle)>,
) {
    let (across, up) = match choice.field.shape {
        FieldShape::Rectangle(width, height) => (width, height),
        FieldShape::Circle(diameter) => (diameter, diameter),
        FieldShape::Slit(_, length) => (length, length),
    };
    let room = vec2(rect.width(), rect.height() - 16.0) * FILLED;
    // A target larger than the field widens the view, up to the point where the field itself would get lost.
    let long = size.map_or(Angle::ZERO, |(long, _)| long);
    let needed = |side: Angle| side.max(long.min(side * WIDEST)).arcseconds() as f32;
    let scale = (room.x / needed(across)).min(room.y / needed(up));
    let points = |angle: Angle| angle.arcseconds() as f32 * scale;
    let centre = pos2(rect.center().x, rect.top() + (rect.height() - 16.0) / 2.0);
    match choice.field.shape {
        FieldShape::Rectangle(width, height) => {
            let outline = Rect::from_center_size(centre, vec2(points(width), points(height)));
            painter.rect_stroke(outline, 0.0, Stroke::new(1.5, tokens.edge), StrokeKind::Middle);
        }
        FieldShape::Circle(diameter) => {
            painter.circle_stroke(centre, points(diameter) / 2.0, Stroke::new(1.5, tokens.edge));
        }
        FieldShape::Slit(width, length) => {
            let outline = Rect::from_center_size(centre, vec2(points(width).max(2.0), points(length)));
            painter.rect_stroke(outline, 0.0, Stroke::new(1.5, tokens.edge), StrokeKind::Middle);
        }
    }
    target_shape(painter, tokens, centre, target, size, points);
    scale_bar(painter, tokens, rect, scale);
}

/// The target: an ellipse, two dots for a pair, one dot where its size is none or not known. North is up and east
/// left, as on the sky.
fn target_shape(
    painter: &Painter,
    tokens: &Tokens,
    centre: Pos2,
    target: &Target,
    size: Option<(Angle, Angle)>,
    points: impl Fn(Angle) -> f32,
) {
    let turned = |angle: Angle| vec2(-(angle.sin() as f32), -(angle.cos() as f32));
    if let Some(double) = &target.double {
        let half = turned(double.position_angle) * points(double.separation) / 2.0;
        painter.circle_filled(centre - half, 2.6, tokens.accent);
        painter.circle_filled(centre + half, 1.8, tokens.accent);
        return;
    }
    let Some((long, short)) = size else {
        painter.circle_filled(centre, 2.2, tokens.accent);
        return;
    };
    let (long, short) = (points(long) / 2.0, points(short) / 2.0);
    if long < 2.0 {
        painter.circle_filled(centre, 2.2, tokens.accent);
        return;
    }
    let along = turned(target.position_angle.unwrap_or(Angle::ZERO));
    let sideways = vec2(along.y, -along.x);
    let corners: Vec<Pos2> = (0..48)
        .map(|step| {
            let angle = TAU * step as f32 / 48.0;
            centre + along * long * angle.cos() + sideways * short.max(1.0) * angle.sin()
        })
        .collect();
    let fill = tokens.accent.gamma_multiply(0.22);
    painter.add(Shape::convex_polygon(corners, fill, Stroke::new(1.5, tokens.accent)));
}

fn scale_bar(painter: &Painter, tokens: &Tokens, rect: Rect, scale: f32) {
    let longest = f64::from(rect.width() * 0.4 / scale);
    let Some(length) = BARS_ARCSEC.into_iter().rev().find(|length| *length <= longest) else { return };
    let y = rect.bottom() - 8.0;
    let left = rect.left() + 6.0;
    let right = left + length as f32 * scale;
    let stroke = Stroke::new(1.5, tokens.ink);
    painter.hline(left..=right, y, stroke);
    painter.vline(left, y - 3.0..=y + 3.0, stroke);
    painter.vline(right, y - 3.0..=y + 3.0, stroke);
    let words = numbers::size(Angle::from_arcseconds(length));
    small(painter, pos2(right + 4.0, y), Align2::LEFT_CENTER, words, tokens.ink);
}
