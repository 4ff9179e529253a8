//! The Card: everything about the one thing selected, from what it is to what to say.
//!
//! `subject` says what is told; then from top to bottom: `verdict` (which port, how well, what holds it back), `actions`,
//! `reasons` (why the order is so), `evening_chart` (the `path` and the `strips` of the chain through the evening), `fields`, `why`, `numbers_table`,
//! `sources` and the words for visitors. `section` folds a part away; `words` is the Card's own wording.

mod account;
mod actions;
mod evening_chart;
mod field_shapes;
mod fields;
mod numbers_table;
mod orientation;
mod overview;
mod path;
mod reasons;
mod section;
mod sources;
mod strips;
mod subject;
mod verdict;
mod why;
mod words;

pub use self::overview::bring_findings;
pub use self::verdict::paint_overruled;
pub use self::words::overruled as overruled_words;

use egui::{Id, Label, RichText, ScrollArea, Ui};
use evenfall_core::plan::{Severity, Stop, What};
use evenfall_core::sheet::wording::{entry_kind_word, kind_word, severity_word};
use evenfall_core::sheet::{Notice, finding_sentence, numbers};

use self::section::section;
use self::subject::Subject;
use super::parts::{heading, part_name, quiet, severity_mark};
use super::text;
use super::theme::{HEADING, SPACE, TIGHT, Tokens, semibold};
use crate::state::{AppState, CardSection, Command, Selected};

/// Room for the name of a matter.
const LABEL: f32 = 74.0;

/// Draws the Card.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    part_name(ui, text::CARD);
    let is_new = is_new(ui, state.view.selected.as_ref());
    let Some(subject) = Subject::new(state) else {
        if let Some(open) = state.open() {
            overview::show(ui, open, tokens, commands);
        }
        return;
    };
    let mut area = ScrollArea::vertical().auto_shrink(false);
    if is_new {
        area = area.vertical_scroll_offset(0.0);
    }
    area.show(ui, |ui| {
        title(ui, tokens, &subject);
        verdict::show(ui, state, tokens, &subject, commands);
        ui.add_space(TIGHT);
        actions::show(ui, state, &subject, commands);
        wish_given_up(ui, tokens, &subject);
        findings(ui, tokens, &subject);
        if subject.stop.is_none() {
            reasons::target(ui, &subject);
        }
        if subject.target.is_some() {
            about_target(ui, state, tokens, &subject, commands);
        }
        words_to_say(ui, state, tokens, &subject, commands);
    });
}

fn about_target(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    if let Some(stop) = subject.stop {
        section(ui, state, tokens, (CardSection::Place, words::WHY_HERE), commands, |ui, _| {
            reasons::stop(ui, tokens, subject, stop);
        });
    }
    let evening = (CardSection::Evening, words::THROUGH_THE_EVENING);
    section(ui, state, tokens, evening, commands, |ui, commands| {
        evening_chart::show(ui, state, tokens, subject, commands);
    });
    let title = words::fields_title(&subject.clock(subject.at));
    section(ui, state, tokens, (CardSection::Fields, &title), commands, |ui, commands| {
        fields::show(ui, state, tokens, subject, commands);
    });
    section(ui, state, tokens, (CardSection::Why, words::WHY), commands, |ui, _| {
        why::show(ui, tokens, subject);
    });
    if let Some(told) = subject.told.filter(|told| !told.notes.is_empty()) {
        section(ui, state, tokens, (CardSection::Rig, words::AT_THE_TELESCOPE), commands, |ui, _| {
            notes(ui, tokens, &told.notes);
        });
    }
    section(ui, state, tokens, (CardSection::Numbers, words::NUMBERS), commands, |ui, _| {
        numbers_table::show(ui, tokens, subject);
    });
    section(ui, state, tokens, (CardSection::Sources, words::SOURCES), commands, |ui, _| {
        sources::show(ui, tokens, subject);
    });
}

/// What the rig does while the stop lasts: who reaches the eyepiece, where the line forms, dome, field, guider.
fn notes(ui: &mut Ui, tokens: &Tokens, notes: &[Notice]) {
    for Notice { label, value } in notes {
        labelled(ui, tokens, label, value);
    }
}

