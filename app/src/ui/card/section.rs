//! A part of the Card under a heading that folds it away.

use egui::{Align2, Id, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::state::{AppState, CardSection, Command};
use crate::ui::theme::{BODY, CORNER, ROW, SPACE, TIGHT, Tokens, semibold};

/// Room for the mark that tells whether it is open.
const MARK: f32 = 18.0;

/// Draws the heading, and what is under it unless that is folded away.
pub(super) fn section(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    (section, title): (CardSection, &str),
    commands: &mut Vec<Command>,
    content: impl FnOnce(&mut Ui, &mut Vec<Command>),
) {
    let open = !state.view.card.folded.contains(&section);
    ui.add_space(TIGHT);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    // Its own identity: what comes in above it while the reasons are found must not take the keyboard away.
    let response = ui.interact(rect, Id::unique(("part of the Card", section)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, title));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_expanded(open));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.clicked() {
        commands.push(Command::Fold(section));
    }
    let painter = ui.painter();
    painter.hline(rect.x_range(), rect.top(), Stroke::new(1.0, tokens.hair));
    if response.hovered() {
        painter.rect_filled(rect.with_min_y(rect.top() + 1.0), 0.0, tokens.button);
    }
    if response.has_focus() {
        painter.rect_stroke(rect, CORNER, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    }
    painter.add(mark(tokens, rect, open));
    let at = pos2(rect.left() + MARK, rect.center().y);
    painter.text(at, Align2::LEFT_CENTER, title, semibold(BODY), tokens.ink);
    if open {
        content(ui, commands);
        ui.add_space(SPACE);
    }
}

/// A triangle that points down to what is open, and right where something is folded away.
fn mark(tokens: &Tokens, rect: Rect, open: bool) -> Shape {
    let centre = pos2(rect.left() + 7.0, rect.center().y);
    let corners = if open {
        [vec2(-4.5, -2.5), vec2(4.5, -2.5), vec2(0.0, 3.5)]
    } else {
        [vec2(-2.5, -4.5), vec2(-2.5, 4.5), vec2(3.5, 0.0)]
    };
    Shape::convex_polygon(corners.map(|corner| centre + corner).to_vec(), tokens.ink, Stroke::NONE)
}
