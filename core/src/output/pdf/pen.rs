//! Marks and drawings to the pages of the file.

use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Rect, Transform};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke as PdfStroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, SpanTag};
use krilla::text::TextDirection;

use super::PdfError;
use super::page::{Mark, Pages, Role};
use super::preview::FRAME_WIDTH;
use super::tags::Drawn;
use super::typeface::Typeface;
use crate::chart::{Anchor, Ink, Item, Point, Scene, Stroke, Weight};
use crate::output::paper::paper_grey;

/// Draws all pages into the document and tells what was drawn.
pub(super) fn draw(document: &mut Document, pages: &Pages<'_>) -> Result<Drawn, PdfError> {
    let (width, height) = pages.setting.size;
    let settings = PageSettings::from_wh(width, height)
        .ok_or_else(|| PdfError(format!("a page of {width} by {height} points is no page")))?;
    let mut drawn = Drawn::default();
    for marks in &pages.sides {
        let mut page = document.start_page_with(settings.clone());
        let mut surface = page.surface();
        for mark in marks {
            draw_mark(&mut surface, mark, pages.typeface, &mut drawn);
        }
        surface.finish();
        page.finish();
    }
    Ok(drawn)
}

fn draw_mark(surface: &mut Surface<'_>, mark: &Mark<'_>, typeface: &Typeface<'_>, drawn: &mut Drawn) {
    match mark {
        Mark::Text { x, y, size, weight, text, role } => {
            begin(surface, *role, drawn);
            write(surface, typeface, (*x, *y), (*size, *weight, Ink::Text), text);
            surface.end_tagged();
        }
        Mark::Rule { from, to, width, role } => {
            begin(surface, *role, drawn);
            let points = [Point { x: from.0, y: from.1 }, Point { x: to.0, y: to.1 }];
            draw_path(surface, &points, false, None, Some(Stroke::solid(Ink::Text, *width)));
            surface.end_tagged();
        }
        Mark::Frame { at, size, role } => {
            begin(surface, *role, drawn);
            if let Some(rectangle) = Rect::from_xywh(at.0, at.1, size.0, size.1) {
                let mut builder = PathBuilder::new();
                builder.push_rect(rectangle);
                paint(surface, builder.finish(), None, Some(Stroke::solid(Ink::Text, FRAME_WIDTH)));
            }
            surface.end_tagged();
        }
        Mark::Drawing { at, scale, scene, slot } => {
            begin(surface, Role::Content(*slot), drawn);
            draw_scene(surface, typeface, *at, *scale, scene);
            surface.end_tagged();
        }
    }
}

fn begin(surface: &mut Surface<'_>, role: Role, drawn: &mut Drawn) {
    let artifact = |kind| ContentTag::Artifact(Artifact::with_kind(kind));
    match role {
        Role::Content(slot) => drawn.note(slot, surface.start_tagged(ContentTag::Other)),
        Role::Told(slot, words) => {
            let span = SpanTag::empty().with_alt_text(Some(words));
            drawn.note(slot, surface.start_tagged(ContentTag::Span(span)));
        }
        Role::Footer => {
            surface.start_tagged(artifact(ArtifactType::Footer));
        }
        Role::Decoration => {
            surface.start_tagged(artifact(ArtifactType::Layout));
        }
    }
}

