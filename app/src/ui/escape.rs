//! What Escape leaves, so that every press of it is seen to do something: a page on which nothing was changed at once; else the
//! field that is typed in, and the keyboard goes to the page's Cancel. Where something stands over the window and is left, the
//! keyboard goes back to where it was.

use std::mem::{discriminant, replace};

use egui::text_edit::TextEditState;
use egui::{Button, Context, Event, Id, Key, Memory, ModalResponse, Modifiers, Popup, Response, Ui};

use crate::state::{AppState, Dialog, Focus, Selected};

/// Under these names is kept: the page as it came, whether it is as it came, and its Cancel; whether a field was typed in
/// in the frame before; what had the keyboard in the frame before, whether a list was open then, and what had the keyboard
/// before something came over the window.
const AT_FIRST: &str = "a page over the window as it came";
const UNCHANGED: &str = "the page over the window is as it came";
const CANCEL: &str = "the Cancel of the page over the window";
const TYPED_IN: &str = "a field of a page is typed in";
const HAD_KEYBOARD: &str = "what had the keyboard";
const LISTS: &str = "a menu or a list is open";
const UNDER: &str = "what had the keyboard before something came over the window";

/// The button by which a page is given up; Escape in a field leads to it.
pub fn cancel_button(ui: &mut Ui, words: &str, enabled: bool) -> Response {
    let button = ui.add_enabled(enabled, Button::new(words));
    ui.data_mut(|data| data.insert_temp(Id::unique(CANCEL), button.id));
    button
}

/// Whether a page is given up: by its button, whose press it holds, or by Escape. Once something on it was changed, the first
/// Escape in a field only leaves the field; a click beside the page may be a slip, and throws nothing away.
pub fn gives_up(page: &ModalResponse<bool>) -> bool {
    let context = &page.response.ctx;
    let typed_in = context.text_edit_focused();
    let (before, unchanged, cancel) = context.data_mut(|data| {
        let before = replace(data.get_temp_mut_or_default::<bool>(Id::unique(TYPED_IN)), typed_in);
        let unchanged = data.get_temp::<bool>(Id::unique(UNCHANGED)).unwrap_or_default();
        (before, unchanged, data.get_temp::<Id>(Id::unique(CANCEL)))
    });
    // An open list of a field takes Escape for itself.
    let escape = page.is_top_modal
        && !page.any_popup_open
        && context.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    if escape && before && !unchanged {
        if let Some(cancel) = cancel {
            context.memory_mut(|memory| memory.request_focus(cancel));
        }
        return page.inner;
    }
    page.inner || escape
}

/// Notes whether what stands over the window is as it came; to be called before that is drawn.
pub fn watch(context: &Context, state: &AppState) {
    let now = state.view.dialog.as_ref();
    let unchanged = match now {
        // A list may be long, and nothing on its page is typed.
        None | Some(Dialog::List(_)) => false,
        Some(Dialog::Place) => state.view.place.as_ref().is_none_or(|form| !form.is_changed()),
        Some(now) => context.data_mut(|data| {
            let first = data.get_temp_mut_or_default::<Option<Dialog>>(Id::unique(AT_FIRST));
            let is_this = first.as_ref().is_some_and(|first| discriminant(first) == discriminant(now));
            if !is_this {
                *first = Some(now.clone());
            }
            first.as_ref() == Some(now)
        }),
    };
    context.data_mut(|data| {
        if now.is_none() {
            data.remove::<Option<Dialog>>(Id::unique(AT_FIRST));
        }
        data.insert_temp(Id::unique(UNCHANGED), unchanged);
    });
}

/// Keeps the keyboard somewhere; to be called once all of a frame is drawn. Escape takes it off everything: it goes back to what had it, or
/// from a field of the window itself to what is selected, which is given back.
///
/// * `is_over`: whether something stands over the window, and whether it did in the frame before.
pub fn keep_keyboard(context: &Context, state: &AppState, is_over: (bool, bool)) -> Option<Focus> {
    let now = context.memory(Memory::focused);
    let lists = Popup::is_any_open(context);
    let (before, listed) = context.data_mut(|data| {
        let before = replace(data.get_temp_mut_or_default(Id::unique(HAD_KEYBOARD)), now);
        (before, replace(data.get_temp_mut_or_default::<bool>(Id::unique(LISTS)), lists))
    });
    if let (false, true) = is_over {
        let under = context.data(|data| data.get_temp::<Option<Id>>(Id::unique(UNDER))).flatten();
        // Unless what was done there has given it to something else.
        if let Some(under) = under.filter(|_| now.is_none() || now == before) {
            context.memory_mut(|memory| memory.request_focus(under));
        }
        return None;
    }
    let was_pressed = |event: &Event| matches!(event, Event::Key { key: Key::Escape, pressed: true, .. });
    let escape = context.input(|input| input.raw.events.iter().any(was_pressed));
    let left = before.filter(|_| escape && now.is_none());
    if let Some(left) = left {
        let is_field = TextEditState::load(context, left).is_some();
        // A menu of the window gives the keyboard back by itself.
        if !is_field && (is_over.0 || !listed) && context.read_response(left).is_some() {
            context.memory_mut(|memory| memory.request_focus(left));
        } else if is_field && is_over == (false, false) {
            return selected(state);
        }
    } else if is_over == (false, false) && !lists {
        context.data_mut(|data| data.insert_temp(Id::unique(UNDER), now));
    }
    None
}

/// What is selected, as what can be given the keyboard.
fn selected(state: &AppState) -> Option<Focus> {
    match state.view.selected.as_ref()? {
        Selected::Stop(stop) => Some(Focus::Stop(*stop)),
        Selected::Target(id) => {
            let targets = &state.open()?.document.stock.catalogue.targets;
            targets.iter().position(|target| target.id == *id).map(Focus::Row)
        }
    }
}
