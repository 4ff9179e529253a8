//! The Board: the running order over the night's sky. Model, layout, paint, interaction and names apart.
//!
//! `model` says what there is to see, `layout` where (no painting), `paint_sky`, `paint_lanes` and `paint_paths` draw
//! it, `interact` turns pointer and keys into commands, `access` names what is painted.

mod access;
mod interact;
mod layout;
mod model;
mod paint_lanes;
mod paint_paths;
mod paint_sky;

use egui::{Align, Layout, Sense, Ui, vec2};

use self::interact::{Pointing, interact};
use self::layout::BoardLayout;
use self::model::BoardModel;
use super::parts::{part_name, quiet, toggle};
use super::text;
use super::theme::{SPACE, Tokens};
use crate::state::{AppState, BoardSpan, Command};

pub use self::interact::stop_widget_id;

/// Draws the Board.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        part_name(ui, text::BOARD);
        if let Some(open) = state.open() {
            ui.label(quiet(tokens, open.document.stock.site.name.as_str()));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let night = state.view.span == BoardSpan::Night;
            if toggle(ui, text::SPAN_NIGHT, night, true).clicked() && !night {
                commands.push(Command::ToggleSpan);
            }
            if toggle(ui, text::SPAN_DOORS, !night, true).clicked() && night {
                commands.push(Command::ToggleSpan);
            }
        });
    });
    let Some(open) = state.open() else {
        ui.label(quiet(tokens, state.pending().map_or_else(String::new, |_| text::computing(None))));
        return;
    };
    let model = BoardModel::new(open, &state.view);
    ui.add_space(SPACE / 2.0);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ui.available_height()), Sense::hover());
    let layout = BoardLayout::new(rect, model.span, model.lanes.len(), &model.marks);
    let Pointing { at, .. } = interact(ui, state, &model, &layout, commands);
    access::name_drawings(ui, &model, &layout);
    let painter = ui.painter().with_clip_rect(rect.expand(2.0));
    paint_sky::paint(&painter, tokens, &model, &layout);
    paint_lanes::paint(ui, &painter, tokens, &model, &layout);
    paint_paths::paint(&painter, tokens, &model, &layout);
    paint_sky::paint_reading(&painter, tokens, &model, &layout, at);
}
