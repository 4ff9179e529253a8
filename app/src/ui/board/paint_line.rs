//! Paints the line before the eyepiece along the evening: people as an area, waits in minutes beside it.

use egui::{Align2, Mesh, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use evenfall_core::chart::thin;
use evenfall_core::plan::{QueueMinute, Severity};
use evenfall_core::sheet::numbers;

use super::layout::BoardLayout;
use super::line::{LineBand, Peak};
use super::model::BoardModel;
use crate::ui::parts::{severity_mark, small};
use crate::ui::text;
use crate::ui::theme::{HAIR, HEAVY, NEAR, SMALL, STRONG, TIGHT, Tokens, regular, semibold};

/// Outline of a line that is borne, and of one that is too long.
const OUTLINE: (f32, f32) = (STRONG, HEAVY);
/// Room for the mark of a Caution.
const MARK: f32 = 16.0;
/// Share of the strip's height that the longest line takes.
const HIGHEST: f32 = 0.92;

/// Paints the strip; nothing on a rig without an eyepiece.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let Some(band) = &model.line else { return };
    let rect = layout.line;
    let left = layout.whole.left();
    let most = band.most_people();
    small(painter, pos2(left, rect.center().y), Align2::LEFT_BOTTOM, text::IN_LINE, tokens.quiet);
    let scale = if band.peaks.is_empty() { text::NO_LINE.to_owned() } else { text::at_most(most) };
    small(painter, pos2(left, rect.center().y - 1.0), Align2::LEFT_TOP, scale, tokens.quiet);
    for own in band.minutes.chunk_by(|one, other| one.stop == other.stop) {
        if own.first().is_some_and(|minute| minute.stop.is_some()) {
            area(painter, tokens, band, layout, own, most);
        }
    }
    painter.hline(rect.x_range(), rect.bottom(), Stroke::new(HAIR, tokens.edge));
    // The longest wait first: where there is no room for all of them, it is told.
    let mut peaks: Vec<&Peak> = band.peaks.iter().collect();
    peaks.sort_by(|one, other| other.wait_minutes.total_cmp(&one.wait_minutes));
    let mut taken: Vec<Rect> = Vec::new();
    for (position, peak) in peaks.into_iter().enumerate() {
        let minutes = numbers::minutes(peak.wait_minutes);
        let words = if position == 0 { text::wait(&minutes) } else { minutes };
        taken.extend(wait_words(painter, tokens, band, layout, (peak, words), &taken));
    }
}

/// The height of so many people in the strip.
fn height(rect: Rect, people: f64, most: f64) -> f32 {
    rect.bottom() - (people / most.max(1.0)) as f32 * HIGHEST * rect.height()
}

/// The line of one stop: those who stand filled, those who sit at a screen above them open.
fn area(
    painter: &Painter,
    tokens: &Tokens,
    band: &LineBand<'_>,
    layout: &BoardLayout,
    minutes: &[QueueMinute],
    most: f64,
) {
    let rect = layout.line;
    let y = |people: f64| height(rect, people, most);
    let mut mesh = Mesh::default();
    for (position, minute) in minutes.iter().enumerate() {
        let x = layout.axis.x(minute.instant);
        mesh.colored_vertex(pos2(x, y(minute.people - minute.at_screen)), tokens.earth);
        mesh.colored_vertex(pos2(x, rect.bottom()), tokens.earth);
        if position > 0 {
            let first = 2 * position as u32 - 2;
            mesh.add_triangle(first, first + 1, first + 2);
            mesh.add_triangle(first + 1, first + 2, first + 3);
        }
    }
    painter.add(Shape::mesh(mesh));
    let Some((first, last)) = minutes.first().zip(minutes.last()) else { return };
    for side in [first, last] {
        let x = layout.axis.x(side.instant);
        painter.vline(x, y(side.people)..=rect.bottom(), Stroke::new(OUTLINE.0, tokens.edge));
    }
    for own in minutes.chunk_by(|one, other| band.is_too_long(one) == band.is_too_long(other)) {
        let Some(start) = own.first() else { continue };
        // Each stretch goes on to where the next begins.
        let next = minutes.iter().find(|minute| own.last().is_some_and(|last| minute.instant > last.instant));
        let corners: Vec<Pos2> = own
            .iter()
            .chain(next)
            .map(|minute| pos2(layout.axis.x(minute.instant), y(minute.people)))
            .collect();
        let stroke = if band.is_too_long(start) {
            Stroke::new(OUTLINE.1, tokens.ink)
        } else {
            Stroke::new(OUTLINE.0, tokens.edge)
        };
        painter.add(Shape::line(thin(&corners, |corner| (corner.x, corner.y)), stroke));
    }
}

/// The wait of a peak behind it, where the line has fallen below the words, else before it, over no other wait and no line;
/// with a mark where it is too long. The first has its place even over a line, on a ground of its own. Gives back where
/// it stands, `None` without room.
fn wait_words(
    painter: &Painter,
    tokens: &Tokens,
    band: &LineBand<'_>,
    layout: &BoardLayout,
    (peak, words): (&Peak, String),
    taken: &[Rect],
) -> Option<Rect> {
    let rect = layout.line;
    let x = layout.axis.x(peak.at);
    let font = if peak.too_long { semibold(SMALL) } else { regular(SMALL) };
    let galley = painter.layout_no_wrap(words, font, tokens.ink);
    let mark = if peak.too_long { MARK } else { 0.0 };
    let size = vec2(galley.size().x + mark, galley.size().y);
    let most = band.most_people();
    let mut own =
        band.minutes.iter().filter(|minute| minute.stop == Some(peak.stop) && minute.instant >= peak.at);
    let below = own.clone().find(|minute| height(rect, minute.people, most) > rect.top() + size.y);
    let behind = below.or(own.next_back()).map_or(x, |minute| layout.axis.x(minute.instant));
    let mut places = [behind + TIGHT, x - TIGHT - size.x]
        .map(|left| Rect::from_min_size(pos2(left, rect.top()), size))
        .into_iter()
        .filter(|place| {
            let inside = place.left() >= rect.left() && place.right() <= rect.right();
            inside && !taken.iter().any(|other| other.expand(TIGHT).intersects(*place))
        });
    let is_struck = |place: &Rect| {
        let under =
            |minute: &QueueMinute| place.expand(NEAR).x_range().contains(layout.axis.x(minute.instant));
        band.minutes.iter().any(|minute| {
            minute.stop.is_some() && under(minute) && height(rect, minute.people, most) < place.bottom()
        })
    };
    let free = places.clone().find(|place| !is_struck(place));
    let place = match free {
        Some(place) => place,
        None if taken.is_empty() => {
            let over = places.next()?;
            painter.rect_filled(over.expand2(vec2(NEAR, 0.0)), 0.0, tokens.ground);
            over
        }
        None => return None,
    };
    if peak.too_long {
        severity_mark(
            painter,
            tokens,
            pos2(place.left() + MARK / 2.0 - NEAR, place.center().y),
            Severity::Caution,
        );
    }
    painter.galley(pos2(place.left() + mark, place.top()), galley, tokens.ink);
    Some(place)
}
