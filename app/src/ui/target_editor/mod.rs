//! The page of a target: what it is called, what it is, where, how bright, what to say, what the crew notes; each with its unit and
//! range, judged as it is typed.

use egui::accesskit::{Invalid, Live};
use egui::{Align, ComboBox, Context, Key, Label, Layout, Response, RichText, TextEdit, Ui, vec2};
use evenfall_core::catalogue::{Kind, Public};
use evenfall_core::plan::Severity;
use evenfall_core::sheet::wording::kind_word;

use super::dialogs::{begin_on, modal, scrolled};
use super::escape::{cancel_button, gives_up};
use super::fields::percent_field;
use super::leading_on::{ends_on, leads_on};
use super::parts::{command_button, fault_line, heading, part_name, quiet, severity_mark};
use super::theme::{BODY, ROW, SPACE, TIGHT, Tokens, regular};
use crate::state::{AppState, Command, Judgement, TARGET_KINDS, TargetField, TargetForm, TargetPage};

/// The commands.
pub const CHANGE_NAME: &str = "Change the target…";
/// What it is for.
pub const CHANGE_HINT: &str = "Its words, numbers, rating, notes and photos, in the catalogue";
/// On a button.
pub const CHANGE: &str = "Change…";
/// A new one.
pub const NEW_NAME: &str = "New target…";
/// What it is for.
pub const NEW_HINT: &str = "A target of your own in the catalogue";
/// Another like it.
pub const DUPLICATE_NAME: &str = "New target like this one…";
/// What it is for.
pub const DUPLICATE_HINT: &str = "Begins with all that is known of the target on the Card";
/// Takes it out.
pub const REMOVE_NAME: &str = "Take the target out of the catalogue";
/// What that does.
pub const REMOVE_HINT: &str = "Its stops and wishes go with it; Undo brings all of it back";

const WIDTH: f32 = 820.0;
/// Height of title and buttons.
const AROUND: f32 = 190.0;
/// Width of the names of the fields, and of numbers.
const NAMES: f32 = 190.0;
const NUMBERS: f32 = 180.0;
/// Below this width what a field means stands under it.
const BESIDE: f32 = 640.0;

const HINT: &str = "Setting it is one step that Undo takes back; saving the evening writes the catalogue's file, in which all else \
                    stays as it is. What is not known stays empty: unknown is not zero.";
const CALLED: &str = "What it is";
const SKY: &str = "Where it is, and its light";
const PAIR: &str = "The pair";
const SAY: &str = "What to say";
const OWN: &str = "For home and crew";
const KIND: &str = "Kind";
const APPEAL: &str = "Appeal";
const APPEAL_HINT: &str =
    "The pleasure it gives to a mixed public on a first visit; the order stays, and Draft anew goes by it";
const PUBLIC: &str = "Pleases most";
const USUAL_PUBLIC: &str = "as usual for its kind";
const BODY_HINT: &str = "Where it stands, its size and its light are computed.";
const SET: &str = "Set it";
const DUPLICATE: &str = "New one like it…";
const REMOVE: &str = "Take it out";
const CANCEL: &str = "Cancel";
const UNCHANGED: &str = "Nothing is changed yet.";
const EXAMPLE: &str = "Fill in an example";
const EXAMPLE_HINT: &str =
    "Numbers and words of an invented target of this kind, in what is still empty: write your own over them";

const OF_SKY: [TargetField; 6] = [
    TargetField::Place,
    TargetField::Size,
    TargetField::PositionAngle,
    TargetField::Magnitude,
    TargetField::SurfaceBrightness,
    TargetField::SpectralType,
];
const OF_PAIR: [TargetField; 4] =
    [TargetField::Separation, TargetField::PairAngle, TargetField::PairMagnitudes, TargetField::Colours];
const TO_SAY: [TargetField; 4] =
    [TargetField::Story, TargetField::Comparison, TargetField::LookFor, TargetField::Cue];
const OF_CREW: [TargetField; 3] = [TargetField::AtHome, TargetField::Notes, TargetField::Photos];

