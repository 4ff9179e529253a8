//! What stands over the window: first steps, an evening of one's own, recent evenings, earlier saves, what a killed window
//! left, a command to find, the list of keys, a path to type, what is inserted, go or no-go, house and doors, wishes, what is
//! asked before an evening is picked up, the site, the rig, the orders that are kept, a file in the way, what went wrong with files,
//! questions about unsaved changes and a page that would be lost.

pub(super) mod call;
mod crowd;
pub(super) mod earlier;
mod file_chooser;
mod finder;
pub(super) mod house;
mod insert;
mod kept_orders;
mod keys_list;
pub(super) mod left_unsaved;
mod loses_own;
mod own_evening;
mod path_field;
mod pick_up;
mod recent;
mod replace;
mod report;
mod unsaved;
mod welcome;
pub(super) mod wishes;

use egui::{Context, Frame, Id, Margin, Modal, Response, ScrollArea, Ui};

pub use file_chooser::FileChooser;

use super::theme::{Tokens, WIDE};
use super::{list_in, pages, rig_editor, site_editor, target_editor};
use crate::state::{AppState, Command, Dialog, Part};

/// Draws the open dialog, if any. Closing it is a command like any other.
pub fn show(context: &Context, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    match &state.view.dialog {
        None => {}
        Some(Dialog::Keys) => keys_list::show(context, tokens, commands),
        Some(Dialog::Welcome) => welcome::show(context, tokens, commands),
        Some(Dialog::Own(form)) => own_evening::show(context, form, tokens, commands),
        Some(Dialog::Recent) => recent::show(context, state, tokens, commands),
        Some(Dialog::Earlier(saves)) => earlier::show(context, state, saves.as_deref(), tokens, commands),
        Some(Dialog::LeftUnsaved(asked)) => {
            left_unsaved::show(context, state, asked.as_deref(), tokens, commands);
        }
        Some(Dialog::Finder(typed)) => finder::show(context, state, typed, tokens, commands),
        Some(Dialog::Path { purpose, text }) => path_field::show(context, *purpose, text, tokens, commands),
        Some(Dialog::KeptOrders(typed)) => kept_orders::show(context, state, typed, tokens, commands),
        Some(Dialog::Insert(form)) => insert::show(context, state, form, tokens, commands),
        Some(Dialog::Pages) => pages::show(context, state, tokens, commands),
        Some(Dialog::Call(form)) => call::show(context, state, form, tokens, commands),
        Some(Dialog::House(form)) => house::show(context, state, form, tokens, commands),
        Some(Dialog::Wishes(form)) => wishes::show(context, state, form, tokens, commands),
        Some(Dialog::Target(form)) => target_editor::show(context, state, form, tokens, commands),
        Some(Dialog::List(form)) => list_in::show(context, state, form, tokens, commands),
        Some(Dialog::Place) => {
            if let Some(form) = &state.view.place {
                match form.part {
                    Part::Site => site_editor::show(context, state, form, tokens, commands),
                    Part::Rig | Part::Catalogue => rig_editor::show(context, state, form, tokens, commands),
                }
            }
        }
        Some(Dialog::PickUp(form)) => pick_up::show(context, state, form, tokens, commands),
        Some(Dialog::Report { about, lines }) => report::show(context, *about, lines, tokens, commands),
        Some(Dialog::Replace { purpose, path }) => replace::show(context, *purpose, path, commands),
        Some(Dialog::Unsaved(then)) => unsaved::show(context, state, then, commands),
        Some(Dialog::LosesOwn { then, .. }) => loses_own::show(context, then, commands),
    }
}

/// Gives the keyboard to `first` unless one of the dialog's other widgets has it.
pub(super) fn keep_keyboard(first: &Response, others: &[&Response]) {
    if !first.has_focus() && !others.iter().any(|other| other.has_focus()) {
        first.request_focus();
    }
}

/// Lower than this no scrolling part gets, however small the window.
const LEAST_SCROLLED: f32 = 100.0;

/// The part of a dialog that scrolls where it finds no room, with so many points of the window for all around it; as high as its
/// content at once, and at its top each time the dialog opens.
pub(super) fn scrolled<R>(ui: &mut Ui, around: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let height = (ui.ctx().content_rect().height() - around).max(LEAST_SCROLLED);
    let mut area = ScrollArea::vertical().auto_shrink([false, true]);
    if begins(ui.ctx(), ui.unique_id()) {
        area = area.vertical_scroll_offset(0.0);
    }
    area.max_height(height).min_scrolled_height(height).show(ui, add).inner
}

/// Whether what has this id is drawn now and was not in the frame before.
fn begins(context: &Context, id: Id) -> bool {
    let (id, now) = (id.with("drawn in frame"), context.cumulative_frame_nr());
    let before = context.data_mut(|data| {
        let before = data.get_temp::<u64>(id);
        data.insert_temp(id, now);
        before
    });
    before.is_none_or(|before| before + 1 < now)
}

/// Gives the keyboard to a widget in the first frame in which it is drawn; whether this is that frame.
pub(super) fn begin_on(widget: &Response) -> bool {
    let begins = begins(&widget.ctx, widget.id);
    if begins {
        widget.request_focus();
        widget.scroll_to_me(None);
    }
    begins
}

/// A dialog over the window, with our margin.
pub(super) fn modal(context: &Context, name: &str) -> Modal {
    let frame = Frame::popup(&context.global_style()).inner_margin(Margin::same(WIDE as i8));
    Modal::new(Id::unique(name)).frame(frame)
}
