//! Paints the altitude paths of what is laid out, with scales of altitude and airmass.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use evenfall_core::place::airmass_kasten_young;
use evenfall_core::sheet::numbers;
use evenfall_core::time::Interval;
use evenfall_core::units::Angle;

use super::layout::BoardLayout;
use super::model::{BoardModel, Path};
use crate::ui::parts::small;
use crate::ui::text;
use crate::ui::theme::{SMALL, Tokens, regular, semibold};

/// Minutes between two corners of a path: a star moves by half a degree at most.
const STEP_MINUTES: usize = 2;
/// A label whose middle is farther from its path than this gets a line to it.
const NEAR: f32 = 18.0;
/// Airmasses with a mark.
const AIRMASSES: [f64; 5] = [1.1, 1.3, 1.6, 2.0, 3.0];

/// Paints scales and paths; the selected path last.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let told = scales(painter, tokens, model, layout);
    let (top, below): (Vec<&Path<'_>>, Vec<&Path<'_>>) = model.paths.iter().partition(|path| path.selected);
    for path in below.iter().chain(&top) {
        path_line(painter, tokens, model, layout, path);
    }
    // Labels keep clear of one another and of what is shown.
    let mut taken: Vec<Rect> =
        model.paths.iter().filter_map(|path| shown_rect(model, layout, path)).chain(told).collect();
    for path in top.iter().chain(&below) {
        path_label(painter, tokens, model, layout, path, &mut taken);
    }
}

/// Gives back where words stand in the plot.
fn scales(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) -> Option<Rect> {
    let plot = layout.plot;
    let lowest = model.open.document.stock.rig.mount.lowest_altitude;
    let ground = Rect::from_min_max(pos2(plot.left(), layout.altitude_y(lowest)), plot.max);
    painter.rect_filled(ground, 0.0, tokens.earth);
    let words = text::below_mount(lowest);
    let told = (ground.height() > SMALL).then(|| {
        small(painter, ground.left_center() + vec2(6.0, 0.0), Align2::LEFT_CENTER, words, tokens.ink)
    });
    let left = layout.whole.left();
    small(painter, pos2(left, plot.top() - 2.0), Align2::LEFT_TOP, text::ALTITUDE, tokens.quiet);
    for degrees in [0.0, 30.0, 60.0, 90.0] {
        let altitude = Angle::from_degrees(degrees);
        let y = layout.altitude_y(altitude);
        painter.hline(plot.x_range(), y, Stroke::new(1.0, tokens.hair));
        let anchor = if degrees == 0.0 { Align2::RIGHT_BOTTOM } else { Align2::RIGHT_CENTER };
        small(painter, pos2(plot.left() - 6.0, y), anchor, numbers::degrees(altitude), tokens.ink);
    }
    let right = plot.right() + 5.0;
    small(painter, pos2(right, plot.top() - 2.0), Align2::LEFT_TOP, text::AIRMASS, tokens.quiet);
    let mut last = f32::NEG_INFINITY;
    for airmass in AIRMASSES {
        let y = layout.altitude_y(altitude_of_airmass(airmass));
        if y - last < SMALL {
            continue;
        }
        last = y;
        painter.hline(plot.right() - 4.0..=plot.right() + 3.0, y, Stroke::new(1.0, tokens.edge));
        small(painter, pos2(right, y), Align2::LEFT_CENTER, numbers::airmass(airmass), tokens.ink);
    }
    painter.rect_stroke(plot, 0.0, Stroke::new(1.0, tokens.edge), StrokeKind::Inside);
    told
}

