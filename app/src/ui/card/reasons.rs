//! Why this port: the reasons of the port in use, or of the best one.

use egui::Ui;
use evenfall_core::plan::{Stop, weakest_link};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::wording::{fit_phrase, reason_sentence, view_word, weakest_link_sentence};

use super::Subject;
use crate::ui::parts::{heading, quiet};
use crate::ui::text;
use crate::ui::theme::Tokens;

/// What holds the view back most: when the stop starts, or at the target's best time.
fn holds_back(subject: &Subject<'_>, port: &PortId) -> Option<String> {
    let (target, _) = subject.target?;
    let prepared = &subject.open.derived.prepared;
    let best = prepared.availability.get(target)?.best;
    let at = subject.stop.map(Stop::start).or(best.map(|(at, _)| at))?;
    let materials = subject.open.document.stock.materials();
    weakest_link(prepared, &materials, target, port, at).map(|link| weakest_link_sentence(&link))
}

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
    let weakest = holds_back(subject, &choice.port);
    if let Some(sentence) = &weakest {
        ui.label(format!("{sentence}."));
    }
    let others = choice.reasons().map(reason_sentence).filter(|sentence| weakest.as_ref() != Some(sentence));
    for sentence in others {
        ui.label(quiet(tokens, format!("{sentence}.")));
    }
    if let Some(best) = choices.first()
        && best.port != choice.port
        && view_word(best.view) != view_word(choice.view)
    {
        let name = rig.port(&best.port).map_or(best.port.0.as_str(), |port| port.name.as_str());
        ui.label(text::better_port(name, best.view));
    }
}