/// A matter, and what is said of it beside its name.
fn labelled(ui: &mut Ui, tokens: &Tokens, label: &str, words: &str) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.allocate_ui(egui::vec2(LABEL, 18.0), |ui| {
            ui.set_min_width(LABEL);
            ui.label(quiet(tokens, label));
        });
        ui.add(Label::new(words).wrap());
    });
}

/// Whether something else was selected in the frame before.
fn is_new(ui: &Ui, selected: Option<&Selected>) -> bool {
    let id = Id::unique("told on the Card");
    let told = ui.data(|data| data.get_temp::<Selected>(id));
    if selected.is_none() {
        ui.data_mut(|data| data.remove::<Selected>(id));
    }
    if let Some(selected) = selected.filter(|selected| told.as_ref() != Some(*selected)) {
        ui.data_mut(|data| data.insert_temp(id, selected.clone()));
        return true;
    }
    false
}

fn title(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    let (name, kind) = match (subject.target, subject.stop) {
        (Some((_, target)), _) => (target.name.clone(), kind_word(target.kind)),
        (None, Some(stop)) => (subject.open.title(stop), stop_kind(stop)),
        (None, None) => (String::new(), ""),
    };
    let kind = if kind == name { "" } else { kind };
    ui.label(RichText::new(name).font(semibold(HEADING)));
    let night = &subject.open.derived.prepared.night.local;
    let when = match subject.stop {
        Some(stop) => format!(
            "{kind}  ·  {}, {}",
            numbers::clock_span(night, stop.interval),
            numbers::minutes(stop.interval.minutes())
        ),
        None => kind.to_owned(),
    };
    ui.label(when.trim_start_matches("  ·  "));
    if let Some((_, target)) = subject.target
        && !target.words.line.is_empty()
    {
        ui.label(quiet(tokens, target.words.line.as_str()));
    }
}

/// That a target which is wished for is not shown, and why.
fn wish_given_up(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    let (None, Some((_, target))) = (subject.stop, subject.target) else { return };
    if let Some(sentence) = account::why_given_up(subject.open, &target.id, &subject.names()) {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 20.0), egui::Sense::hover());
            severity_mark(ui.painter(), tokens, rect.center(), Severity::Caution);
            ui.add(Label::new(sentence).wrap());
        });
    }
}

const fn stop_kind(stop: &Stop) -> &'static str {
    match &stop.what {
        What::Entry { kind, .. } => entry_kind_word(*kind),
        What::Show(_) => text::NOT_IN_CATALOGUE,
    }
}

fn findings(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    let Some(stop) = subject.stop else { return };
    let names = subject.names();
    let own: Vec<_> =
        subject.open.derived.findings.iter().filter(|finding| finding.stop == Some(stop.id)).collect();
    if own.is_empty() {
        return;
    }
    ui.add_space(TIGHT);
    heading(ui, text::FINDINGS);
    for finding in own {
        let (what, remedy) = finding_sentence(finding, &names);
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 20.0), egui::Sense::hover());
            severity_mark(ui.painter(), tokens, rect.center(), finding.severity);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.label(format!("{}: {what}", severity_word(finding.severity)));
                ui.label(quiet(tokens, remedy));
            });
        });
    }
    ui.add_space(SPACE / 2.0);
}

fn words_to_say(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    let photos = subject.target.map(|(_, target)| target.notes.photos.join("\n")).unwrap_or_default();
    let said: Vec<(&str, &str)> = match (subject.target, subject.stop.map(|stop| &stop.what)) {
        (Some((_, target)), _) => {
            let own = &target.words;
            vec![
                (text::CUE, own.cue.as_str()),
                (text::COMPARISON, own.comparison.as_str()),
                (text::LOOK_FOR, own.look_for.as_str()),
                (words::AT_HOME, target.notes.at_home.as_str()),
                (words::CREW_NOTES, target.notes.crew.as_str()),
                (words::PHOTOS, photos.as_str()),
            ]
        }
        (None, Some(What::Entry { cue, .. })) => vec![(text::CUE, cue.as_str())],
        _ => Vec::new(),
    };
    let said: Vec<_> = said.into_iter().filter(|(_, words)| !words.is_empty()).collect();
    if said.is_empty() {
        return;
    }
    section(ui, state, tokens, (CardSection::Words, text::WORDS), commands, |ui, _| {
        for (label, words) in said {
            labelled(ui, tokens, label, words);
        }
    });
}
