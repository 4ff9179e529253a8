//! The Board: the running order over the night's sky. Model, layout, paint, interaction and names apart.
//!
//! `model` says what there is to see (`telescope` of moves and slack, `closed` of closed sky, `line` of those who wait,
//! `trails` of paths that go on beyond their stop), `layout` where (`altitude` in the sky of a lane, `marks` for the night's
//! events, `names` for the stops'; no painting; what is found by trying is `kept`), `paint_sky`, `paint_lanes`,
//! `paint_skies`, `paint_words`, `paint_telescope` and `paint_line` draw it with the patterns of `hatch`, `ghosts` shows what
//! a drop would do, `interact` turns pointer and keys into commands, `access` names what is painted; `quality` says how good
//! the order is, and `words` has what only the Board says.

mod access;
mod altitude;
mod closed;
mod ghosts;
mod hatch;
mod interact;
mod kept;
mod layout;
mod line;
mod marks;
mod model;
mod names;
mod paint_lanes;
mod paint_line;
mod paint_skies;
mod paint_sky;
mod paint_telescope;
mod paint_words;
mod quality;
mod telescope;
mod trails;
mod words;

use egui::scroll_area::{DragScroll, ScrollSource};
use egui::{Align, Color32, Label, Layout, Rect, RichText, ScrollArea, Sense, Ui, UiBuilder, vec2};
use evenfall_core::time::Instant;

use self::interact::{Pointing, interact};
use self::layout::{BoardLayout, Shown};
use self::model::{BoardModel, Mark};
use self::telescope::Slack;
use self::trails::trails;
use super::parts::{part_name, quiet, toggle};
use super::theme::{NEAR, SMALL, SPACE, TIGHT, Tokens, regular, semibold};
use super::{shaping_words, sky_view, text};
use crate::state::{AppState, BoardSpan, Command, OpenEvening};

pub use self::interact::stop_widget_id;

/// Least width for the name of the Board, how good its order is and its buttons in one line.
const ONE_LINE: f32 = 640.0;
/// Least width for the name of the site.
const SITE_NAME: f32 = 60.0;

/// Draws the Board.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    let two_lines = ui.available_width() < ONE_LINE;
    ui.horizontal(|ui| {
        part_name(ui, text::BOARD);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            sky_view::button(ui, state, commands);
            if !state.view.sky {
                time_axis(ui, state, commands);
            }
            let ripple = toggle(ui, shaping_words::RIPPLE, state.view.ripple, state.open().is_some());
            if ripple.on_hover_text(shaping_words::RIPPLE_HINT).clicked() {
                commands.push(Command::ToggleRipple);
            }
            if let Some(open) = state.open().filter(|_| !two_lines) {
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    order_words(ui, state, open, tokens, commands);
                });
            }
        });
    });
    if let Some(open) = state.open().filter(|_| two_lines) {
        ui.horizontal(|ui| order_words(ui, state, open, tokens, commands));
    }
    let Some(open) = state.open() else {
        ui.label(quiet(tokens, state.pending().map_or_else(String::new, |_| text::computing(None))));
        return;
    };
    if state.view.sky {
        sky_view::show(ui, state, open, tokens, commands);
        return;
    }
    let model = BoardModel::new(open, &state.view);
    ui.add_space(TIGHT);
    let room = ui.available_rect_before_wrap();
    let foot = room.bottom() - layout::reading_height(room.width());
    let (above, reading) = room.split_top_bottom_at_y(foot);
    let mut child = ui.new_child(UiBuilder::new().max_rect(above));
    let at = if lay_out(ui, &model, above).height() > above.height() {
        ScrollArea::vertical()
            .auto_shrink(false)
            .scroll_source(ScrollSource { drag: DragScroll::Never, ..ScrollSource::ALL })
            .show(&mut child, |ui| timed(ui, state, tokens, &model, commands))
            .inner
    } else {
        timed(&mut child, state, tokens, &model, commands)
    };
    paint_sky::paint_reading(ui.painter(), tokens, &model, reading, at);
}

