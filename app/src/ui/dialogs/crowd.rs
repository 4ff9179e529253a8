//! The part of House and doors about the crowd: when visitors come and go, part by part, and how long a look at each kind takes.

use egui::{ComboBox, Ui};
use evenfall_core::catalogue::Kind;
use evenfall_core::plan::VisitorPart;
use evenfall_core::sheet::wording::kind_word;

use super::house::question;
use crate::state::{CrowdWay, HouseForm, LOOK_SECONDS, MOST_PARTS, PART_MINUTES, PART_PERCENT};
use crate::ui::fields::{minutes_field, seconds_field, share_field};
use crate::ui::parts::{heading, named_button};
use crate::ui::theme::SPACE;

const USUAL: &str = "As usual";
const COMING: &str = "Coming";
const GOING: &str = "Going";
const COMING_USUAL: &str =
    "A tenth before doors open, half and more within 45 minutes, the last after two hours and a half.";
const GOING_USUAL: &str = "Families after an hour and a quarter of darkness, not before bedtime; others one by one, some at the end.";
const ALL_STAY: &str = "All stay until doors close.";
const FROM: &str = "from";
const TO: &str = "to";
const AFTER: &str = "after doors open,";
const SHARE_HINT: &str = "Of all visitors";
const ANOTHER: &str = "Another part";
const DROP: &str = "Drop";
const KIND: &str = "Seconds of its own for";
const CHOOSE: &str = "another kind…";
const AS_OTHERS: &str = "In proportion";

/// The heading of the part.
pub(super) const fn way_words(way: CrowdWay) -> &'static str {
    match way {
        CrowdWay::Coming => COMING,
        CrowdWay::Going => GOING,
    }
}

/// When visitors come, or when they go.
pub(super) fn coming_or_going(ui: &mut Ui, form: &mut HouseForm, way: CrowdWay) {
    let words = way_words(way);
    ui.add_space(SPACE);
    heading(ui, words);
    let parts = form.parts(way).cloned();
    let mut usual = parts.is_none();
    let switch = ui.checkbox(&mut usual, USUAL);
    let hint = match way {
        CrowdWay::Coming => COMING_USUAL,
        CrowdWay::Going => GOING_USUAL,
    };
    ui.ctx().accesskit_node_builder(switch.id, |node| {
        node.set_label(format!("{words}: {USUAL}"));
        node.set_description(hint);
    });
    if switch.on_hover_text(hint).changed() {
        form.set_usual(way, usual);
        return;
    }
    let Some(parts) = parts else { return };
    if parts.is_empty() {
        ui.label(ALL_STAY);
    }
    for (position, part) in parts.iter().enumerate() {
        part_line(ui, form, way, (position, *part));
    }
    if named_button(ui, ANOTHER, &format!("{words}: {ANOTHER}"), parts.len() < MOST_PARTS).clicked() {
        form.add_part(way);
    }
}

/// Those who come, or go, between two minutes.
fn part_line(ui: &mut Ui, form: &mut HouseForm, way: CrowdWay, (position, part): (usize, VisitorPart)) {
    let name = format!("{}, part {}", way_words(way), position + 1);
    let mut changed = part;
    let mut dropped = false;
    ui.horizontal(|ui| {
        for (word, minutes) in [(FROM, &mut changed.from_minutes), (TO, &mut changed.until_minutes)] {
            ui.label(word);
            let shown = minutes.round() as u32;
            if let Some(typed) = minutes_field(ui, &format!("{name}: {word}"), shown, PART_MINUTES) {
                *minutes = f64::from(typed);
            }
        }
        ui.label(AFTER);
        if let Some(percent) =
            share_field(ui, (&format!("{name}: share"), SHARE_HINT), part.percent, PART_PERCENT)
        {
            changed.percent = percent;
        }
        dropped = named_button(ui, DROP, &format!("{DROP}: {name}"), true).clicked();
    });
    if dropped {
        form.drop_part(way, position);
    } else if changed != part {
        form.set_part(way, position, changed);
    }
}

/// How long a look at a kind takes, where the usual proportion does not hold.
pub(super) fn looks_by_kind(ui: &mut Ui, form: &mut HouseForm) {
    for (kind, seconds) in form.seconds_by_kind.clone() {
        let word = kind_word(kind);
        question(ui, &format!("One look: {word}"), |ui| {
            let name = format!("One look: {word}");
            if let Some(seconds) = seconds_field(ui, (&name, ""), seconds, LOOK_SECONDS) {
                form.set_kind(kind, Some(seconds));
            }
            if named_button(ui, AS_OTHERS, &format!("{AS_OTHERS}: {word}"), true).clicked() {
                form.set_kind(kind, None);
            }
        });
    }
    question(ui, KIND, |ui| {
        let list = ComboBox::from_id_salt(KIND).selected_text(CHOOSE);
        let list = list.show_ui(ui, |ui| {
            for kind in Kind::ALL {
                let known = form.seconds_by_kind.iter().any(|(own, _)| *own == kind);
                if !known && ui.selectable_label(false, kind_word(kind)).clicked() {
                    form.set_kind(kind, Some(form.look_seconds));
                }
            }
        });
        ui.ctx().accesskit_node_builder(list.response.id, |node| node.set_label(KIND));
    });
}
