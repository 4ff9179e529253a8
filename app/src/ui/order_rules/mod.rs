//! The order rules in the Card's place: a switch and a weight for each rule of the trade, slack, bedtime, and below them
//! what is closed of the sky.

mod closed_sky;
pub mod words;

use egui::{Align, Layout, ScrollArea, TextWrapMode, Ui, vec2};
use evenfall_core::plan::edit::MOST_SLACK_PERCENT;
use evenfall_core::plan::{Evening, HEAVIEST_RULE_PERCENT, OrderRule, OrderRules};
use evenfall_core::sheet::{rule_meaning, rule_words};

use super::fields::{clock_field, percent_field};
use super::parts::{command_button, part_name, quiet};
use super::text;
use super::theme::{ROW, SPACE, Tokens};
use crate::state::{AppState, Command, Focus};

/// Width kept for the field at the end of a line.
const FIELD: f32 = 58.0;

/// Draws the panel.
pub fn show(ui: &mut Ui, state: &AppState, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        part_name(ui, words::ORDER_RULES);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            command_button(ui, state, commands, (text::CLOSE, text::CLOSE), Command::ToggleRules);
        });
    });
    let Some(open) = state.open() else { return };
    let evening = &open.document.evening;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.label(quiet(tokens, words::HINT));
        for (position, rule) in OrderRule::ALL.into_iter().enumerate() {
            let called = position == 0 && state.view.focus == Some(Focus::Rules);
            rule_line(ui, &evening.rules, &state.view.rules.former, rule, called, commands);
        }
        numbers(ui, evening, commands);
        ui.label(quiet(tokens, words::PRACTICE));
        command_button(ui, state, commands, (words::DRAFT, words::DRAFT), Command::DraftAnew)
            .on_hover_text(text::DRAFT_HINT);
        ui.add_space(SPACE);
        ui.separator();
        closed_sky::show(ui, state, open, tokens, commands);
        ui.add_space(SPACE);
    });
}

/// A rule: whether it counts, and how much.
fn rule_line(
    ui: &mut Ui,
    rules: &OrderRules,
    former: &OrderRules,
    rule: OrderRule,
    called: bool,
    commands: &mut Vec<Command>,
) {
    let (name, meaning, weight) = (rule_words(rule), rule_meaning(rule), rules.get(rule));
    let switch = |ui: &mut Ui| {
        let mut on = weight > 0;
        let switch = ui.checkbox(&mut on, name).on_hover_text(meaning);
        ui.ctx().accesskit_node_builder(switch.id, |node| node.set_description(meaning));
        if called {
            switch.request_focus();
        }
        // A rule that never counted gets the usual weight.
        let former = Some(former.get(rule)).filter(|percent| *percent > 0);
        let on_again = former.unwrap_or_else(|| OrderRules::default().get(rule));
        switch.changed().then_some(if on { on_again } else { 0 })
    };
    let field = |ui: &mut Ui| {
        let most = f64::from(HEAVIEST_RULE_PERCENT);
        percent_field(ui, &words::weight_of(name), meaning, f64::from(weight), most)
            .map(|percent| percent.round() as u8)
    };
    let (switched, weighed) = line(ui, switch, field);
    commands.extend(switched.or(weighed).map(|percent| Command::Weigh(rule, percent)));
}

/// Slack and bedtime.
fn numbers(ui: &mut Ui, evening: &Evening, commands: &mut Vec<Command>) {
    let name = |ui: &mut Ui, name: &str, hint: &str| {
        ui.label(name).on_hover_text(hint);
    };
    let (slack, bedtime) = (evening.programme.slack_percent, evening.rules.bedtime);
    let ((), changed) = line(
        ui,
        |ui| name(ui, words::SLACK, words::SLACK_HINT),
        |ui| percent_field(ui, words::SLACK, words::SLACK_HINT, slack, MOST_SLACK_PERCENT),
    );
    commands.extend(changed.map(Command::SetSlack));
    let ((), changed) = line(
        ui,
        |ui| name(ui, words::BEDTIME, words::BEDTIME_HINT),
        |ui| clock_field(ui, words::BEDTIME, words::BEDTIME_HINT, bedtime),
    );
    commands.extend(changed.map(Command::SetBedtime));
}

/// Words that break where they must, and a field at the end of the line.
fn line<W, F>(ui: &mut Ui, words: impl FnOnce(&mut Ui) -> W, field: impl FnOnce(&mut Ui) -> F) -> (W, F) {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - FIELD - SPACE).max(60.0);
        let place = Layout::left_to_right(Align::Center);
        let words = ui.allocate_ui_with_layout(vec2(width, ROW), place, |ui| {
            ui.set_width(width);
            ui.style_mut().wrap_mode = Some(TextWrapMode::Wrap);
            words(ui)
        });
        (words.inner, field(ui))
    })
    .inner
}
