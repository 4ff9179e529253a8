//! The target in the field of each port: one tile for a port, all its eyepieces side by side, with the verdict in words.

use egui::{Label, Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};
use evenfall_core::assign::{Fit, PortChoice};
use evenfall_core::catalogue::Target;
use evenfall_core::rig::{FieldShape, Instrument, Port, fields_of_port};
use evenfall_core::sheet::wording::{fit_phrase, limit_phrase, reason_sentence, view_word};
use evenfall_core::sheet::{lower_first, port_letter};
use evenfall_core::units::{Angle, Fraction};

use super::Subject;
use super::field_shapes::{Picture, Scale, eyepiece_words};
use super::orientation::{turns_by, up_in_field};
use super::words;
use crate::state::{AppState, Command};
use crate::ui::parts::{command_button, name_drawing, quiet};
use crate::ui::text;
use crate::ui::theme::{BODY, CORNER, SPACE, TIGHT, Tokens, semibold};

const DRAWING_HEIGHT: f32 = 96.0;
const EYEPIECES_HEIGHT: f32 = 124.0;
/// Room below a field for its scale.
const FOOT: f32 = 17.0;
/// Room below an eyepiece's circle for its name, and for its scale.
const EYEPIECE_FOOT: f32 = 53.0;
/// The outline takes this much of the room at most.
const FILLED: f32 = 0.9;
/// How many times the field is shown at most, when the target is larger.
const WIDEST: f64 = 2.4;
/// A field that turns by less than this in a stop is not told of.
const TURN_WORTH_TELLING: Angle = Angle::from_degrees(1.0);

/// Draws one tile for each port in the order of the rig: two beside one another, all eyepieces of a port in one row.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    let Some((_, target)) = subject.target else { return };
    let ports = subject.rig().ports.iter().enumerate();
    let choices =
        ports.filter_map(|(position, port)| Some((position, port, subject.choice(subject.at, position)?)));
    let mut half: Vec<(usize, &Port, &PortChoice)> = Vec::new();
    for place in choices {
        if place.1.is_eyepiece() {
            pair(ui, state, tokens, subject, (&half, target), commands);
            half.clear();
            tile(ui, state, tokens, subject, (place, target), commands);
            ui.add_space(TIGHT);
        } else {
            half.push(place);
            if half.len() == 2 {
                pair(ui, state, tokens, subject, (&half, target), commands);
                half.clear();
            }
        }
    }
    pair(ui, state, tokens, subject, (&half, target), commands);
    ui.add(Label::new(quiet(tokens, words::AS_ON_THE_SKY)).wrap());
}

type Place<'a> = (usize, &'a Port, &'a PortChoice);