/// Draws it; the keyboard starts in the name, where Enter takes the answers; elsewhere it leads on to the next field.
pub fn show(
    context: &Context,
    state: &AppState,
    form: &TargetForm,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    let modal = modal(context, "target").show(context, |ui| {
        ui.set_width(WIDTH.min(context.content_rect().width() - 50.0));
        part_name(ui, &title(form));
        ui.add(Label::new(quiet(tokens, HINT)).wrap());
        ui.add_space(TIGHT);
        let mut changed = form.clone();
        let entered = scrolled(ui, AROUND, |ui| {
            let entered = called(ui, &mut changed, tokens);
            for (name, fields) in [(SKY, &OF_SKY[..]), (PAIR, &OF_PAIR), (SAY, &TO_SAY), (OWN, &OF_CREW)] {
                group(ui, &mut changed, (name, fields), tokens);
            }
            entered
        });
        ui.add_space(TIGHT);
        if let Some(trouble) = &changed.trouble {
            fault_line(ui, tokens, trouble);
        }
        let told = ui.add(Label::new(still_needed(&changed)).wrap());
        ui.ctx().accesskit_node_builder(told.id, |node| node.set_live(Live::Polite));
        let set = Command::SetTarget(Box::new(changed.clone()));
        let is_there = matches!(form.page, TargetPage::Change(_));
        if changed != *form {
            commands.push(Command::TargetForm(Box::new(changed)));
        }
        ui.horizontal(|ui| {
            let button = command_button(ui, state, commands, (SET, SET), set.clone());
            if entered && set.allowed(state) {
                commands.push(set);
            }
            if is_there {
                command_button(ui, state, commands, (DUPLICATE, DUPLICATE_NAME), Command::DuplicateTarget);
                command_button(ui, state, commands, (REMOVE, REMOVE_NAME), Command::RemoveTarget);
            }
            let cancel = cancel_button(ui, CANCEL, true);
            ends_on(&[&button, &cancel]);
            cancel.clicked()
        })
        .inner
    });
    if gives_up(&modal) {
        commands.push(Command::Dismiss);
    }
}

fn title(form: &TargetForm) -> String {
    match form.page {
        TargetPage::Change(_) => format!("Target: {}", form.text(TargetField::Name)),
        TargetPage::New | TargetPage::Duplicate(_) => "New target".to_owned(),
    }
}

fn still_needed(form: &TargetForm) -> String {
    let open = form.open_fields();
    let named: Vec<&str> = open.iter().take(3).map(|field| field.label()).collect();
    match open.len() - named.len() {
        _ if open.is_empty() && !form.is_changed() => UNCHANGED.to_owned(),
        _ if open.is_empty() => String::new(),
        0 => format!("Still needed or wrong: {}", named.join("; ")),
        more => format!("Still needed or wrong: {} and {more} more", named.join("; ")),
    }
}

/// Names, kind, rating; whether Enter was pressed in the name.
fn called(ui: &mut Ui, form: &mut TargetForm, tokens: &Tokens) -> bool {
    heading(ui, CALLED);
    let name = question(ui, form, TargetField::Name, tokens);
    begin_on(&name);
    let entered = name.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    question(ui, form, TargetField::OtherNames, tokens);
    row(ui, KIND, |ui| {
        if form.is_body() {
            ui.label(kind_word(form.kind));
            ui.label(quiet(tokens, BODY_HINT));
        } else {
            choice(ui, KIND, &mut form.kind, &TARGET_KINDS, |kind| kind_word(*kind).to_owned());
            let is_new = !matches!(form.page, TargetPage::Change(_));
            if is_new && ui.button(EXAMPLE).on_hover_text(EXAMPLE_HINT).clicked() {
                form.begin_with_example();
            }
        }
    });
    row(ui, APPEAL, |ui| {
        if let Some(percent) = percent_field(ui, APPEAL, APPEAL_HINT, form.appeal_percent, 100.0) {
            form.appeal_percent = percent;
        }
        ui.add(Label::new(quiet(tokens, APPEAL_HINT)).wrap());
    });
    row(ui, PUBLIC, |ui| {
        let all = [None, Some(Public::Children), Some(Public::All), Some(Public::Adults)];
        choice(ui, PUBLIC, &mut form.public, &all, |public| public_words(*public).to_owned());
    });
    entered
}

const fn public_words(public: Option<Public>) -> &'static str {
    match public {
        None => USUAL_PUBLIC,
        Some(Public::Children) => "children",
        Some(Public::All) => "everybody",
        Some(Public::Adults) => "the patient",
    }
}

