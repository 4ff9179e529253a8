//! Small pieces used in more than one part of the window.

use std::sync::Arc;
use std::time::Duration;

use egui::accesskit::Live;
use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{
    Align, Align2, Button, Color32, FontId, Galley, Id, Label, Painter, Pos2, Rect, Response, RichText, Role,
    Sense, Shape, Stroke, Ui, UiKind, Vec2, WidgetInfo, pos2,
};
use evenfall_core::plan::Severity;

use super::commands::{tooltip, why_not};
use super::theme::{BODY, HEADING, ROW, SMALL, Tokens, regular, semibold};
use crate::state::{AppState, Command};

/// A button for a command: disabled when the command is not allowed, named for a screen reader.
pub fn command_button(
    ui: &mut Ui,
    state: &AppState,
    commands: &mut Vec<Command>,
    (label, name): (&str, &str),
    command: Command,
) -> Response {
    let allowed = command.allowed(state);
    let response = ui.add_enabled(allowed, Button::new(label).min_size(Vec2::splat(ROW)));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, allowed, name));
    let hint = || tooltip(name, &command);
    let why = || match why_not(state, &command) {
        Some(why) => format!("{}\nNot now: {why}.", hint()),
        None => hint(),
    };
    let response =
        response.on_hover_ui(|ui| drop(ui.label(hint()))).on_disabled_hover_ui(|ui| drop(ui.label(why())));
    if response.clicked() {
        commands.push(command);
    }
    response
}

/// A small button with a name of its own for a screen reader, where several on a page have the same words.
pub fn named_button(ui: &mut Ui, label: &str, name: &str, enabled: bool) -> Response {
    let response = ui.add_enabled(enabled, Button::new(label).min_size(Vec2::splat(ROW)));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    response
}

/// What is wrong with what was typed, behind the mark of a Stopper; told as it changes.
pub fn fault_line(ui: &mut Ui, tokens: &Tokens, words: &str) {
    marked_line(ui, tokens, Severity::Stopper, words);
}

/// What is to be thought of with what was typed, behind the mark of a Caution; told as it changes.
pub fn caution_line(ui: &mut Ui, tokens: &Tokens, words: &str) {
    marked_line(ui, tokens, Severity::Caution, words);
}

fn marked_line(ui: &mut Ui, tokens: &Tokens, severity: Severity, words: &str) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(SMALL), Sense::hover());
        severity_mark(ui.painter(), tokens, rect.center(), severity);
        let told = ui.add(Label::new(words).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
    });
}

/// A button that stays down while something is so.
pub fn toggle(ui: &mut Ui, label: &str, on: bool, enabled: bool) -> Response {
    // Weight as well as colour says that it is on: under the red lamp the colours are close.
    let words = RichText::new(label).font(if on { semibold(BODY) } else { regular(BODY) });
    let response = ui.add_enabled(
        enabled,
        Button::selectable(on, words).frame_when_inactive(true).min_size(Vec2::splat(ROW)),
    );
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, enabled, on, label));
    response
}

/// The heading of a group.
pub fn heading(ui: &mut Ui, text: &str) {
    let response = ui.label(RichText::new(text).font(semibold(BODY)));
    name_heading(&response, text);
}

/// The name of a part, or of what stands over the window.
pub fn part_name(ui: &mut Ui, text: &str) {
    let response = ui.label(RichText::new(text).font(semibold(HEADING)));
    name_heading(&response, text);
    if let Some(dialog) = ui.stack().iter().find(|around| around.kind() == Some(UiKind::Modal)) {
        ui.ctx().accesskit_node_builder(dialog.unique_id, |node| node.set_label(text));
    }
}

fn name_heading(response: &Response, text: &str) {
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(text);
    });
}

/// Seconds from which on something under way is told.
const LONG_S: f64 = 0.5;
/// Seconds from which on it can be given up.
const TOO_LONG_S: f64 = 2.0;

/// How long something has been under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Waited {
    /// Not so long that anybody minds.
    Hardly,
    /// So long that it is told.
    Long,
    /// So long that it can be given up.
    TooLong,
}

/// Whether something has been under way for so long that it is told.
pub fn waits_long(ui: &Ui, what: &str, under_way: bool) -> bool {
    waits(ui, what, under_way) >= Waited::Long
}

/// How long something has been under way; another frame follows when that changes.
pub fn waits(ui: &Ui, what: &str, under_way: bool) -> Waited {
    let id = Id::unique(("under way since", what));
    if !under_way {
        ui.data_mut(|data| data.remove::<f64>(id));
        return Waited::Hardly;
    }
    let now = ui.input(|input| input.time);
    let since = ui.data_mut(|data| *data.get_temp_mut_or(id, now));
    let waited = now - since;
    let next = if waited < LONG_S { LONG_S } else { TOO_LONG_S };
    if waited < next {
        ui.ctx().request_repaint_after(Duration::from_secs_f64(next - waited));
    }
    if waited < LONG_S {
        Waited::Hardly
    } else if waited < TOO_LONG_S {
        Waited::Long
    } else {
        Waited::TooLong
    }
}

/// Quiet text.
pub fn quiet(tokens: &Tokens, text: impl Into<String>) -> RichText {
    RichText::new(text).font(regular(SMALL)).color(tokens.quiet)
}

/// One line of text, cut with an ellipsis where `width` ends.
pub fn one_line(painter: &Painter, text: &str, font: FontId, ink: Color32, width: f32) -> Arc<Galley> {
    lines(painter, text, font, ink, width, 1)
}

/// At most so many lines of text.
pub fn lines(
    painter: &Painter,
    text: &str,
    font: FontId,
    ink: Color32,
    width: f32,
    rows: usize,
) -> Arc<Galley> {
    let mut job = LayoutJob::single_section(text.to_owned(), TextFormat::simple(font, ink));
    job.wrap = TextWrapping {
        max_width: width.max(1.0),
        max_rows: rows,
        // A line that stands alone is used to its end.
        break_anywhere: rows == 1,
        ..TextWrapping::default()
    };
    job.halign = Align::Min;
    painter.layout_job(job)
}

/// Small text at a place.
pub fn small(painter: &Painter, at: Pos2, anchor: Align2, text: impl ToString, ink: Color32) -> Rect {
    painter.text(at, anchor, text, regular(SMALL), ink)
}

/// The mark of a severity: a filled square for a Stopper, an open triangle for a Caution.
pub fn severity_mark(painter: &Painter, tokens: &Tokens, centre: Pos2, severity: Severity) {
    match severity {
        Severity::Stopper => {
            painter.rect_filled(Rect::from_center_size(centre, Vec2::splat(10.0)), 0.0, tokens.stopper);
        }
        Severity::Caution => {
            let corners =
                [pos2(0.0, -5.5), pos2(5.5, 4.5), pos2(-5.5, 4.5)].map(|corner| centre + corner.to_vec2());
            painter.add(Shape::convex_polygon(
                corners.to_vec(),
                tokens.raised,
                Stroke::new(1.8, tokens.caution),
            ));
        }
    }
}

/// Names a drawing for those who can't see it.
pub fn name_drawing(response: &Response, words: &str) {
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words));
}
