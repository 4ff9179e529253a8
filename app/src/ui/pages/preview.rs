//! A side as it will be printed, to scale, in the window's colours for paper.

use egui::scroll_area::ScrollArea;
use egui::{
    Align, Button, Color32, EventFilter, Id, Key, Label, Layout, Rect, Role, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};
use evenfall_core::chart::{Ink, Scene};
use evenfall_core::output::paper_grey;

use super::words;
use crate::state::{AppState, Command, PagesEdit};
use crate::ui::parts::{heading, quiet, toggle, waits_long};
use crate::ui::scene_pen::{Pen, mixed};
use crate::ui::theme::{HAIR, PaperTokens, ROW, Tokens};

/// How far an arrow key moves a side that is wider than its room.
const STEP: f32 = 60.0;

/// Draws the page that is looked at, with its name and the way through its sides.
pub(super) fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    let pages = &state.view.pages;
    let (name, whom) = words::about(pages.shown);
    if !pages.shown.is_page() {
        heading(ui, name);
        ui.label(whom);
        ui.label(quiet(tokens, pages.shown.file_name(state.settings().pages.paper())));
        ui.add(Label::new(words::NO_PAGE).wrap());
        return;
    }
    let sides = state.sides(pages.shown);
    let scenes = sides.and_then(|sides| sides.as_ref().ok()).map_or(&[][..], |sides| sides.as_slice());
    turning(ui, state, name, scenes.len(), commands);
    match (sides, scenes.get(pages.side)) {
        (Some(Err(why)), _) => {
            ui.add(Label::new(why).wrap());
        }
        (_, Some(scene)) => {
            let told = format!("{name}, {}", words::side_of(pages.side, scenes.len()));
            side(ui, scene, pages.wide, &told, tokens);
        }
        (_, None) => {
            if waits_long(ui, "the sides of a page", sides.is_none()) {
                ui.label(quiet(tokens, words::LAYING_OUT));
            }
        }
    }
}

/// The name of the page, which of its sides is shown, and the way to the others.
fn turning(ui: &mut Ui, state: &AppState, name: &str, count: usize, commands: &mut Vec<Command>) {
    let pages = &state.view.pages;
    ui.horizontal(|ui| {
        let mut turn = |ui: &mut Ui, sign: &str, spoken: &str, can: bool, by: isize| {
            let button = ui.add_enabled(can, Button::new(sign).min_size(vec2(ROW, ROW)));
            let button = button.on_hover_text(spoken);
            button.widget_info(|| WidgetInfo::labeled(Role::Button, can, spoken));
            if button.clicked() {
                commands.push(Command::Pages(PagesEdit::Turn(by)));
            }
        };
        turn(ui, "←", words::BEFORE, pages.side > 0, -1);
        turn(ui, "→", words::AFTER, pages.side + 1 < count, 1);
        heading(ui, name);
        if count > 0 {
            ui.label(words::side_of(pages.side, count));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let wide = toggle(ui, words::WIDE, pages.wide, true).on_hover_text(words::WIDE_NAME);
            wide.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, pages.wide, words::WIDE_NAME));
            if wide.clicked() {
                commands.push(Command::Pages(PagesEdit::Wide(!pages.wide)));
            }
        });
    });
}

/// A side, seen whole or as wide as its room.
fn side(ui: &mut Ui, scene: &Scene, wide: bool, told: &str, tokens: &Tokens) {
    let room = ui.available_size();
    let bar = if wide { ui.spacing().scroll.bar_width + ui.spacing().scroll.bar_inner_margin } else { 0.0 };
    let across = (room.x - bar - 2.0).max(40.0) / scene.width;
    let scale = if wide { across } else { across.min((room.y - 2.0).max(40.0) / scene.height) };
    let size = scale * vec2(scene.width, scene.height);
    if !wide {
        let left = room.x - size.x;
        let at = ui.cursor().min + vec2(left / 2.0, 1.0);
        paint(ui, Rect::from_min_size(at, size), scene, scale, told, tokens);
        return;
    }
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        let (rect, _) = ui.allocate_exact_size(size + vec2(2.0, 2.0), Sense::hover());
        let sheet = Rect::from_min_size(rect.min + vec2(1.0, 1.0), size);
        let id = paint(ui, sheet, scene, scale, told, tokens);
        scroll_by_keys(ui, id);
    });
}

/// While the side has the keyboard, the arrows move it.
fn scroll_by_keys(ui: &Ui, id: Id) {
    if !ui.memory(|memory| memory.has_focus(id)) {
        return;
    }
    let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let (up, down) = ui.input(|input| (input.key_pressed(Key::ArrowUp), input.key_pressed(Key::ArrowDown)));
    if up != down {
        ui.scroll_with_delta(vec2(0.0, if up { STEP } else { -STEP }));
    }
}

/// Paints a side; a screen reader is told its name and all its words.
fn paint(ui: &mut Ui, sheet: Rect, scene: &Scene, scale: f32, told: &str, tokens: &Tokens) -> Id {
    let response = ui.interact(sheet, Id::unique("side of a page"), Sense::focusable_noninteractive());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, told));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_value(scene.alt.as_str()));
    let paper = &tokens.paper;
    let painter = ui.painter().with_clip_rect(sheet.intersect(ui.clip_rect()));
    painter.rect_filled(sheet, 0.0, paper.ground);
    let origin = pos2(sheet.left(), sheet.top());
    Pen { origin, scale, colour: &|ink| colour(paper, ink) }.paint(&painter, scene);
    ui.painter().rect_stroke(sheet, 0.0, Stroke::new(HAIR, tokens.edge), StrokeKind::Outside);
    response.id
}

/// The colour of an ink on paper: by day its grey, under the red lamp light ink on a dim ground.
fn colour(paper: &PaperTokens, ink: Ink) -> Color32 {
    match ink {
        Ink::Ground => paper.ground,
        Ink::Text | Ink::Held | Ink::Stopper | Ink::Caution | Ink::Accent => paper.ink,
        Ink::Quiet => paper.quiet,
        Ink::Move => paper.travel,
        Ink::Grid => paper.grid,
        Ink::MoonLit => paper.moon_disc.0,
        Ink::MoonDark => paper.moon_disc.1,
        Ink::SkyLight(_) | Ink::Moon | Ink::Earth | Ink::Port(_) => {
            mixed(paper.shade, paper.ground, f32::from(paper_grey(ink)) / 255.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use egui::Color32;
    use evenfall_core::chart::Ink;
    use evenfall_core::output::paper_grey;

    use super::colour;
    use crate::state::Palette;
    use crate::ui::theme::Tokens;

    #[test]
    fn by_day_a_side_has_the_greys_of_its_print() {
        let paper = &Tokens::of(Palette::Day).paper;
        let inks = [Ink::Ground, Ink::Text, Ink::Quiet, Ink::Grid, Ink::Moon, Ink::MoonLit, Ink::MoonDark];
        let more = [Ink::Earth, Ink::Port(2), Ink::Move, Ink::Held, Ink::Stopper, Ink::Caution, Ink::Accent];
        for ink in inks.into_iter().chain(more).chain([0, 77, 255].map(Ink::SkyLight)) {
            assert_eq!(colour(paper, ink), Color32::from_gray(paper_grey(ink)), "{ink:?}");
        }
    }
}
