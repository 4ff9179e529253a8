//! One strip for the view and one for every link that takes from it, all over the same evening: full is perfect, empty ends
//! the view. The link that leaves least is drawn stronger and with a bar under it, so that brightness and shape tell it.

use egui::{Align2, Mesh, Painter, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2};
use evenfall_core::plan::{Link, Minute, POOR_VIEW, PortMinute};
use evenfall_core::sheet::link_word;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Fraction;

use super::Subject;
use super::evening_chart::{Chart, strip_rect};
use super::words::{self, TAKES_NOTHING};
use crate::ui::parts::small;
use crate::ui::theme::{SMALL, Tokens, semibold};

/// Heights of the view's strip and of a link's, and the gap over each.
const VIEW: f32 = 24.0;
const LINK: f32 = 15.0;
const GAP: f32 = 4.0;
/// The upper edge of what a link leaves, and the bar under the weakest one.
const EDGE: f32 = 1.5;
const BAR: f32 = 2.5;
/// Bars no further apart than this meet, in points: what rounding leaves between two minutes.
const JOINT: f32 = 0.01;

/// A strip: the view's, or a link's.
pub(super) struct Strip {
    pub link: Option<Link>,
    pub top: f32,
    pub height: f32,
}

/// The minutes within a span that may be shown, with what the port gives then.
fn minutes<'a>(
    subject: &Subject<'a>,
    span: Interval,
) -> impl Iterator<Item = (Instant, &'a Minute, Option<&'a PortMinute>)> {
    let told = subject.told.map_or(&[][..], |told| told.minutes.as_slice());
    let moments = subject.prepared().moments.iter();
    let position = subject.port;
    moments.zip(told).filter(move |(moment, _)| span.contains(moment.instant)).map(move |(moment, minute)| {
        let port = position.and_then(|position| minute.ports.get(position)?.as_ref());
        (moment.instant, minute, port.filter(|_| minute.limit.is_none()))
    })
}

/// The links that take from the view at some minute of the span, and those that could but don't.
fn taking(subject: &Subject<'_>, span: Interval) -> (Vec<Link>, Vec<Link>) {
    let mut least = [1.0_f64; Link::ALL.len()];
    let mut judged = [false; Link::ALL.len()];
    for (_, _, port) in minutes(subject, span) {
        let Some(port) = port else { continue };
        for (position, link) in Link::ALL.into_iter().enumerate() {
            least[position] = least[position].min(port.leaves(link).value());
            let by_sky = matches!(link, Link::Height | Link::Twilight | Link::Moonlight);
            judged[position] |= by_sky || port.choice.reasons().any(|reason| Link::of(reason) == link);
        }
    }
    let all = Link::ALL.into_iter().enumerate().filter(|(position, _)| judged[*position]);
    let (taking, full): (Vec<_>, Vec<_>) = all.partition(|(position, _)| least[*position] < TAKES_NOTHING);
    let links = |some: Vec<(usize, Link)>| some.into_iter().map(|(_, link)| link).collect();
    (links(taking), links(full))
}

/// The strips there are, and the links of this chain that take nothing all evening.
pub(super) fn rows(subject: &Subject<'_>, span: Interval) -> (Vec<Strip>, Vec<Link>) {
    let (taking, full) = taking(subject, span);
    let mut top = 0.0;
    let strip = |link: Option<Link>| {
        let height = if link.is_none() { VIEW } else { LINK };
        top += GAP + height;
        Strip { link, top: top - height, height }
    };
    ([None].into_iter().chain(taking.into_iter().map(Some)).map(strip).collect(), full)
}

/// Height of all strips.
pub(super) fn height(rows: &[Strip]) -> f32 {
    rows.last().map_or(0.0, |last| last.top + last.height + 2.0)
}

fn value(port: &PortMinute, link: Option<Link>) -> Fraction {
    link.map_or(port.choice.view, |link| port.leaves(link))
}

/// Names every strip for those who can't see it, with its value in the minute that is read and its least one.
pub(super) fn name(ui: &Ui, subject: &Subject<'_>, chart: &Chart, rows: &[Strip]) {
    for strip in rows {
        let rect = strip_rect(chart, strip);
        let response = ui.interact(rect, ui.scope_id().with(("strip", strip.link)), Sense::hover());
        response.widget_info(|| {
            let shown = minutes(subject, chart.axis.span).filter_map(|(_, _, port)| port);
            let least = shown
                .map(|port| value(port, strip.link))
                .reduce(|one, other| if other < one { other } else { one });
            let now = subject.port.and_then(|position| subject.port_minute(subject.at, position));
            let now = now.filter(|_| subject.limit(subject.at).is_none()).map(|now| value(now, strip.link));
            let words = words::strip(strip.link, &subject.clock(subject.at), now, least);
            WidgetInfo::labeled(Role::Image, true, words)
        });
    }
}

