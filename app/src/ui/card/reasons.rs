//! Why the order is as it is: a stop's reasons, its price and its understudy; why a target is not shown; what would change
//! the evening.

use egui::{Label, Ui};
use evenfall_core::plan::{Explained, Stop, StopReason};
use evenfall_core::sheet::{
    Names, held_price_sentence, not_shown_sentences, stop_sentences, understudy_sentence, what_if_sentence,
};

use super::{Subject, words};
use crate::state::{AppState, Command, OpenEvening, Wish, wish_for};
use crate::ui::parts::{command_button, heading, quiet, waits_long};
use crate::ui::text;
use crate::ui::theme::{SPACE, TIGHT, Tokens};

/// Why this, why now, why through this port, and what holding it costs.
pub(super) fn stop(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>, stop: &Stop) {
    let Some((explained, reason)) = reason(subject, stop) else {
        waiting(ui, tokens, subject.open);
        return;
    };
    let names = subject.names();
    ui.spacing_mut().item_spacing.y = TIGHT;
    for sentence in stop_sentences(&names, reason) {
        ui.add(Label::new(sentence).wrap());
    }
    for price in explained.held.iter().filter(|price| price.stop == stop.id) {
        ui.add(Label::new(held_price_sentence(&names, price)).wrap());
    }
}

/// What could best stand in for the stop, what that costs, and the way to have it.
pub(super) fn understudy(
    ui: &mut Ui,
    state: &AppState,
    subject: &Subject<'_>,
    stop: &Stop,
    commands: &mut Vec<Command>,
) {
    let Some(show) = stop.show() else { return };
    let names = subject.names();
    let named = show.understudy.as_ref().map(|target| names.target_name(target));
    ui.horizontal_wrapped(|ui| {
        ui.label(format!("{}: {}", text::UNDERSTUDY, named.as_deref().unwrap_or(text::NO_UNDERSTUDY)));
        if named.is_some() {
            let command = Command::SwapUnderstudy(stop.id);
            command_button(ui, state, commands, (words::SWAP_KEY, text::SWAP_HINT), command);
        }
    });
    if let Some((_, reason)) = reason(subject, stop) {
        ui.add(Label::new(understudy_sentence(&names, reason.understudy.as_ref())).wrap());
    }
}

/// Why the target is not shown, and the best hour it could have.
pub(super) fn target(ui: &mut Ui, subject: &Subject<'_>) {
    let Some((_, target)) = subject.target else { return };
    let known = subject.open.explained().map_or(&[][..], |explained| explained.not_shown.as_slice());
    let Some(not_shown) = known.iter().find(|not_shown| not_shown.target == target.id) else { return };
    ui.add_space(TIGHT);
    heading(ui, words::WHY_NOT_SHOWN);
    if wish_for(&subject.open.document.evening.wishes, &target.id) == Some(Wish::MustShow) {
        ui.add(Label::new(words::wished()).wrap());
    }
    for sentence in not_shown_sentences(&subject.names(), not_shown) {
        ui.add(Label::new(sentence).wrap());
    }
}

/// What would change the evening: a port, an hour, more visitors.
pub(super) fn what_ifs(ui: &mut Ui, open: &OpenEvening, names: &Names<'_>, tokens: &Tokens) {
    ui.add_space(SPACE);
    heading(ui, words::WHAT_WOULD_CHANGE);
    let Some(explained) = open.explained() else {
        waiting(ui, tokens, open);
        return;
    };
    for what_if in &explained.what_ifs {
        ui.add(Label::new(what_if_sentence(names, what_if)).wrap());
        ui.add_space(TIGHT);
    }
}

fn reason<'a>(subject: &Subject<'a>, stop: &Stop) -> Option<(&'a Explained, &'a StopReason)> {
    let explained = subject.open.explained()?;
    Some((explained, explained.stops.iter().find(|reason| reason.stop == stop.id)?))
}

fn waiting(ui: &mut Ui, tokens: &Tokens, open: &OpenEvening) {
    if waits_long(ui, "reasons", open.awaits_reasons()) {
        ui.label(quiet(tokens, words::REASONING));
    }
}
