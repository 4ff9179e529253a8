//! What is painted on the Board, in words for a screen reader and for tests.

use egui::{Response, Role, Sense, Ui, WidgetInfo};
use evenfall_core::sheet::{numbers, wording};

use super::layout::BoardLayout;
use super::model::{Block, BoardModel};
use crate::ui::parts::name_drawing;
use crate::ui::text;

/// Names a stop's block: what, where, when, and what is wrong.
pub fn name_block(response: &Response, model: &BoardModel<'_>, block: &Block) {
    let night = &model.open.derived.prepared.night.local;
    let span = numbers::clock_span(night, block.interval);
    let lane = block.lane.and_then(|lane| model.lanes.get(lane));
    let place = lane.map_or_else(|| text::ALL_PORTS.to_owned(), |lane| format!("on {}", lane.name));
    let mut label = format!("Stop {}: {} {place}, {span}", block.number, block.title);
    if block.held {
        label.push_str(", held");
    }
    if let Some(severity) = block.gravest {
        label.push_str(", has a ");
        label.push_str(wording::severity_word(severity));
    }
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, block.selected, &label));
    let about = [block.overruled.as_deref(), Some(block.cue.as_str())];
    let about: Vec<&str> = about.into_iter().flatten().filter(|words| !words.is_empty()).collect();
    response.ctx.accesskit_node_builder(response.id, |node| node.set_description(about.join(" ")));
}

/// Names the strips of sky light, Moon and line, and the altitude paths.
pub fn name_drawings(ui: &Ui, model: &BoardModel<'_>, layout: &BoardLayout) {
    let words = model.axis_words().replace('\n', " ");
    let name = |rect, salt: &str, words: String| {
        let response = ui.interact(rect, ui.scope_id().with(salt), Sense::hover());
        name_drawing(&response, &words);
    };
    let marks: Vec<&str> = model.marks.iter().map(|mark| mark.label.as_str()).collect();
    name(layout.hours, "hours", words);
    name(layout.sky, "sky light", format!("{}: {}", text::SKY_LIGHT, marks.join(", ")));
    name(layout.moon, "moon", moon_words(model));
    if let Some(band) = &model.line {
        let response = ui.interact(layout.line, ui.scope_id().with("line"), Sense::hover());
        name_drawing(&response, text::IN_LINE_AT_EYEPIECE);
        let value = band.words(model.open);
        response.ctx.accesskit_node_builder(response.id, |node| node.set_value(value));
    }
    let paths: Vec<String> = model.paths.iter().filter_map(|path| path_words(model, path)).collect();
    name(layout.plot, "altitude paths", format!("{}: {}", text::ALTITUDE, paths.join("; ")));
}

/// The Moon of the night in a sentence.
pub fn moon_words(model: &BoardModel<'_>) -> String {
    let prepared = &model.open.derived.prepared;
    let phase = wording::phase_word(prepared.night.moon_phase);
    let (at, lit) = prepared.moon_illuminated_at_mid();
    let clock = text::clock(&prepared.night.local, at);
    format!("{}: {phase}, {} lit at {clock}", text::MOON, numbers::percent(lit))
}

fn path_words(model: &BoardModel<'_>, path: &super::model::Path<'_>) -> Option<String> {
    let shown = path.shown?;
    let prepared = &model.open.derived.prepared;
    let from = prepared.sample(path.target_index, shown.start())?;
    let to = prepared.sample(path.target_index, shown.end())?;
    let (from, to) = (numbers::degrees(from.altitude), numbers::degrees(to.altitude));
    Some(format!("{} from {from} to {to}", path.target.name))
}
