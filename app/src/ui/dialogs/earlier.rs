//! What the evening's file held before it was written over, the last save first.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use egui::{Button, Context, Ui, vec2};
use evenfall_core::sheet::numbers;

use super::{begin_on, modal, scrolled};
use crate::state::{AppState, Command, EarlierSave};
use crate::ui::parts::{part_name, quiet};
use crate::ui::text;
use crate::ui::theme::{ROW, SPACE, Tokens};

const WIDTH: f32 = 560.0;
/// Room for all but the list.
const AROUND: f32 = 200.0;

/// The command, and the title.
pub const EARLIER_NAME: &str = "Earlier saves…";
/// More about it.
pub const EARLIER_HINT: &str = "What this evening's file held the last ten times before it was saved over";
const TITLE: &str = "Earlier saves";
const NONE: &str = "There are none: this evening has not been saved over yet.";
const DAMAGED: &str = "can't be read";
const LOOKING: &str = "Looking for them…";
const WHAT_NOW: &str = "One that you open is not saved until you say so: save it over what the file holds now, or \
                        under another name.";

/// Draws them; the keyboard starts on the last save.
pub(super) fn show(
    context: &Context,
    state: &AppState,
    saves: Option<&[EarlierSave]>,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let Some(open) = state.open() else { return };
    let zone = open.zone();
    let modal = modal(context, "earlier saves").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 60.0));
        part_name(ui, TITLE);
        match saves {
            None => ui.label(quiet(tokens, LOOKING)),
            Some([]) => ui.label(quiet(tokens, NONE)),
            Some(_) => ui.label(quiet(tokens, WHAT_NOW)),
        };
        ui.add_space(SPACE);
        let mut first = None;
        scrolled(ui, AROUND, |ui| {
            for save in saves.unwrap_or_default() {
                let line = line(ui, &line_words(save, zone));
                if line.clicked() {
                    commands.push(Command::OpenEarlier(save.clone()));
                }
                first.get_or_insert(line);
            }
        });
        ui.add_space(SPACE);
        let close = ui.button(text::CLOSE);
        begin_on(first.as_ref().unwrap_or(&close));
        close.clicked()
    });
    if modal.inner || modal.should_close() {
        commands.push(Command::Dismiss);
    }
}

fn line(ui: &mut Ui, words: &str) -> egui::Response {
    let button = Button::new(words).frame_when_inactive(false).truncate();
    ui.add(button.min_size(vec2(ui.available_width(), ROW)))
}

/// When it was saved and what it holds: `Friday 12 March 2027, 18:02:11 GMT · Stars for all, 12 stops, 9 kB`.
fn line_words(save: &EarlierSave, zone: Tz) -> String {
    let holds = match &save.holds {
        Some((title, stops)) => format!("{title}, {}", numbers::count(*stops, "stop", "stops")),
        None => DAMAGED.to_owned(),
    };
    let kilobytes = (save.text.len() as f64 / 1000.0).ceil();
    format!("{} · {holds}, {kilobytes:.0} kB", saved_words(save.saved, zone))
}

/// When something was saved, on the park's clock.
pub(super) fn saved_words(saved: DateTime<Utc>, zone: Tz) -> String {
    saved.with_timezone(&zone).format("%A %-d %B %Y, %H:%M:%S %Z").to_string()
}