fn pair(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    (places, target): (&[Place<'_>], &Target),
    commands: &mut Vec<Command>,
) {
    if places.is_empty() {
        return;
    }
    let width = (ui.available_width() - SPACE) / 2.0;
    ui.horizontal_top(|ui| {
        for place in places {
            ui.vertical(|ui| {
                ui.set_width(width);
                tile(ui, state, tokens, subject, (*place, target), commands);
            });
        }
    });
    ui.add_space(TIGHT);
}

fn tile(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    ((position, port, choice), target): (Place<'_>, &Target),
    commands: &mut Vec<Command>,
) {
    ui.spacing_mut().item_spacing.y = 3.0;
    let in_use = subject.stop.and_then(|stop| stop.show()).is_some_and(|show| show.port == port.id);
    let title = format!("{}  {}", port_letter(position), port.name);
    ui.add(Label::new(RichText::new(title).font(semibold(BODY - 1.0))).wrap());
    let height = if port.is_eyepiece() { EYEPIECES_HEIGHT } else { DRAWING_HEIGHT };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let words = caption(subject, position, choice);
    let turned = turned(subject, port, choice, target);
    let turned = turned.map_or_else(String::new, |turned| format!(", {turned}"));
    name_drawing(&response, &format!("{} on {}: {words}{turned}", target.name, port.name));
    draw(ui, tokens, subject, rect, (port, choice, target));
    let stroke = if in_use { Stroke::new(2.0, tokens.accent) } else { Stroke::new(1.0, tokens.hair) };
    ui.painter().rect_stroke(rect, CORNER, stroke, StrokeKind::Inside);
    let used = if in_use { format!("{}: ", text::PORT_IN_USE) } else { String::new() };
    ui.add(Label::new(quiet(tokens, format!("{used}{words}{turned}"))).wrap());
    if let Some(stop) = subject.stop.filter(|stop| stop.show().is_some() && !in_use) {
        // What shows nothing can still be chosen, for those who know better: its button says so.
        let shows_nothing = choice.view == Fraction::ZERO;
        let word = if shows_nothing { words::USE_ALL_THE_SAME } else { text::USE_PORT };
        let name = if shows_nothing {
            format!("{word}: {}, which cannot show it then", port.name)
        } else {
            format!("{word} {}", port.name)
        };
        let command = Command::SetPort(stop.id, port.id.clone());
        command_button(ui, state, commands, (word, &name), command);
    }
}

/// The verdict of a port in the minute that is read: how well it shows how much of the target, or why not.
fn caption(subject: &Subject<'_>, position: usize, choice: &PortChoice) -> String {
    // A pair is always a speck in its field: how far apart it is tells more.
    let pair = subject.target.and_then(|(_, target)| target.double.as_ref());
    let fit = pair.map_or_else(|| fit_phrase(&choice.fit), |pair| words::apart(pair.separation));
    let limit = subject.limit(subject.at);
    // A slit has no fit; the size of what it is held against may be known all the same.
    if let (Some(limit), Fit::Unknown) = (limit, &choice.fit)
        && pair.is_none()
    {
        return limit_phrase(limit).to_owned();
    }
    if limit.is_some() || subject.port_minute(subject.at, position).is_none() {
        return fit;
    }
    let verdict = view_word(choice.view);
    match choice.reasons().next().filter(|_| choice.view == Fraction::ZERO) {
        Some(reason) => format!("{verdict}: {}", lower_first(&reason_sentence(reason))),
        None => format!("{verdict}; {fit}"),
    }
}

/// How the field is turned or turns, where the target has a direction to it or a part of it is cut off.
fn turned(subject: &Subject<'_>, port: &Port, choice: &PortChoice, target: &Target) -> Option<String> {
    let has_direction = target.position_angle.is_some() || matches!(choice.fit, Fit::Part { .. });
    if !has_direction || matches!(choice.fit, Fit::Dot) || choice.view == Fraction::ZERO {
        return None;
    }
    if port.derotator {
        let rectangle = matches!(choice.field.shape, FieldShape::Rectangle(..));
        return (rectangle && target.position_angle.is_some()).then(|| words::ROTATOR.to_owned());
    }
    let by = turns_by(port, &subject.samples_of_stop()?);
    (by.abs() >= TURN_WORTH_TELLING).then(|| words::turns(by))
}

fn draw(
    ui: &Ui,
    tokens: &Tokens,
    subject: &Subject<'_>,
    rect: Rect,
    (port, choice, target): (&Port, &PortChoice, &Target),
) {
    let painter = ui.painter().with_clip_rect(ui.clip_rect().intersect(rect));
    painter.rect_filled(rect, CORNER, tokens.raised);
    let (Some((index, _)), Some(sample)) = (subject.target, subject.sample(subject.at)) else { return };
    let track = subject.prepared().tracks.get(index);
    let moment = subject.prepared().moments.get(subject.prepared().moment_index(subject.at));
    let picture = Picture {
        target,
        appearance: track.and_then(|track| track.appearance.as_ref()).filter(|seen| seen.has_disc()),
        rings: track.and_then(|track| track.rings.as_ref()),
        sample: &sample,
        sun: moment.map(|moment| &moment.sun),
        face: moment.map(|moment| &moment.moon_face),
        up: up_in_field(port, choice, target, &sample),
    };
    let Instrument::Eyepieces(eyepieces) = &port.instrument else {
        let room = rect.with_max_y(rect.bottom() - FOOT);
        let scale = Scale::of_field(choice.field.shape, picture.long(), room.size() * FILLED, WIDEST);
        let inner = painter.with_clip_rect(painter.clip_rect().intersect(room));
        picture.paint(&inner, tokens, room.center(), (choice.field.shape, scale, true));
        scale.bar(&painter, tokens, pos2(rect.left() + 6.0, rect.bottom() - 8.0), rect.width() * 0.4);
        return;
    };
    // Each circle is as wide as the eyepiece's field looks to the eye, so a larger target is one that looks larger.
    let fields = fields_of_port(&subject.rig().telescope, port);
    let column = rect.width() / fields.len().max(1) as f32;
    let widest = eyepieces.iter().map(|eyepiece| eyepiece.apparent_field).fold(Angle::ZERO, Angle::max);
    let room = (column * 0.94).min(rect.height() - EYEPIECE_FOOT - 4.0);
    for (place, (field, eyepiece)) in fields.iter().zip(eyepieces).enumerate() {
        let Some(view) = &field.eyepiece else { continue };
        let centre = pos2(rect.left() + (place as f32 + 0.5) * column, rect.top() + 4.0 + room / 2.0);
        let diameter = room * (eyepiece.apparent_field / widest) as f32;
        let scale = Scale::across(view.true_field, diameter);
        let chosen = choice.field.eyepiece.as_ref().is_some_and(|own| own.index == view.index);
        let own = Rect::from_center_size(centre, vec2(column - 4.0, room + 4.0));
        let inner = painter.with_clip_rect(painter.clip_rect().intersect(own));
        picture.paint(&inner, tokens, centre, (field.shape, scale, chosen));
        let foot = pos2(centre.x, rect.bottom() - EYEPIECE_FOOT + 3.0);
        eyepiece_words(&painter, tokens, foot, view, chosen);
        scale.bar_centred(&painter, tokens, pos2(centre.x, rect.bottom() - 8.0), column * 0.34);
    }
}
