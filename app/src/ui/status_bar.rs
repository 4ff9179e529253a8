//! The status bar: findings, saved or not, what a drop would do, what is under way, the last message.

use egui::accesskit::Live;
use egui::{
    Align, Button, Color32, Layout, RichText, Role, Sense, Spinner, TextStyle, Ui, WidgetInfo, WidgetText,
    vec2,
};
use evenfall_core::plan::Severity;

use super::card::bring_findings;
use super::dialogs::call;
use super::file_words;
use super::parts::{Waited, quiet, severity_mark, waits};
use super::shaping_words::{drop_words, short_drop_words};
use super::text;
use super::theme::{BODY, SPACE, Tokens, semibold};
use crate::state::{AppState, Command, Notice, OpenEvening};

/// Draws the status bar.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal_centered(|ui| {
        if let Some(open) = state.open() {
            let stoppers = open.derived.count(Severity::Stopper);
            let cautions = open.derived.count(Severity::Caution);
            let gravest = match (stoppers, cautions) {
                (0, 0) => None,
                (0, _) => Some(Severity::Caution),
                _ => Some(Severity::Stopper),
            };
            if let Some(severity) = gravest {
                let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover());
                severity_mark(ui.painter(), tokens, rect.center(), severity);
            }
            let words = text::findings(stoppers, cautions);
            let button = Button::new(RichText::new(&words).font(semibold(BODY))).frame_when_inactive(false);
            let response = ui.add(button).on_hover_text(text::TO_FINDINGS);
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &words));
            if response.clicked() {
                bring_findings(ui.ctx());
                commands.push(Command::Select(None));
            }
            ui.separator();
            let document = &open.document;
            let saved = match (document.is_dirty(), &document.path) {
                (true, _) => text::IS_NOT_SAVED.to_owned(),
                (false, None) => text::IS_DEMO.to_owned(),
                (false, Some(path)) => {
                    let name = path.file_name().unwrap_or(path.as_os_str());
                    format!("{}: {}", text::IS_SAVED, name.to_string_lossy())
                }
            };
            let saved = ui.label(saved);
            if document.is_dirty() {
                saved.on_hover_ui(|ui| {
                    let (evening, parts) = document.not_saved();
                    ui.label(file_words::not_saved(evening, &parts));
                });
            }
            ui.separator();
            call_button(ui, open, commands);
        }
        if let (Some(open), Some(drag)) = (state.open(), &state.view.drag) {
            let words = drop_words(open, drag, state.view.trial.as_ref());
            let font = TextStyle::Body.resolve(ui.style());
            let galley = ui.painter().layout_no_wrap(words.clone(), font, Color32::PLACEHOLDER);
            let shown = if galley.size().x <= ui.available_width() {
                WidgetText::from(galley)
            } else {
                WidgetText::from(short_drop_words(open, drag, state.view.trial.as_ref()))
            };
            let response = ui.add(egui::Label::new(shown).truncate());
            ui.ctx().accesskit_node_builder(response.id, |node| {
                node.set_role(Role::Status);
                node.set_label(words);
            });
            return;
        }
        // What the Card waits for is told there.
        let under_way = state.is_computing() || state.is_writing();
        let waited = waits(ui, "the worker", under_way);
        if waited >= Waited::Long {
            ui.add(Spinner::new().size(16.0).color(tokens.accent));
            let words = match state.pending() {
                Some(pending) => text::computing(pending.date),
                None => text::WRITING.to_owned(),
            };
            ui.label(words);
            if waited == Waited::TooLong && state.is_computing() && state.open().is_some() {
                let stop = ui.button(text::STOP_WAITING).on_hover_text(text::STOP_WAITING_HINT);
                if stop.clicked() {
                    commands.push(Command::StopWaiting);
                }
            }
        } else if let Some(notice) = &state.view.notice {
            let words = text::notice(notice);
            if matches!(notice, Notice::Trouble(_) | Notice::NotNoted(_) | Notice::SavedOnly(..)) {
                let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), Sense::hover());
                severity_mark(ui.painter(), tokens, rect.center(), Severity::Stopper);
            }
            let response = ui.add(egui::Label::new(&words).truncate()).on_hover_text(&words);
            ui.ctx().accesskit_node_builder(response.id, |node| {
                node.set_role(Role::Status);
                // Also what has no room on the line.
                node.set_label(words);
                node.set_live(Live::Polite);
            });
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.add_space(SPACE);
            let width = ui.available_width();
            if width > 360.0 {
                ui.label(quiet(tokens, text::ADVICE));
            }
        });
    });
}

/// Go or no-go, once it is decided.
fn call_button(ui: &mut Ui, open: &OpenEvening, commands: &mut Vec<Command>) {
    let Some(words) = call::decided_words(&open.document.evening.call) else { return };
    let button = Button::new(RichText::new(&words).font(semibold(BODY))).frame_when_inactive(false);
    let response = ui.add(button).on_hover_text(call::CALL_NAME);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &words));
    if response.clicked() {
        commands.push(Command::AskCall);
    }
    ui.separator();
}