fn draw_scene(surface: &mut Surface<'_>, typeface: &Typeface<'_>, at: (f32, f32), scale: f32, scene: &Scene) {
    surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, at.0, at.1));
    let mut items = scene.items.iter().peekable();
    while let Some(item) = items.next() {
        match item {
            // What is filled alike without an outline is one path: fewer bytes, and no seams.
            Item::Path { points, closed: true, fill: Some(fill), stroke: None } => {
                let mut builder = PathBuilder::new();
                trace(&mut builder, points, true);
                while let Some(Item::Path { points, .. }) = items.next_if(|next| is_filled(next, *fill)) {
                    trace(&mut builder, points, true);
                }
                paint(surface, builder.finish(), Some(*fill), None);
            }
            // So are lines of one pen.
            Item::Path { points, closed, fill: None, stroke: Some(stroke) } => {
                let mut builder = PathBuilder::new();
                trace(&mut builder, points, *closed);
                while let Some(Item::Path { points, closed, .. }) =
                    items.next_if(|next| is_drawn_with(next, *stroke))
                {
                    trace(&mut builder, points, *closed);
                }
                paint(surface, builder.finish(), None, Some(*stroke));
            }
            Item::Path { points, closed, fill, stroke } => {
                draw_path(surface, points, *closed, *fill, *stroke);
            }
            Item::Text { at, anchor, size, weight, ink, runs_up, text } => {
                let text = typeface.writable(text);
                let width = typeface.width(&text, *size, *weight);
                let back = match anchor {
                    Anchor::Start => 0.0,
                    Anchor::Middle => width / 2.0,
                    Anchor::End => width,
                };
                let letters = (*size, *weight, *ink);
                if *runs_up {
                    surface.push_transform(&Transform::from_row(
                        0.0,
                        -1.0,
                        1.0,
                        0.0,
                        short(at.x),
                        short(at.y),
                    ));
                    write(surface, typeface, (-back, 0.0), letters, &text);
                    surface.pop();
                } else {
                    write(surface, typeface, (at.x - back, at.y), letters, &text);
                }
            }
        }
    }
    surface.pop();
}

fn write(
    surface: &mut Surface<'_>,
    typeface: &Typeface<'_>,
    at: (f32, f32),
    (size, weight, ink): (f32, Weight, Ink),
    text: &str,
) {
    if text.is_empty() {
        return;
    }
    surface.set_stroke(None);
    surface.set_fill(Some(fill_of(ink)));
    let start = PdfPoint::from_xy(short(at.0), short(at.1));
    surface.draw_text(start, typeface.font(weight), size, text, false, TextDirection::LeftToRight);
}

fn draw_path(
    surface: &mut Surface<'_>,
    points: &[Point],
    closed: bool,
    fill: Option<Ink>,
    stroke: Option<Stroke>,
) {
    let mut builder = PathBuilder::new();
    trace(&mut builder, points, closed);
    paint(surface, builder.finish(), fill, stroke);
}

/// Whether an item is nothing but an area filled with an ink.
fn is_filled(item: &Item, ink: Ink) -> bool {
    matches!(item, Item::Path { closed: true, fill: Some(fill), stroke: None, .. } if *fill == ink)
}

/// Whether an item is nothing but a line of a pen.
fn is_drawn_with(item: &Item, stroke: Stroke) -> bool {
    matches!(item, Item::Path { fill: None, stroke: Some(own), .. } if *own == stroke)
}

/// Adds a line from point to point.
fn trace(builder: &mut PathBuilder, points: &[Point], closed: bool) {
    for (index, point) in points.iter().enumerate() {
        let (x, y) = (short(point.x), short(point.y));
        if index == 0 {
            builder.move_to(x, y);
        } else {
            builder.line_to(x, y);
        }
    }
    if closed {
        builder.close();
    }
}

fn paint(surface: &mut Surface<'_>, path: Option<Path>, fill: Option<Ink>, stroke: Option<Stroke>) {
    // A path without extent can't be drawn and need not be.
    let Some(path) = path else {
        return;
    };
    surface.set_fill(fill.map(fill_of));
    surface.set_stroke(stroke.map(|stroke| PdfStroke {
        paint: colour(stroke.ink).into(),
        width: stroke.width,
        dash: stroke.dash.map(|(dash, gap)| StrokeDash { array: vec![dash, gap], offset: 0.0 }),
        ..PdfStroke::default()
    }));
    surface.draw_path(&path);
}

/// The nearest twentieth of a point, less than the dot of a printer, which takes few bytes.
fn short(points: f32) -> f32 {
    (20.0 * points).round() / 20.0
}

fn fill_of(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), ..Fill::default() }
}

fn colour(ink: Ink) -> rgb::Color {
    let grey = paper_grey(ink);
    rgb::Color::new(grey, grey, grey)
}
