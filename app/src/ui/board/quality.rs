//! How good the order on the Board is: a line beside the Board's name, a button where a new draft would be better.

use egui::{Button, Color32, FontId, Label, RichText, Role, Ui, WidgetInfo};
use evenfall_core::plan::Severity;
use evenfall_core::sheet::{
    Names, at_most_phrase, best_there_is_phrase, better_than_drafts_phrase, draft_better_phrase,
    draft_better_short_phrase, draft_shows_phrase,
};

use super::words as own_words;
use crate::state::{AppState, Command, OpenEvening, Quality, Stage};
use crate::ui::parts::waits_long;
use crate::ui::text;
use crate::ui::theme::{SMALL, Tokens, regular, semibold};

/// A bound from here on says nothing worth telling, in percent.
const HIGH_PERCENT: f64 = 10.0;

/// Draws it, or that better orders are being looked for.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    open: &OpenEvening,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    if waits_long(ui, "better orders", state.is_improving()) {
        let room = ui.available_width();
        let told = fitting(ui, &regular(SMALL), room, &[text::IMPROVING, text::IMPROVING_SHORT]);
        let label = Label::new(RichText::new(told).font(regular(SMALL))).truncate();
        let response = ui.add(label).on_hover_text(text::IMPROVING);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text::IMPROVING));
        return;
    }
    if let Some(stoppers) = Stoppers::of(open) {
        tell_stoppers(ui, state, stoppers, tokens, commands);
        return;
    }
    let stage = open.appraisal().map_or(Stage::Searching, |appraisal| appraisal.stage);
    let Some(quality) = open.quality().filter(|quality| is_told(stage, quality)) else { return };
    let words = words(open, &quality);
    if let Quality::DraftBetter(percent) = quality {
        let short = draft_better_short_phrase(percent);
        draft_button(ui, state, tokens, commands, (&words, &short, text::DRAFT_HINT));
    } else if matches!(quality, Quality::DraftShows(_)) {
        draft_button(ui, state, tokens, commands, (&words, &words, text::DRAFT_HINT));
    } else {
        let label = RichText::new(&words).font(semibold(SMALL)).color(tokens.ink);
        let response = ui.add(Label::new(label).truncate()).on_hover_text(text::QUALITY_HINT);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text::board_quality(&words)));
    }
}

/// The first of some forms, the longest first, that there is room for, or else the last.
fn fitting<'t>(ui: &Ui, font: &FontId, room: f32, forms: &[&'t str]) -> &'t str {
    let width = |form: &str| {
        ui.painter().layout_no_wrap(form.to_owned(), font.clone(), Color32::PLACEHOLDER).size().x
    };
    let fits = forms.iter().find(|form| width(form) <= room);
    fits.or(forms.last()).copied().unwrap_or_default()
}

fn draft_button(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
    (words, short, hint): (&str, &str, &str),
) {
    let with_key = format!("{words} ({})", text::DRAFT_KEY);
    let room = ui.available_width() - 2.0 * ui.spacing().button_padding.x;
    let told = fitting(ui, &semibold(SMALL), room, &[&with_key, words, short]);
    let label = RichText::new(told).font(semibold(SMALL)).color(tokens.ink);
    let allowed = Command::DraftAnew.allowed(state);
    let button = ui.add_enabled(allowed, Button::new(label).truncate());
    button.widget_info(|| WidgetInfo::labeled(Role::Button, allowed, text::board_quality(words)));
    if button.on_hover_text(format!("{words}. {hint}")).clicked() {
        commands.push(Command::DraftAnew);
    }
}

/// What can't stand on the Board: how much of it a new draft would be without, and how much is held.
#[derive(Clone, Copy)]
struct Stoppers {
    free: usize,
    held: usize,
}

impl Stoppers {
    /// `None` where everything can stand.
    fn of(open: &OpenEvening) -> Option<Self> {
        let order = &open.document.evening.order;
        let all = open.derived.findings.iter().filter(|finding| finding.severity == Severity::Stopper);
        let done = open.picked_up.iter().flat_map(|picked_up| &picked_up.done);
        let done: Vec<_> = done.copied().collect();
        let shown = &open.document.evening.shown;
        // A draft leaves what is held, and what has been shown.
        let is_held = |stop| {
            done.contains(&stop)
                || order.get(stop).is_some_and(|stop| {
                    let is_shown = stop.show().is_some_and(|show| shown.contains(&show.target));
                    stop.held.time || stop.held.port || is_shown
                })
        };
        let (held, free): (Vec<_>, Vec<_>) = all.partition(|finding| finding.stop.is_some_and(is_held));
        (!held.is_empty() || !free.is_empty()).then_some(Self { free: free.len(), held: held.len() })
    }
}

fn tell_stoppers(
    ui: &mut Ui,
    state: &AppState,
    stoppers: Stoppers,
    tokens: &Tokens,
    commands: &mut Vec<Command>,
) {
    if stoppers.free > 0 {
        let words = own_words::draft_to_mend(stoppers.free);
        let short = own_words::draft_to_mend_short(stoppers.free);
        draft_button(ui, state, tokens, commands, (&words, &short, own_words::MEND_HINT));
        return;
    }
    let words = own_words::held_stoppers(stoppers.held);
    let label = RichText::new(&words).font(semibold(SMALL)).color(tokens.ink);
    let response = ui.add(Label::new(label).truncate());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text::board_quality(&words)));
}

/// Whether it is told: nothing before the search is over, and no high bound.
fn is_told(stage: Stage, quality: &Quality) -> bool {
    match quality {
        _ if stage == Stage::Searching => false,
        Quality::AtMost(percent) => *percent <= HIGH_PERCENT,
        _ => true,
    }
}

fn words(open: &OpenEvening, quality: &Quality) -> String {
    let slack_percent = open.document.evening.programme.slack_percent;
    match quality {
        Quality::Best => best_there_is_phrase(slack_percent).to_owned(),
        Quality::BeatsDrafts { spares } => better_than_drafts_phrase(*spares).to_owned(),
        Quality::AtMost(percent) => at_most_phrase(*percent, slack_percent),
        Quality::DraftBetter(percent) => draft_better_phrase(*percent),
        Quality::DraftShows(targets) => {
            let materials = open.document.stock.materials();
            let names = Names::new(&open.document.evening, &open.derived.prepared, &materials);
            draft_shows_phrase(targets, &names)
        }
    }
}
