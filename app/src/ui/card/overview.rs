//! The Card when nothing is selected: what the last draft could not keep, every finding of the evening, each leading to its
//! stop, and what would change the evening.

use egui::{Align, Button, Context, Id, ScrollArea, Sense, Ui, vec2};
use evenfall_core::sheet::wording::severity_word;
use evenfall_core::sheet::{Names, finding_place, finding_sentence};

use super::{account, reasons};
use crate::state::{Command, OpenEvening, Selected};
use crate::ui::parts::{heading, quiet, severity_mark};
use crate::ui::text;
use crate::ui::theme::{SPACE, Tokens};

fn wanted() -> Id {
    Id::unique("findings wanted on the Card")
}

/// Brings the findings into sight when it is drawn next, however far the Card was moved.
pub fn bring_findings(context: &Context) {
    context.data_mut(|data| data.insert_temp(wanted(), true));
}

/// Draws the findings.
pub(super) fn show(ui: &mut Ui, open: &OpenEvening, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.label(quiet(tokens, text::CARD_EMPTY));
    ui.add_space(SPACE);
    let materials = open.document.stock.materials();
    let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        account::show(ui, open, tokens, commands);
        if ui.data_mut(|data| data.remove_temp::<bool>(wanted())).is_some() {
            ui.scroll_to_cursor(Some(Align::TOP));
        }
        heading(ui, text::FINDINGS);
        if open.derived.findings.is_empty() {
            ui.label(text::NO_FINDINGS);
        }
        for finding in &open.derived.findings {
            let (what, remedy) = finding_sentence(finding, &names);
            let place = finding_place(finding, &names);
            let place = place.unwrap_or_else(|| text::WHOLE_EVENING.to_owned());
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(14.0, 20.0), Sense::hover());
                severity_mark(ui.painter(), tokens, rect.center(), finding.severity);
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 0.0;
                    // The place begins where its sentence does, button or not.
                    ui.spacing_mut().button_padding.x = 0.0;
                    if let Some(stop) = finding.stop {
                        let button = Button::new(quiet(tokens, &place)).frame_when_inactive(false);
                        if ui.add(button).clicked() {
                            commands.push(Command::Select(Some(Selected::Stop(stop))));
                        }
                    } else {
                        ui.label(quiet(tokens, &place));
                    }
                    ui.label(format!("{}: {what}", severity_word(finding.severity)));
                    ui.label(quiet(tokens, remedy));
                });
            });
            ui.add_space(SPACE / 2.0);
        }
        reasons::what_ifs(ui, open, &names, tokens);
    });
}
