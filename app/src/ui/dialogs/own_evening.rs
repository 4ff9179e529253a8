//! The page on which an evening of one's own is described: every question with its unit and range, judged as it is typed.

use egui::{Button, Context, Key, Label, RichText, TextEdit, Ui, vec2};

use super::{begin_on, modal, scrolled};
use crate::state::{Command, Judgement, OwnField, OwnForm, PortTemplate};
use crate::ui::escape::{cancel_button, gives_up};
use crate::ui::parts::{heading, part_name, quiet, severity_mark};
use crate::ui::theme::{BODY, ROW, SPACE, TIGHT, Tokens, regular};

const WIDTH: f32 = 820.0;
/// Height of title and buttons.
const AROUND: f32 = 190.0;
/// Width of the names of the fields, and of the fields.
const NAMES: f32 = 216.0;
const FIELDS: f32 = 200.0;
/// Below this width what a field means stands under it.
const BESIDE: f32 = 700.0;

const TITLE: &str = "An evening of your own";
const HINT: &str = "Four plain text files are written: evening, site, telescope, and the demo's invented catalogue to start \
                    with. Fields with a usual value can stay as they are.";
const SITE: &str = "Where";
const TELESCOPE: &str = "With which telescope";
const PORTS: &str = "Through which ports";
const PORTS_HINT: &str = "Four to start from; untick what you do not have.";
const EVENING: &str = "When, and for whom";
const NO_PORT: &str = "At least one port is needed.";
const GO: &str = "Write the files and open it";
const CANCEL: &str = "Cancel";
const WRITING: &str = "Writing the files";

const OF_SITE: [OwnField; 6] = [
    OwnField::SiteName,
    OwnField::Latitude,
    OwnField::Longitude,
    OwnField::Height,
    OwnField::Zone,
    OwnField::Darkness,
];
const OF_TELESCOPE: [OwnField; 6] = [
    OwnField::TelescopeName,
    OwnField::Aperture,
    OwnField::FocalLength,
    OwnField::Obstruction,
    OwnField::LowestAltitude,
    OwnField::HighestAltitude,
];
const OF_EVENING: [OwnField; 6] = [
    OwnField::Title,
    OwnField::Date,
    OwnField::DoorsOpen,
    OwnField::DoorsClose,
    OwnField::Visitors,
    OwnField::Folder,
];

/// Draws it; the keyboard starts in the first field.
pub(super) fn show(context: &Context, form: &OwnForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    let modal = modal(context, "evening of one's own").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 50.0));
        part_name(ui, TITLE);
        ui.add(Label::new(quiet(tokens, HINT)).wrap());
        scrolled(ui, AROUND, |ui| {
            group(ui, form, SITE, OF_SITE, tokens, commands);
            group(ui, form, TELESCOPE, OF_TELESCOPE, tokens, commands);
            ports(ui, form, tokens, commands);
            group(ui, form, EVENING, OF_EVENING, tokens, commands);
        });
        ui.add_space(TIGHT);
        let open = form.open_fields();
        let ready = open.is_empty() && PortTemplate::ALL.into_iter().any(|port| form.has_port(port));
        let told = match (&form.trouble, ready) {
            _ if form.making => WRITING.to_owned(),
            (Some(trouble), _) => trouble.clone(),
            (None, true) => String::new(),
            (None, false) if open.is_empty() => NO_PORT.to_owned(),
            (None, false) => still_needed(&open),
        };
        let told = ui.add(Label::new(told).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(egui::accesskit::Live::Polite));
        ui.horizontal(|ui| {
            if ui.add_enabled(ready && !form.making, Button::new(GO)).clicked() {
                commands.push(Command::MakeOwn);
            }
            cancel_button(ui, CANCEL, !form.making).clicked()
        })
        .inner
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

fn still_needed(open: &[OwnField]) -> String {
    let named: Vec<&str> = open.iter().take(3).map(|field| field.label()).collect();
    let more = open.len() - named.len();
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!("Still needed: {}{more}", named.join("; "))
}