/// Paints them, with the values of a minute on the right.
pub(super) fn paint(
    painter: &Painter,
    tokens: &Tokens,
    subject: &Subject<'_>,
    chart: &Chart,
    rows: &[Strip],
    at: Instant,
) {
    let now = subject.port.and_then(|position| subject.port_minute(at, position));
    let barred = subject.told.and_then(|told| told.minute(at)).is_none_or(|minute| minute.limit.is_some());
    let span = chart.axis.span;
    let shown = minutes(subject, span).filter_map(|(at, _, port)| port.map(|port| (at, port, port.least())));
    let shown: Vec<Shown<'_>> = shown.collect();
    for strip in rows {
        let rect = strip_rect(chart, strip);
        painter.rect_filled(rect, 0.0, tokens.raised);
        if let Some(stop) = subject.stop {
            let x = chart.axis.x(stop.start()).max(rect.left())..=chart.axis.x(stop.end()).min(rect.right());
            painter.rect_filled(Rect::from_x_y_ranges(x, rect.y_range()), 0.0, tokens.accent_soft);
        }
        bars(painter, tokens, &shown, chart, strip);
        if strip.link.is_none() {
            // Where the words for a view change.
            for threshold in [POOR_VIEW, words::SHOWS_WELL] {
                let y = rect.bottom() - threshold as f32 * rect.height();
                painter.hline(rect.x_range(), y, Stroke::new(0.7, tokens.hair));
            }
        }
        painter.rect_stroke(rect, 0.0, Stroke::new(1.0, tokens.edge), StrokeKind::Outside);
        let name = strip.link.map_or(words::VIEW, link_word);
        let (left, right) = (chart.whole.left(), chart.whole.right());
        let least = now.filter(|_| !barred).is_some_and(|now| Some(now.least().0) == strip.link);
        let y = rect.center().y;
        let anchor = Align2::LEFT_CENTER;
        if strip.link.is_none() || least {
            painter.text(pos2(left, y), anchor, name, semibold(SMALL), tokens.ink);
        } else {
            small(painter, pos2(left, y), anchor, name, tokens.ink);
        }
        let words =
            now.filter(|_| !barred).map_or_else(dash, |now| words::left(strip.link, value(now, strip.link)));
        small(painter, pos2(right, y), Align2::RIGHT_CENTER, words, tokens.ink);
    }
}

fn dash() -> String {
    "–".to_owned()
}

/// What the port gives in a minute, and the link that leaves least.
type Shown<'a> = (Instant, &'a PortMinute, (Link, Fraction));

/// The strip's height over time; where its link is the weakest, stronger and with a bar under it. Minutes alike are one bar.
fn bars(painter: &Painter, tokens: &Tokens, shown: &[Shown<'_>], chart: &Chart, strip: &Strip) {
    let rect = strip_rect(chart, strip);
    let half_minute = 0.5 * rect.width() / (chart.axis.span.minutes().max(1.0) as f32);
    let mut bars: Vec<Bar> = Vec::with_capacity(shown.len());
    for (at, port, (link, least)) in shown {
        let x = chart.axis.x(*at);
        let (left, right) = ((x - half_minute).max(rect.left()), (x + half_minute).min(rect.right()));
        let top = rect.bottom() - value(port, strip.link).value() as f32 * rect.height();
        let weakest = strip.link == Some(*link) && least.value() < TAKES_NOTHING;
        let goes_on = |bar: &&mut Bar| bar.top == top && bar.weakest == weakest && bar.right + JOINT >= left;
        match bars.last_mut().filter(goes_on) {
            Some(bar) => bar.right = right,
            None => bars.push(Bar { left, right, top, weakest }),
        }
    }
    let mut mesh = Mesh::default();
    // A bar, its edge, and where it is the weakest what is under it.
    mesh.reserve_vertices(3 * 4 * bars.len());
    mesh.reserve_triangles(3 * 2 * bars.len());
    for Bar { left, right, top, weakest } in bars {
        let (fill, edge) = match (strip.link, weakest) {
            (None, _) => (tokens.accent, tokens.accent),
            (_, true) => (tokens.edge, tokens.ink),
            (_, false) => (tokens.earth, tokens.edge),
        };
        mesh.add_colored_rect(Rect::from_x_y_ranges(left..=right, top..=rect.bottom()), fill);
        let line = top..=(top + EDGE).min(rect.bottom());
        mesh.add_colored_rect(Rect::from_x_y_ranges(left..=right, line), edge);
        if weakest {
            let under = rect.bottom() + 0.5..=rect.bottom() + 0.5 + BAR;
            mesh.add_colored_rect(Rect::from_x_y_ranges(left..=right, under), tokens.ink);
        }
    }
    painter.add(Shape::mesh(mesh));
}

/// A stretch of a strip over which nothing changes.
struct Bar {
    left: f32,
    right: f32,
    top: f32,
    /// Whether its link leaves least of all.
    weakest: bool,
}