/// What the time axis shows.
fn time_axis(ui: &mut Ui, state: &AppState, commands: &mut Vec<Command>) {
    let night = state.view.span == BoardSpan::Night;
    if toggle(ui, text::SPAN_NIGHT, night, true).clicked() && !night {
        commands.push(Command::ToggleSpan);
    }
    if toggle(ui, text::SPAN_DOORS, !night, true).clicked() && night {
        commands.push(Command::ToggleSpan);
    }
    let utc = toggle(ui, words::UTC, state.view.utc, true);
    if utc.on_hover_text(words::UTC_HINT).clicked() {
        commands.push(Command::ToggleUtc);
    }
}

/// How good the order is, what is kept free, and the site where there is room.
fn order_words(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    quality::show(ui, state, open, tokens, commands);
    slack(ui, open);
    if ui.available_width() > SITE_NAME {
        let site = quiet(tokens, open.document.stock.site.name.as_str());
        ui.add(Label::new(site).truncate());
    }
}

/// What is kept free, where there is room to say it.
fn slack(ui: &mut Ui, open: &OpenEvening) {
    let derived = &open.derived;
    let slack = Slack::new(&open.document.evening.order, &derived.timings, &derived.prepared);
    let words = RichText::new(slack.words()).font(regular(SMALL));
    let galley = ui.painter().layout_no_wrap(slack.words(), regular(SMALL), ui.visuals().text_color());
    if galley.size().x + SPACE <= ui.available_width() {
        ui.add(Label::new(words)).on_hover_text(words::SLACK_HINT);
    }
}

fn lay_out(ui: &Ui, model: &BoardModel<'_>, room: Rect) -> BoardLayout {
    let width = |mark: &Mark| {
        let font = if mark.strong { semibold(SMALL) } else { regular(SMALL) };
        ui.painter().layout_no_wrap(mark.label.clone(), font, Color32::PLACEHOLDER).size().x
    };
    let mark_widths: Vec<f32> = model.marks.iter().map(width).collect();
    let shown = Shown {
        lanes: model.lanes.len(),
        marks: &model.marks,
        mark_widths: &mark_widths,
        change: model.change.is_some(),
        utc: model.utc.is_some(),
        closed: model.closed.len(),
        line: model.line.is_some(),
    };
    BoardLayout::new(room, model.span, &shown)
}

/// Everything that has the time axis, in the room there is or as much as it takes; gives back the instant under the
/// pointer.
fn timed(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    commands: &mut Vec<Command>,
) -> Option<Instant> {
    let room = ui.available_rect_before_wrap();
    let height = lay_out(ui, model, room).height().max(room.height());
    let (rect, _) = ui.allocate_exact_size(vec2(room.width(), height), Sense::hover());
    let layout = lay_out(ui, model, rect);
    access::name_sky(ui, model, &layout);
    // What opens over the window leaves no tooltip of the Board over itself.
    let tells = model.drag.is_none() && state.view.dialog.is_none();
    let Pointing { at, over } = interact(ui, state, model, &layout, (tells, commands));
    let trails = trails(model, over);
    access::name_below(ui, model, &layout, tells);
    let painter = ui.painter().with_clip_rect(ui.clip_rect().intersect(rect.expand(NEAR)));
    paint_sky::paint(&painter, tokens, model, &layout);
    paint_telescope::paint_closed(&painter, tokens, model, &layout);
    paint_lanes::paint(ui, &painter, tokens, model, &layout, &trails);
    paint_telescope::paint(&painter, tokens, model, &layout);
    ghosts::paint(&painter, tokens, model, &layout);
    paint_line::paint(&painter, tokens, model, &layout);
    // What is dragged tells its times itself.
    if let Some(at) = at.filter(|_| model.drag.is_none()) {
        paint_sky::paint_pointer(&painter, tokens, &layout, at);
    }
    at
}