fn group(
    ui: &mut Ui,
    form: &OwnForm,
    name: &str,
    fields: impl IntoIterator<Item = OwnField>,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    ui.add_space(SPACE);
    heading(ui, name);
    for field in fields {
        question(ui, form, field, tokens, commands);
    }
}

fn ports(ui: &mut Ui, form: &OwnForm, tokens: &Tokens, commands: &mut Vec<Command>) {
    ui.add_space(SPACE);
    heading(ui, PORTS);
    ui.label(quiet(tokens, PORTS_HINT));
    for port in PortTemplate::ALL {
        let mut has = form.has_port(port);
        if ui.checkbox(&mut has, port.words()).changed() {
            commands.push(Command::OwnPort(port, has));
        }
        if form.has_port(port) {
            for field in port.fields() {
                question(ui, form, field, tokens, commands);
            }
        }
    }
}

/// A question: its name, its field, what it means; below, what there is to say about the answer.
fn question(ui: &mut Ui, form: &OwnForm, field: OwnField, tokens: &Tokens, commands: &mut Vec<Command>) {
    let beside = ui.available_width() >= BESIDE;
    let judgement = form.judge(field);
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            vec2(NAMES, ROW),
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(NAMES);
                ui.label(field.label());
            },
        );
        let mut typed = form.text(field).to_owned();
        let is_path = field == OwnField::Folder;
        let width = if is_path { ui.available_width() - TIGHT } else { FIELDS };
        let edit = TextEdit::singleline(&mut typed).desired_width(width).min_size(vec2(0.0, ROW));
        let edit = ui.add(edit).on_hover_text(field.help());
        let described = format!("{} {}", field.help(), judgement.words());
        ui.ctx().accesskit_node_builder(edit.id, |node| {
            node.set_label(field.label());
            node.set_description(described);
            if matches!(judgement, Judgement::Wrong(_)) {
                node.set_invalid(egui::accesskit::Invalid::True);
            }
        });
        if field == OwnField::SiteName {
            begin_on(&edit);
        }
        if edit.gained_focus() {
            edit.scroll_to_me(None);
        }
        // Enter stays in it.
        if edit.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            edit.request_focus();
        }
        if edit.changed() {
            commands.push(Command::OwnText(field, typed));
        }
        if beside && !is_path {
            ui.add(Label::new(quiet(tokens, field.help())).wrap());
        }
    });
    if !beside || field == OwnField::Folder {
        ui.add(Label::new(quiet(tokens, field.help())).wrap());
    }
    told(ui, &judgement, tokens);
}

fn told(ui: &mut Ui, judgement: &Judgement, tokens: &Tokens) {
    use evenfall_core::plan::Severity;
    let severity = match judgement {
        Judgement::Wrong(_) => Some(Severity::Stopper),
        Judgement::Odd(_) => Some(Severity::Caution),
        Judgement::Good(_) | Judgement::Missing => None,
    };
    if judgement.words().is_empty() {
        return;
    }
    ui.horizontal(|ui| {
        ui.add_space(NAMES + SPACE);
        if let Some(severity) = severity {
            let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), egui::Sense::hover());
            severity_mark(ui.painter(), tokens, rect.center(), severity);
        }
        let words = RichText::new(judgement.words()).font(regular(BODY));
        ui.add(Label::new(words).wrap());
    });
}

#[cfg(test)]
mod tests {
    use super::{OF_EVENING, OF_SITE, OF_TELESCOPE, OwnField, PortTemplate};

    #[test]
    fn every_question_is_asked_once_in_the_order_of_all() {
        let of_ports = PortTemplate::ALL.into_iter().flat_map(PortTemplate::fields);
        let asked: Vec<_> =
            OF_SITE.into_iter().chain(OF_TELESCOPE).chain(of_ports).chain(OF_EVENING).collect();
        assert_eq!(asked, OwnField::ALL);
    }
}