/// The altitude at which the airmass is so much: airmass falls steadily as altitude rises.
fn altitude_of_airmass(airmass: f64) -> Angle {
    let (mut low, mut high) = (0.0, 90.0);
    for _ in 0..20 {
        let middle = f64::midpoint(low, high);
        if airmass_kasten_young(Angle::from_degrees(middle)).is_some_and(|value| value <= airmass) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Angle::from_degrees(high)
}

fn points(model: &BoardModel<'_>, layout: &BoardLayout, path: &Path<'_>, within: Interval) -> Vec<Vec<Pos2>> {
    let prepared = &model.open.derived.prepared;
    let Some(track) = prepared.tracks.get(path.target_index) else { return Vec::new() };
    let (from, to) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let mut pieces = vec![Vec::new()];
    for index in (from..=to).step_by(STEP_MINUTES) {
        let (Some(moment), Some(sample)) = (prepared.moments.get(index), track.samples.get(index)) else {
            break;
        };
        if sample.altitude < Angle::ZERO {
            pieces.push(Vec::new());
        } else if let Some(piece) = pieces.last_mut() {
            piece.push(layout.in_plot(moment.instant, sample.altitude));
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

fn path_line(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
) {
    let colour = match path.lane {
        Some(lane) => tokens.port(lane),
        None => tokens.accent,
    };
    let thin = Stroke::new(
        if path.selected { 1.6 } else { 1.0 },
        if path.selected { tokens.accent } else { tokens.edge },
    );
    for piece in points(model, layout, path, model.span) {
        if path.shown.is_none() || path.selected {
            painter.extend(Shape::dashed_line(&piece, thin, 6.0, 4.0));
        } else {
            painter.add(Shape::line(piece, Stroke::new(0.9, tokens.quiet.gamma_multiply(0.5))));
        }
    }
    if let Some(shown) = path.shown {
        let width = if path.selected { 5.0 } else { 3.5 };
        for piece in points(model, layout, path, shown) {
            painter.add(Shape::line(piece, Stroke::new(width, colour)));
        }
    }
}

/// Where the thick part of a path lies.
fn shown_rect(model: &BoardModel<'_>, layout: &BoardLayout, path: &Path<'_>) -> Option<Rect> {
    let pieces = points(model, layout, path, path.shown?);
    (!pieces.is_empty()).then(|| Rect::from_points(&pieces.concat()).expand2(vec2(0.0, 3.0)))
}

fn path_label(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
    taken: &mut Vec<Rect>,
) {
    let prepared = &model.open.derived.prepared;
    let at = match path.shown {
        Some(shown) => shown.start().plus_seconds(shown.seconds() / 2.0),
        None => match prepared.availability.get(path.target_index).and_then(|known| known.best) {
            Some((best, _)) => best,
            None => model.span.start().plus_seconds(model.span.seconds() / 2.0),
        },
    };
    let Some(sample) = prepared.sample(path.target_index, at) else { return };
    if sample.altitude < Angle::ZERO {
        return;
    }
    let label = path
        .number
        .map_or_else(|| path.target.name.clone(), |number| format!("{number}  {}", path.target.name));
    let font = if path.selected { semibold(SMALL) } else { regular(SMALL) };
    let galley = painter.layout_no_wrap(label, font, tokens.ink);
    let centre = layout.in_plot(at, sample.altitude);
    let half = galley.size().x / 2.0;
    let x = centre.x.clamp(
        layout.plot.left() + half + 3.0,
        (layout.plot.right() - half - 3.0).max(layout.plot.left() + half + 3.0),
    );
    // Beside the thick part a label can't be taken for another's; so that comes before the places farther off.
    let thick =
        shown_rect(model, layout, path).unwrap_or_else(|| Rect::from_center_size(centre, vec2(2.0, 2.0)));
    let places = [
        (pos2(x, centre.y - 7.0), Align2::CENTER_BOTTOM),
        (pos2(x, centre.y + 7.0), Align2::CENTER_TOP),
        (pos2(thick.right() + 6.0, thick.center().y), Align2::LEFT_CENTER),
        (pos2(thick.left() - 6.0, thick.center().y), Align2::RIGHT_CENTER),
        (pos2(x, centre.y - 22.0), Align2::CENTER_BOTTOM),
        (pos2(x, centre.y + 22.0), Align2::CENTER_TOP),
        (pos2(x, centre.y - 38.0), Align2::CENTER_BOTTOM),
        (pos2(x, centre.y + 38.0), Align2::CENTER_TOP),
    ];
    let free = places.into_iter().map(|(at, anchor)| anchor.anchor_size(at, galley.size())).find(|place| {
        layout.plot.expand(2.0).contains_rect(*place) && !taken.iter().any(|other| other.intersects(*place))
    });
    if let Some(place) = free {
        let near = pos2(centre.x.clamp(place.left(), place.right()), place.center().y);
        if (near.y - centre.y).abs() > NEAR {
            painter.line_segment([centre, near], Stroke::new(1.0, tokens.ink));
        }
        painter.rect_filled(place.expand2(vec2(2.0, -1.0)), 2.0, tokens.ground.gamma_multiply(0.8));
        painter.galley(place.min, galley, tokens.ink);
        taken.push(place.expand(2.0));
    }
}
