//! Why this port and why not each of the others, each with a number; then why now, or when better.

use egui::{Label, Ui};
use evenfall_core::assign::PortChoice;
use evenfall_core::sheet::wording::{reason_sentence, weakest_link_sentence};
use evenfall_core::sheet::{
    NightOnPort, holds_back_sentence, moon_framing_sentence, port_letter, why_not_now_sentence, why_not_port,
    why_this_why_now,
};
use evenfall_core::units::Fraction;

use super::Subject;
use super::words;
use crate::ui::parts::{heading, quiet};
use crate::ui::text;
use crate::ui::theme::{TIGHT, Tokens};

/// Draws it.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    ui.spacing_mut().item_spacing.y = 3.0;
    let Some((position, port)) = subject.shown_port() else {
        ui.label(quiet(tokens, text::NO_PORT_KNOWN));
        return;
    };
    if subject.limit(subject.at).is_some() {
        say_when(ui, subject);
        return;
    }
    let Some(choice) = subject.choice(subject.at, position) else { return };
    heading(ui, &format!("{}: {}", port.name, verdict(subject, position, choice)));
    let minute = subject.port_minute(subject.at, position);
    if let Some(sentence) = minute.and_then(holds_back_sentence) {
        ui.label(format!("{sentence}."));
    }
    let framing = subject
        .target
        .and_then(|(index, _)| moon_framing_sentence(&subject.names(), index, choice, subject.at));
    if let Some(sentence) = framing {
        ui.label(format!("{sentence}."));
    }
    let weakest = minute.and_then(|minute| minute.weakest.as_ref()).map(weakest_link_sentence);
    let others = choice.reasons().map(reason_sentence).filter(|sentence| weakest.as_ref() != Some(sentence));
    for sentence in others {
        ui.add(Label::new(quiet(tokens, format!("{sentence}."))).wrap());
    }
    ui.add_space(TIGHT);
    heading(ui, words::OTHERS);
    for (other, other_port) in subject.rig().ports.iter().enumerate() {
        if other == position {
            continue;
        }
        let Some(line) = against(subject, other, choice.view) else { continue };
        ui.add(Label::new(format!("{}  {}: {line}", port_letter(other), other_port.name)).wrap());
    }
    say_when(ui, subject);
}

/// Why then, what speaks against the minute that is read, and when it is best.
fn say_when(ui: &mut Ui, subject: &Subject<'_>) {
    ui.add_space(TIGHT);
    heading(ui, words::WHEN);
    let Some((target_index, _)) = subject.target else { return };
    let names = subject.names();
    let why_not = why_not_now_sentence(&names, target_index, subject.at);
    let why_not = why_not.map(|sentence| words::why_not_at(&subject.clock(subject.at), &sentence));
    let why = subject.stop.and_then(|stop| why_this_why_now(&names, stop));
    for sentence in why.into_iter().chain(why_not) {
        ui.add(Label::new(sentence).wrap());
    }
    let (Some(told), Some(port)) = (subject.told, subject.port) else {
        ui.add(Label::new(words::FOLLOWING).wrap());
        return;
    };
    let night = NightOnPort { names: &names, target_index, minutes: &told.minutes, port };
    for sentence in night.best_time(subject.stop.map(|stop| (stop.interval, subject.worst()))) {
        ui.add(Label::new(sentence).wrap());
    }
}

/// How well a port shows it, and how long everybody takes there.
fn verdict(subject: &Subject<'_>, position: usize, choice: &PortChoice) -> String {
    let minutes = subject.minutes_for_all(position).map_or_else(String::new, words::for_all);
    format!("{}{minutes}", words::view(choice.view))
}

/// One line about another port: how well it shows, and what speaks against it.
fn against(subject: &Subject<'_>, position: usize, own: Fraction) -> Option<String> {
    let choice = subject.choice(subject.at, position)?;
    let sentence = match subject.port_minute(subject.at, position) {
        Some(minute) => holds_back_sentence(minute),
        None => why_not_port(choice),
    };
    let sentence = sentence.map_or_else(String::new, |sentence| format!(" {sentence}."));
    let longer = || {
        let in_use = subject.minutes_for_all(subject.shown_port()?.0)?;
        Some(subject.minutes_for_all(position)?.ceil() - in_use.ceil())
    };
    let better = if choice.view > own { words::better_here(longer()) } else { String::new() };
    Some(format!("{}{better}.{sentence}", verdict(subject, position, choice)))
}
