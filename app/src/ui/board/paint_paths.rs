//! Paints the altitude paths of what is laid out, with scales of altitude and airmass.

use std::sync::Arc;

use egui::{Align2, Galley, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use evenfall_core::chart::thin;
use evenfall_core::place::airmass_kasten_young;
use evenfall_core::plan::Severity;
use evenfall_core::sheet::numbers;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::Angle;

use super::labels::{Found, Wanted, leader, places};
use super::layout::BoardLayout;
use super::model::{BoardModel, Path};
use super::words;
use crate::ui::parts::{severity_mark, small};
use crate::ui::text;
use crate::ui::theme::{BOLD, CORNER, FINE, HAIR, NEAR, SMALL, STRONG, TIGHT, Tokens, regular, semibold};

/// Least distance between two corners of a path along the time axis, and most minutes: a chord of the sky's daily turn over
/// ten minutes leaves its arc by 0.02 degrees at most, (15 degrees an hour, in radians)² · t² / 8.
const CORNER_APART: f32 = 6.0;
const MOST_MINUTES: usize = 10;
/// A label farther from its path than this gets a line to it.
const CLOSE: f32 = 18.0;
/// Widths of the thick part of a path, and of that of the selected one.
const SHOWN: f32 = 3.5;
const SHOWN_SELECTED: f32 = 5.0;
/// A path while its target is not shown: dashes and gaps where it is selected.
const DASHES: (f32, f32) = (6.0, 4.0);
/// Strokes across a path in a closed part of the sky: every so far, and this half long either way.
const CLOSED_EVERY: f32 = 7.0;
const CLOSED_HALF: (f32, f32) = (3.5, 6.0);
/// Room for the mark of a finding.
const MARK: f32 = 14.0;
/// Airmasses with a mark.
const AIRMASSES: [f64; 5] = [1.1, 1.3, 1.6, 2.0, 3.0];

/// Paints scales and paths; the selected path last.
pub fn paint(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    scales(painter, tokens, model, layout);
    let (top, below): (Vec<&Path<'_>>, Vec<&Path<'_>>) = model.paths.iter().partition(|path| path.selected);
    for path in below.iter().chain(&top) {
        path_line(painter, tokens, model, layout, path);
        closed_strokes(painter, tokens, model, layout, path);
    }
    let told = ground_words(painter, tokens, model, layout);
    let paths = || top.iter().chain(&below);
    // Labels keep clear of one another and of what is shown.
    let taken = model.paths.iter().filter_map(|path| shown_rect(model, layout, path)).chain(told).collect();
    let mut labels: Vec<Label> =
        paths().flat_map(|path| bites(painter, tokens, model, layout, path)).collect();
    labels.extend(paths().filter_map(|path| path_label(painter, tokens, model, layout, path)));
    labels.extend(paths().flat_map(|path| closed_labels(painter, tokens, model, layout, path)));
    let wanted = labels.iter().map(|label| label.wanted.clone()).collect();
    let found = places(painter.ctx(), Found { plot: layout.plot, taken, wanted });
    for (label, place) in labels.into_iter().zip(&found.1) {
        if let Some(severity) = label.severity {
            severity_mark(painter, tokens, label.wanted.centre, severity);
        }
        if let Some(place) = place {
            set_label(painter, tokens, (label.wanted.centre, *place), label.galley);
        }
    }
}

/// Words beside a point of a path.
struct Label {
    wanted: Wanted,
    galley: Arc<Galley>,
    /// Of the mark at the point.
    severity: Option<Severity>,
}

/// Strokes across a path while its part of the sky is closed.
fn closed_strokes(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
) {
    let across = vec2(CLOSED_HALF.0, CLOSED_HALF.1);
    let stroke = Stroke::new(FINE, tokens.travel);
    for run in &path.closed {
        for piece in points(model, layout, path, *run) {
            for two in piece.windows(2) {
                let strokes = ((two[1].x - two[0].x) / CLOSED_EVERY).round().max(1.0);
                for stroke_at in 0..strokes as usize {
                    let at = two[0].lerp(two[1], stroke_at as f32 / strokes);
                    painter.line_segment([at - across, at + across], stroke);
                }
            }
        }
    }
}

/// What the strokes mean, beside those of a path that bites: while it is shown, or of the path that is selected.
fn closed_labels(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
) -> Vec<Label> {
    let bitten = |run: &&Interval| path.selected || path.shown.is_some_and(|shown| shown.overlaps(**run));
    let runs = path.closed.iter().filter(|_| path.bites.is_empty()).filter(bitten);
    let labels = runs.filter_map(|run| {
        let centre = on_path(model, layout, path, run.start().plus_seconds(run.seconds() / 2.0))?;
        let galley = painter.layout_no_wrap(words::CLOSED_HERE.to_owned(), regular(SMALL), tokens.ink);
        let wanted = Wanted { centre, thick: None, size: galley.size(), mark: None };
        Some(Label { wanted, galley, severity: None })
    });
    labels.collect()
}

/// The marks of what is wrong at a minute of a path, each with its word where there is room.
fn bites(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
) -> Vec<Label> {
    let labels = path.bites.iter().filter_map(|bite| {
        let minute = bite.minute.filter(|minute| model.span.contains(*minute))?;
        let centre = on_path(model, layout, path, minute)?;
        let mark = Some(Rect::from_center_size(centre, vec2(MARK, MARK)));
        let galley = painter.layout_no_wrap(bite.word.to_owned(), semibold(SMALL), tokens.ink);
        let wanted = Wanted { centre, thick: mark, size: galley.size(), mark };
        Some(Label { wanted, galley, severity: Some(bite.severity) })
    });
    labels.collect()
}

/// Where a target stands at an instant; `None` below the horizon.
fn on_path(model: &BoardModel<'_>, layout: &BoardLayout, path: &Path<'_>, at: Instant) -> Option<Pos2> {
    let sample = model.open.derived.prepared.sample(path.target_index, at)?;
    (sample.altitude >= Angle::ZERO).then(|| layout.in_plot(at, sample.altitude))
}

/// Words with a line to their point where they stand away from it.
fn set_label(painter: &Painter, tokens: &Tokens, (centre, place): (Pos2, Rect), galley: Arc<Galley>) {
    let near = leader(centre, place);
    if (near - centre).length() > CLOSE {
        painter.line_segment([centre, near], Stroke::new(FINE, tokens.ink));
    }
    painter.rect_filled(place.expand2(vec2(NEAR, -HAIR)), CORNER, tokens.ground);
    painter.galley(place.min, galley, tokens.ink);
}

/// What the mount can't reach.
fn ground(model: &BoardModel<'_>, layout: &BoardLayout) -> (Angle, Rect) {
    let lowest = model.open.document.stock.rig.mount.lowest_altitude;
    (lowest, Rect::from_min_max(pos2(layout.plot.left(), layout.altitude_y(lowest)), layout.plot.max))
}

/// Says so there, and gives back where.
fn ground_words(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
) -> Option<Rect> {
    let (lowest, ground) = ground(model, layout);
    let galley = painter.layout_no_wrap(text::below_mount(lowest), regular(SMALL), tokens.ink);
    let at = ground.left_center() + vec2(TIGHT, -galley.size().y / 2.0);
    let place = Rect::from_min_size(at, galley.size());
    (ground.height() > SMALL).then(|| {
        painter.rect_filled(place.intersect(ground), 0.0, tokens.earth);
        painter.galley(place.min, galley, tokens.ink);
        place
    })
}

fn scales(painter: &Painter, tokens: &Tokens, model: &BoardModel<'_>, layout: &BoardLayout) {
    let plot = layout.plot;
    painter.rect_filled(ground(model, layout).1, 0.0, tokens.earth);
    let left = layout.whole.left();
    small(painter, pos2(left, plot.top() - NEAR), Align2::LEFT_TOP, text::ALTITUDE, tokens.quiet);
    for degrees in [0.0, 30.0, 60.0, 90.0] {
        let altitude = Angle::from_degrees(degrees);
        let y = layout.altitude_y(altitude);
        painter.hline(plot.x_range(), y, Stroke::new(HAIR, tokens.hair));
        let anchor = if degrees == 0.0 { Align2::RIGHT_BOTTOM } else { Align2::RIGHT_CENTER };
        small(painter, pos2(plot.left() - TIGHT, y), anchor, numbers::degrees(altitude), tokens.ink);
    }
    let right = plot.right() + TIGHT;
    small(painter, pos2(right, plot.top() - NEAR), Align2::LEFT_TOP, text::AIRMASS, tokens.quiet);
    let mut last = f32::NEG_INFINITY;
    for airmass in AIRMASSES {
        let y = layout.altitude_y(altitude_of_airmass(airmass));
        if y - last < SMALL {
            continue;
        }
        last = y;
        painter.hline(plot.right() - TIGHT..=plot.right() + NEAR, y, Stroke::new(HAIR, tokens.edge));
        small(painter, pos2(right, y), Align2::LEFT_CENTER, numbers::airmass(airmass), tokens.ink);
    }
    painter.rect_stroke(plot, 0.0, Stroke::new(HAIR, tokens.edge), StrokeKind::Inside);
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
    let (from, to) = (prepared.moment_index(within.start()), prepared.moment_index(within.end()));
    let points_a_minute = layout.plot.width() / (model.span.minutes().max(1.0) as f32);
    let step = ((CORNER_APART / points_a_minute) as usize).clamp(1, MOST_MINUTES);
    let mut pieces = vec![Vec::new()];
    // Both ends belong to it whatever the step.
    let minutes = (from..to).step_by(step).chain([to]);
    for index in minutes {
        let sample = prepared.sample_at(path.target_index, index);
        let (Some(moment), Some(sample)) = (prepared.moments.get(index), sample) else { break };
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
    for piece in points(model, layout, path, model.span) {
        if path.selected {
            let stroke = Stroke::new(STRONG, tokens.accent);
            painter.extend(Shape::dashed_line(
                &thin(&piece, |corner| (corner.x, corner.y)),
                stroke,
                DASHES.0,
                DASHES.1,
            ));
        } else {
            painter.add(Shape::line(
                thin(&piece, |corner| (corner.x, corner.y)),
                Stroke::new(FINE, tokens.edge),
            ));
        }
    }
    if let Some(shown) = path.shown {
        let width = if path.selected { SHOWN_SELECTED } else { SHOWN };
        for piece in points(model, layout, path, shown) {
            painter.add(Shape::line(thin(&piece, |corner| (corner.x, corner.y)), Stroke::new(width, colour)));
        }
    }
}

/// Where the thick part of a path lies.
fn shown_rect(model: &BoardModel<'_>, layout: &BoardLayout, path: &Path<'_>) -> Option<Rect> {
    let pieces = points(model, layout, path, path.shown?);
    (!pieces.is_empty()).then(|| Rect::from_points(&pieces.concat()).expand2(vec2(0.0, BOLD)))
}

fn path_label(
    painter: &Painter,
    tokens: &Tokens,
    model: &BoardModel<'_>,
    layout: &BoardLayout,
    path: &Path<'_>,
) -> Option<Label> {
    let prepared = &model.open.derived.prepared;
    let at = match path.shown {
        Some(shown) => shown.start().plus_seconds(shown.seconds() / 2.0),
        None => match prepared.availability.get(path.target_index).and_then(|known| known.best) {
            Some((best, _)) => best,
            None => model.span.start().plus_seconds(model.span.seconds() / 2.0),
        },
    };
    let centre = on_path(model, layout, path, at)?;
    let label = path
        .number
        .map_or_else(|| path.target.name.clone(), |number| format!("{number}  {}", path.target.name));
    let font = if path.selected { semibold(SMALL) } else { regular(SMALL) };
    let galley = painter.layout_no_wrap(label, font, tokens.ink);
    // Beside the thick part a label can't be taken for another's; so that comes before the places farther off.
    let thick = shown_rect(model, layout, path);
    Some(Label { wanted: Wanted { centre, thick, size: galley.size(), mark: None }, galley, severity: None })
}
