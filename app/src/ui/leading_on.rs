//! Enter in a field of a page takes what is typed and leads on to the next field, from the last one to the page's buttons.

use egui::{Id, Key, Order, Response};

/// A field as it is drawn: takes the keyboard if Enter led here, and notes if Enter leads on from here. One of the window itself, which
/// no page holds, only takes what is typed: the keys of the window follow, such as that of Undo.
pub fn leads_on(field: &Response) {
    if field.layer_id.order == Order::Background {
        return;
    }
    if led_here(field) {
        field.request_focus();
        field.scroll_to_me(None);
    }
    if field.lost_focus() && field.ctx.input(|input| input.key_pressed(Key::Enter)) {
        let now = field.ctx.cumulative_frame_nr();
        field.ctx.data_mut(|data| data.insert_temp(id(), Some(now)));
    }
}

/// The buttons below the last field: the first that can be pressed takes the keyboard if Enter led here.
pub fn ends_on(buttons: &[&Response]) {
    let Some(button) = buttons.iter().find(|button| button.enabled()) else { return };
    if led_here(button) {
        button.request_focus();
    }
}

/// Whether Enter leads on in this frame and nothing has taken it yet.
fn led_here(widget: &Response) -> bool {
    let now = widget.ctx.cumulative_frame_nr();
    widget
        .ctx
        .data_mut(|data| data.get_temp_mut_or_default::<Option<u64>>(id()).take_if(|led| *led == now))
        .is_some()
}

fn id() -> Id {
    Id::unique("Enter leads on")
}
