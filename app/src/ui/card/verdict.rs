//! The verdict: which port, how well it shows the target, what holds it back, and what was overruled.

use egui::{Label, Painter, Pos2, RichText, Sense, Shape, Stroke, Ui, vec2};
use evenfall_core::sheet::wording::{fit_phrase, limit_phrase, view_word};
use evenfall_core::sheet::{not_tonight_sentence, port_letter};

use super::Subject;
use super::words;
use crate::state::{AppState, Command};
use crate::ui::parts::{command_button, quiet};
use crate::ui::text;
use crate::ui::theme::{BODY, TIGHT, Tokens, semibold};

/// Draws it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    if subject.target.is_none() {
        return;
    }
    ui.add_space(TIGHT);
    let at = subject.worst();
    let Some((position, port)) = subject.shown_port() else {
        ui.label(quiet(tokens, text::NO_PORT_KNOWN));
        return;
    };
    let Some(choice) = subject.choice(at, position) else { return };
    let limit = subject.limit(at);
    if let (None, Some(_), Some((index, _))) = (subject.stop, limit, subject.target) {
        let never = not_tonight_sentence(&subject.names(), index);
        ui.add(Label::new(RichText::new(never).font(semibold(BODY))).wrap());
        return;
    }
    let eyepiece = choice.field.eyepiece.as_ref().map_or_else(String::new, words::eyepiece);
    let letter = port_letter(position);
    let verdict = match limit {
        Some(limit) => limit_phrase(limit),
        None => view_word(choice.view),
    };
    let when = if subject.stop.is_none() { words::at(&subject.clock(at)) } else { String::new() };
    let headline = format!("{letter}  {}{eyepiece}: {verdict}{when}", port.name);
    ui.add(Label::new(RichText::new(headline).font(semibold(BODY))).wrap());
    // What speaks against a port chosen by hand is told with the choice.
    let is_told = subject.stop.is_some_and(|stop| subject.open.derived.overruled(stop.id).is_some());
    if limit.is_none() && !is_told {
        match subject.port_minute(at, position) {
            Some(minute) => ui.label(words::holds_back(minute)),
            None => ui.label(quiet(tokens, fit_phrase(&choice.fit))),
        };
    }
    overruled(ui, state, tokens, subject, commands);
}

/// What the user chose against the ranking, and the way back.
fn overruled(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    let Some(stop) = subject.stop else { return };
    let Some(against) = subject.open.derived.overruled(stop.id) else { return };
    let sentence = words::overruled(against, subject.rig());
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(14.0, 20.0), Sense::hover());
        paint_overruled(ui.painter(), tokens, rect.center() + vec2(5.0, -5.0), 11.0);
        ui.vertical(|ui| {
            ui.label(sentence);
            let better = &against.better.0;
            let label = format!("{} {}", text::USE_PORT, words::port_name(subject.rig(), better));
            command_button(ui, state, commands, (&label, &label), Command::SetPort(stop.id, better.clone()));
        });
    });
}

/// The mark of a port chosen against the ranking: an open corner, whose right angle lies at `corner`, on the right where
/// the filled one of what is held lies on the left.
pub fn paint_overruled(painter: &Painter, tokens: &Tokens, corner: Pos2, side: f32) {
    let corners = vec![corner, corner - vec2(side, 0.0), corner + vec2(0.0, side)];
    painter.add(Shape::convex_polygon(corners, tokens.raised, Stroke::new(1.5, tokens.ink)));
}