/// Those of a group that are asked for this kind.
fn group(ui: &mut Ui, form: &mut TargetForm, (name, fields): (&str, &[TargetField]), tokens: &Tokens) {
    let asked: Vec<TargetField> = form.asked().filter(|field| fields.contains(field)).collect();
    if asked.is_empty() {
        return;
    }
    ui.add_space(SPACE);
    heading(ui, name);
    for field in asked {
        question(ui, form, field, tokens);
    }
}

/// A name with what stands beside it.
fn row<T>(ui: &mut Ui, name: &str, rest: impl FnOnce(&mut Ui) -> T) -> T {
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(vec2(NAMES, ROW), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAMES);
            ui.add(Label::new(name).wrap());
        });
        rest(ui)
    })
    .inner
}

/// One of some.
pub(super) fn choice<T: Clone + PartialEq>(
    ui: &mut Ui,
    name: &str,
    chosen: &mut T,
    all: &[T],
    say: impl Fn(&T) -> String,
) {
    let most = ui.ctx().content_rect().height() * 0.6;
    let list = ComboBox::from_id_salt(name).width(NUMBERS).height(most).truncate();
    let response = list.selected_text(say(chosen)).show_ui(ui, |ui| {
        for one in all {
            if ui.selectable_label(one == chosen, say(one)).clicked() {
                *chosen = one.clone();
            }
        }
    });
    ui.ctx().accesskit_node_builder(response.response.id, |node| node.set_label(name));
    leads_on(&response.response);
}

/// Whether a field takes words, which need all the room there is.
const fn is_long(field: TargetField) -> bool {
    !matches!(
        field,
        TargetField::Size
            | TargetField::PositionAngle
            | TargetField::Magnitude
            | TargetField::SurfaceBrightness
            | TargetField::SpectralType
            | TargetField::Separation
            | TargetField::PairAngle
            | TargetField::PairMagnitudes
    )
}

/// A question: its name, its field, what it means; below, how it is read or what is wrong.
fn question(ui: &mut Ui, form: &mut TargetForm, field: TargetField, tokens: &Tokens) -> Response {
    let judgement = form.judge(field);
    let beside = ui.available_width() >= BESIDE && !is_long(field);
    let mut typed = form.text(field).to_owned();
    let edit = row(ui, field.label(), |ui| {
        let width = if is_long(field) { ui.available_width() - TIGHT } else { NUMBERS };
        let edit = TextEdit::singleline(&mut typed).desired_width(width).min_size(vec2(0.0, ROW));
        let edit = ui.add(edit).on_hover_text(field.help());
        let described = format!("{} {}", field.help(), judgement.words());
        ui.ctx().accesskit_node_builder(edit.id, |node| {
            node.set_label(field.label());
            node.set_description(described);
            if matches!(judgement, Judgement::Wrong(_)) {
                node.set_invalid(Invalid::True);
            }
        });
        if edit.gained_focus() {
            edit.scroll_to_me(None);
        }
        leads_on(&edit);
        if beside {
            ui.add(Label::new(quiet(tokens, field.help())).wrap());
        }
        edit
    });
    if edit.changed() {
        form.put(field, typed);
    }
    if !beside {
        below(ui, |ui| drop(ui.add(Label::new(quiet(tokens, field.help())).wrap())));
    }
    told(ui, &judgement, tokens);
    edit
}

/// Under a field.
fn below(ui: &mut Ui, rest: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.add_space(NAMES + SPACE);
        rest(ui);
    });
}

fn told(ui: &mut Ui, judgement: &Judgement, tokens: &Tokens) {
    let severity = match judgement {
        Judgement::Wrong(_) => Some(Severity::Stopper),
        Judgement::Odd(_) => Some(Severity::Caution),
        Judgement::Good(_) | Judgement::Missing => None,
    };
    if judgement.words().is_empty() {
        return;
    }
    below(ui, |ui| {
        if let Some(severity) = severity {
            let (rect, _) = ui.allocate_exact_size(vec2(14.0, 14.0), egui::Sense::hover());
            severity_mark(ui.painter(), tokens, rect.center(), severity);
        }
        ui.add(Label::new(RichText::new(judgement.words()).font(regular(BODY))).wrap());
    });
}

/// A kind in words, for the lists of kinds.
pub(super) fn kind_words(kind: Kind) -> String {
    kind_word(kind).to_owned()
}
