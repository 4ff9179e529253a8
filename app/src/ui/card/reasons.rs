//! Why this port: the reasons of the port in use, or of the best one.

use egui::Ui;
use evenfall_core::sheet::wording::{fit_phrase, reason_sentence, view_word};

use super::Subject;
use crate::ui::parts::{heading, quiet};
use crate::ui::text;
use crate::ui::theme::Tokens;

/// Draws the reasons.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    heading(ui, text::WHY_PORT);
    let choices = subject.choices();
    let used = subject.stop.and_then(|stop| stop.show()).map(|show| &show.port);
    let choice = match used {
        Some(port) => choices.iter().find(|choice| choice.port == *port),
        None => choices.first(),
    };
    let Some(choice) = choice else {
        ui.label(quiet(tokens, text::NO_PORT_KNOWN));
        return;
    };
    let rig = &subject.open.document.stock.rig;
    let port = rig.port(&choice.port).map_or(choice.port.0.as_str(), |port| port.name.as_str());
    let eyepiece = choice
        .field
        .eyepiece
        .as_ref()
        .map_or_else(String::new, |view| format!(", {} eyepiece, {:.0}×", view.name, view.magnification));
    let view = view_word(choice.view);
    ui.label(format!("{port}{eyepiece}: {view}, {}", fit_phrase(&choice.fit)));
    for reason in choice.reasons() {
        ui.label(quiet(tokens, format!("{}.", reason_sentence(reason))));
    }
    if let Some(best) = choices.first()
        && best.port != choice.port
        && view_word(best.view) != view_word(choice.view)
    {
        let name = rig.port(&best.port).map_or(best.port.0.as_str(), |port| port.name.as_str());
        ui.label(text::better_port(name, best.view));
    }
}
