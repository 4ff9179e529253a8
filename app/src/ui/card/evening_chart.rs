//! The path through the evening: altitude over time with the horizon below it, the strips of the chain under it, and the
//! minute that is read.

use egui::accesskit::Action;
use egui::{
    EventFilter, Id, Key, Modifiers, Rect, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use evenfall_core::chart::TimeAxis;
use evenfall_core::sheet::numbers;
use evenfall_core::sheet::wording::limit_phrase;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

use super::strips::{self, Strip};
use super::{Subject, path, words};
use crate::state::{AppState, Command};
use crate::ui::parts::quiet;
use crate::ui::theme::{CORNER, SMALL, TIGHT, Tokens, regular};

/// Left of the time axis: names. Right of it: values in the minute that is read.
const LEFT: f32 = 68.0;
const RIGHT: f32 = 38.0;
const PATH: f32 = 104.0;
/// Hours, and directions below them.
pub(super) const HOURS: f32 = 18.0;
pub(super) const TOWARDS: f32 = 18.0;
/// The reading takes up to so many lines on a wide and on a narrow Card, and keeps their room so that nothing jumps.
const READING_LINES: (usize, usize) = (3, 4);
const WIDE_CARD: f32 = 280.0;
const READING: f32 = 17.0;
/// Minutes that keys move by.
const STEP: f64 = 1.0;
const LONG_STEP: f64 = 10.0;

/// Where the parts lie.
pub(super) struct Chart {
    pub axis: TimeAxis,
    /// The path alone.
    pub path: Rect,
    /// Path, hours and strips.
    pub whole: Rect,
}

impl Chart {
    /// The height of an altitude on the path.
    pub fn altitude_y(&self, altitude: Angle) -> f32 {
        self.path.bottom() - (altitude.degrees() / 90.0) as f32 * self.path.height()
    }
}

/// Draws it and listens to it.
pub(super) fn show(
    ui: &mut Ui,
    state: &AppState,
    tokens: &Tokens,
    subject: &Subject<'_>,
    commands: &mut Vec<Command>,
) {
    let span = subject.open.shown_span(state.view.span);
    let (rows, full) = strips::rows(subject, span);
    let height = PATH + HOURS + TOWARDS + strips::height(&rows);
    let (whole, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let axis = TimeAxis { span, left: whole.left() + LEFT, right: whole.right() - RIGHT };
    let path = Rect::from_min_max(pos2(axis.left, whole.top()), pos2(axis.right, whole.top() + PATH));
    let chart = Chart { axis, path, whole };
    // Named before the whole is listened to, so that the pointer finds the whole.
    strips::name(ui, subject, &chart, &rows);
    let response = ui.interact(whole, Id::unique("minute read on the Card"), Sense::click_and_drag());
    listen(ui, subject, &chart, &response, commands);
    let pointed = response.hover_pos().map(|at| on_the_minute(subject, axis.instant(at.x)));
    let at = pointed.filter(|at| span.contains(*at)).unwrap_or(subject.at);
    let reading = reading(subject, at);
    name(&response, subject, span);
    let painter = ui.painter().with_clip_rect(ui.clip_rect().intersect(whole.expand(2.0)));
    path::paint(&painter, tokens, subject, &chart, at);
    strips::paint(&painter, tokens, subject, &chart, &rows, at);
    path::paint_minute(&painter, tokens, subject, &chart, at);
    if response.has_focus() {
        painter.rect_stroke(whole.expand(1.0), CORNER, Stroke::new(2.0, tokens.accent), StrokeKind::Outside);
    }
    ui.add_space(TIGHT);
    let rows = if ui.available_width() >= WIDE_CARD { READING_LINES.0 } else { READING_LINES.1 };
    // In a night in which the clocks change the time has its zone, and the place takes two lines.
    let rows = rows + usize::from(subject.prepared().night.local.clock_change().is_some());
    let width = ui.available_width();
    let galley = ui.painter().layout(reading, regular(SMALL + 0.5), tokens.ink, width);
    // What is below keeps still while another minute is read; a long reading takes the lines that it needs.
    let room = vec2(width, (READING * rows as f32).max(galley.size().y));
    let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
    ui.painter().galley(rect.min, galley, tokens.ink);
    if !full.is_empty() {
        ui.label(quiet(tokens, words::nothing_lost(&full)));
    }
}

/// What the minute says, in words: where it stands, how well it shows, what holds it back.
pub(super) fn reading(subject: &Subject<'_>, at: Instant) -> String {
    let mut parts = vec![subject.clock(at)];
    if let Some(sample) = subject.sample(at) {
        let (up, towards) = (numbers::degrees(sample.altitude), numbers::compass_letters(sample.azimuth));
        parts.push(format!("{up} {towards}"));
        if let Some(airmass) = sample.airmass {
            parts.push(format!("airmass {}", numbers::airmass(airmass)));
        }
        parts.extend(subject.sky(at).map(words::sky));
    }
    let place = parts.join(" · ");
    let Some(minute) = subject.told.and_then(|told| told.minute(at)) else {
        return format!("{place}\n{}", words::FOLLOWING);
    };
    if let Some(limit) = minute.limit {
        return format!("{place}\nCannot be shown: {}", limit_phrase(limit));
    }
    let Some((position, port)) = subject.shown_port() else { return place };
    let Some(port_minute) = minute.ports.get(position).and_then(Option::as_ref) else { return place };
    let view = words::view(port_minute.choice.view);
    format!("{place}\n{}: {view}. {}", port.name, words::holds_back(port_minute))
}

/// For those who can't see it: a slider over the minutes, its value the reading.
fn name(response: &Response, subject: &Subject<'_>, span: Interval) {
    let minutes = |at: Instant| at.minutes_since(span.start()).round();
    response.widget_info(|| WidgetInfo::slider(true, minutes(subject.at), words::MINUTE));
    let words = reading(subject, subject.at).replace('\n', ". ");
    response.ctx.accesskit_node_builder(response.id, |node| {
        node.set_value(words.as_str());
        node.set_description(words::MINUTE_HINT);
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(minutes(span.end()));
        node.set_numeric_value_step(STEP);
        node.add_action(Action::Increment);
        node.add_action(Action::Decrement);
    });
}

/// The nearest sampled minute.
fn on_the_minute(subject: &Subject<'_>, at: Instant) -> Instant {
    let start = subject.prepared().span.start();
    start.plus_minutes(at.minutes_since(start).round())
}

fn listen(ui: &Ui, subject: &Subject<'_>, chart: &Chart, response: &Response, commands: &mut Vec<Command>) {
    let span = chart.axis.span;
    if (response.clicked() || response.dragged())
        && let Some(pointer) = response.interact_pointer_pos()
    {
        response.request_focus();
        let at = on_the_minute(subject, chart.axis.instant(pointer.x));
        commands.push(Command::ReadAt(Some(at).filter(|at| span.contains(*at))));
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    let asked = |action| ui.input(|input| input.num_accesskit_action_requests(response.id, action)) as f64;
    let mut minutes = (asked(Action::Increment) - asked(Action::Decrement)) * STEP;
    let mut to = None;
    if response.has_focus() {
        let keys = EventFilter { horizontal_arrows: true, escape: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, keys));
        let pressed = |modifiers, key| ui.input_mut(|input| input.consume_key(modifiers, key));
        for (key, sign) in [(Key::ArrowLeft, -1.0), (Key::ArrowRight, 1.0)] {
            if pressed(Modifiers::SHIFT, key) {
                minutes += sign * LONG_STEP;
            } else if pressed(Modifiers::NONE, key) {
                minutes += sign * STEP;
            }
        }
        if pressed(Modifiers::NONE, Key::Home) {
            to = Some(span.start());
        } else if pressed(Modifiers::NONE, Key::End) {
            to = Some(span.end());
        }
    }
    if minutes != 0.0 {
        to = Some(subject.at.plus_minutes(minutes).max(span.start()).min(span.end()));
    }
    if let Some(to) = to {
        commands.push(Command::ReadAt(Some(on_the_minute(subject, to))));
    }
}

/// Where the strips begin.
pub(super) fn strips_top(chart: &Chart) -> f32 {
    chart.path.bottom() + HOURS + TOWARDS
}

/// Where a strip lies, by its top below the first one.
pub(super) fn strip_rect(chart: &Chart, strip: &Strip) -> Rect {
    let top = strips_top(chart) + strip.top;
    Rect::from_min_max(pos2(chart.axis.left, top), pos2(chart.axis.right, top + strip.height))
}
