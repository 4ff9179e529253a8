//! What is painted on the Board, in words for a screen reader and for tests.

use egui::{AsIdSalt, Rect, Response, Role, Sense, Ui, WidgetInfo};
use evenfall_core::sheet::{numbers, wording};

use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use super::words;
use crate::ui::text;

/// Names a stop's block: what, where, when, how high, and what is wrong. Nothing is worded unless somebody listens.
pub fn name_block(response: &Response, model: &BoardModel<'_>, block: &Block) {
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, block.selected, block_words(model, block)));
    response.ctx.accesskit_node_builder(response.id, |node| {
        let wrong = model.finding_sentences(block.stop);
        let about = [block.overruled.as_deref(), Some(block.cue.as_str())];
        let about = about.into_iter().flatten().filter(|words| !words.is_empty());
        let about: Vec<&str> = wrong.iter().map(String::as_str).chain(about).collect();
        node.set_description(about.join(" "));
        if let Some(altitudes) = altitude_words(model, block) {
            node.set_value(altitudes);
        }
    });
}

/// Tells the same of a block under the pointer.
pub fn tell_block(response: &Response, model: &BoardModel<'_>, block: &Block) {
    response.clone().on_hover_ui(|ui| {
        ui.label(block_words(model, block));
        let wrong = model.finding_sentences(block.stop);
        for words in altitude_words(model, block).into_iter().chain(model.travel_words(block)).chain(wrong) {
            ui.label(words);
        }
    });
}

fn block_words(model: &BoardModel<'_>, block: &Block) -> String {
    let night = &model.open.derived.prepared.night.local;
    let span = numbers::clock_span(night, block.interval);
    let lane = block.lane.and_then(|lane| model.lanes.get(lane));
    let place = lane.map_or_else(|| text::ALL_PORTS.to_owned(), |lane| format!("on {}", lane.name));
    let mut words = format!("Stop {}: {} {place}, {span}", block.number, block.title);
    if block.held {
        words.push_str(", held");
    }
    if let Some(bite) = block.bite {
        words.push_str(", has a ");
        words.push_str(wording::severity_word(bite.severity));
    }
    words
}

/// Names a place on the Board in words that are found only if somebody listens.
fn name(ui: &Ui, rect: Rect, salt: impl AsIdSalt, words: impl Fn() -> String) -> Response {
    let response = ui.interact(rect, ui.scope_id().with(salt), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words()));
    response
}

fn name_with_value(
    ui: &Ui,
    rect: Rect,
    salt: &str,
    words: impl Fn() -> String,
    value: impl FnOnce() -> String,
) {
    let response = name(ui, rect, salt, words);
    response.ctx.accesskit_node_builder(response.id, |node| node.set_value(value()));
}

/// Names what is painted above the lanes: hours, sky light with the events of the night, Moon, closed parts of the sky.
pub fn name_sky(ui: &Ui, model: &BoardModel<'_>, layout: &BoardLayout) {
    if let Some(utc) = layout.utc {
        name(ui, utc, "utc", || words::CLOCK_UTC.to_owned());
    }
    name(ui, layout.hours, "hours", || model.axis_words().replace('\n', " "));
    name(ui, layout.sky, "sky light", || {
        let marks: Vec<&str> = model.marks.iter().map(|mark| mark.label.as_str()).collect();
        format!("{}: {}", text::SKY_LIGHT, marks.join(", "))
    });
    name(ui, layout.moon, "moon", || moon_words(model));
    for (position, (band, rect)) in model.closed.iter().zip(&layout.closed).enumerate() {
        name(ui, *rect, ("closed sky", position), || {
            let runs_into = |block: &&Block| block.closed.iter().any(|run| run.overlaps(band.interval));
            let stops = model.blocks.iter().filter(runs_into);
            let stops: Vec<String> =
                stops.map(|block| format!("stop {}, {}", block.number, block.title)).collect();
            words::closed_sky(&band.words, &stops)
        });
    }
}

/// Names what is painted below the stops: the telescope with every move, the line.
pub fn name_below(ui: &Ui, model: &BoardModel<'_>, layout: &BoardLayout, tells: bool) {
    let travels = || model.blocks.iter().filter_map(|block| Some((block, block.travel.as_ref()?)));
    let told = || {
        let moving_s: f64 = travels().map(|(_, travel)| travel.interval.seconds()).sum();
        words::telescope(travels().count(), &numbers::duration(moving_s), &model.slack.words())
    };
    let free = || model.slack.stretches(|at| model.clock(at)).join(", ");
    name_with_value(ui, layout.telescope, "telescope", told, free);
    for (block, travel) in travels() {
        let words = || model.travel_words(block).unwrap_or_default();
        let rect = layout.before(block.lane, travel.interval);
        let response = name(ui, rect, ("move", block.stop.0), words);
        if tells {
            response.on_hover_ui(|ui| drop(ui.label(words())));
        }
    }
    if let Some(band) = &model.line {
        let told = || text::IN_LINE_AT_EYEPIECE.to_owned();
        name_with_value(ui, layout.line, "line", told, || band.words(model.open));
    }
}

/// The Moon of the night in a sentence.
pub fn moon_words(model: &BoardModel<'_>) -> String {
    let prepared = &model.open.derived.prepared;
    let phase = wording::phase_word(prepared.night.moon_phase);
    let (at, lit) = prepared.moon_illuminated_at_mid();
    let clock = text::clock(&prepared.night.local, at);
    format!("{}: {phase}, {} lit at {clock}", text::MOON, numbers::percent(lit))
}

/// How high a stop's target stands at its start and end, and when its part of the sky is closed.
fn altitude_words(model: &BoardModel<'_>, block: &Block) -> Option<String> {
    let prepared = &model.open.derived.prepared;
    let altitude = |at| Some(numbers::degrees(prepared.sample(block.target_index?, at)?.altitude));
    let (from, to) = (altitude(block.interval.start())?, altitude(block.interval.end())?);
    let mut words = words::altitudes(&from, &to);
    for closed in &block.closed {
        let when = numbers::clock_span(&prepared.night.local, *closed);
        words.extend([", ", words::CLOSED_HERE, " ", when.as_str()]);
    }
    Some(words)
}
