//! The fields of all ports beside one another at one scale, with the Moon's disc and a bar of ten arcminutes.

use std::f32::consts::TAU;

use egui::{
    Align2, Color32, Id, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, pos2, vec2,
};
use evenfall_core::rig::{Field, FieldShape, Instrument, Rig, fields_of_port};
use evenfall_core::sheet::numbers;
use evenfall_core::units::Angle;

use crate::ui::parts::{caution_line, name_drawing, one_line, small};
use crate::ui::place_page::AROUND;
use crate::ui::theme::{BOLD, NEAR, SMALL, SPACE, STRONG, Tokens, regular};

/// Its mean diameter, in arcminutes: 0.5181 degrees at the mean distance (Meeus, Astronomical Algorithms, 2nd ed., ch. 55).
const MOON_ARCMIN: f64 = 31.09;
const BAR_ARCMIN: f64 = 10.0;
/// Height of the two lines of words below a field, and of the bar with its own.
const WORDS: f32 = 36.0;
const BAR: f32 = 24.0;
/// Least width that the words of a field have.
const LEAST_WIDTH: f32 = 142.0;
/// The drawing is made smaller until it is no higher than this, or than the page.
const HIGHEST: f32 = 560.0;
const LEAST_HEIGHT: f32 = 270.0;
/// Height of what stands above the drawing.
const HEADING: f32 = 32.0;
/// Height of the words above fields that are not those of what is typed.
const TOLD: f32 = 48.0;
/// Length of a dash and of the gap behind it.
const DASH: f32 = 5.0;
/// By so much at a time.
const SMALLER: f32 = 0.92;
/// Smaller than this nothing is drawn.
const LEAST_SCALE: f32 = 0.05;

/// A field as it is drawn.
struct Item {
    shape: FieldShape,
    name: String,
    words: String,
    is_moon: bool,
}

/// Above fields that are not those of what is typed.
const NOT_AS_TYPED: &str = "Something typed is wrong: these dashed fields are from before it.";

/// Draws them; dashed and told so where what is typed can't be and the rig is the one before it.
pub(super) fn show(ui: &mut Ui, rig: &Rig, is_current: bool, tokens: &Tokens) {
    if !is_current {
        caution_line(ui, tokens, NOT_AS_TYPED);
    }
    let items = items(rig);
    let width = ui.available_width();
    let told = if is_current { 0.0 } else { TOLD };
    let page = ui.ctx().content_rect().height() - AROUND - BAR - HEADING - told;
    let highest = page.clamp(LEAST_HEIGHT, HIGHEST);
    let (points_per_arcmin, places, height) = laid_out(&items, width, highest);
    let (room, _) = ui.allocate_exact_size(vec2(width, height + BAR), Sense::hover());
    for (item, place) in items.iter().zip(places) {
        let place = place.translate(room.min.to_vec2());
        let response = ui.interact(place, Id::unique(("field to scale", &item.name)), Sense::HOVER);
        let before = if is_current || item.is_moon { "" } else { ", from before what is wrong" };
        let hint = format!("{}: {}{before}", item.name, item.words);
        name_drawing(&response, &hint);
        paint(ui.painter(), tokens, (item, is_current), place, points_per_arcmin);
        response.on_hover_text(hint);
    }
    bar(ui.painter(), tokens, pos2(room.left(), room.bottom() - BAR / 2.0), points_per_arcmin);
}

/// All fields of the rig behind the Moon's disc.
fn items(rig: &Rig) -> Vec<Item> {
    let moon = Angle::from_arcminutes(MOON_ARCMIN);
    let mut items = vec![Item {
        shape: FieldShape::Circle(moon),
        name: "The Moon".to_owned(),
        words: format!("{} across", numbers::size(moon)),
        is_moon: true,
    }];
    for port in &rig.ports {
        for field in fields_of_port(&rig.telescope, port) {
            let name = match (&field.eyepiece, &port.instrument) {
                (Some(view), Instrument::Eyepieces(_)) => format!("{}, {}", port.name, view.name),
                _ => port.name.clone(),
            };
            items.push(Item { shape: field.shape, name, words: words(&field), is_moon: false });
        }
    }
    items
}

/// The size of a field in words.
fn words(field: &Field) -> String {
    match (field.shape, &field.eyepiece, field.pixel_scale) {
        (FieldShape::Rectangle(width, height), _, Some(pixel)) => format!(
            "{} × {}, {}″ a pixel",
            numbers::size(width),
            numbers::size(height),
            numbers::decimal(pixel.arcseconds(), 2)
        ),
        (FieldShape::Rectangle(width, height) | FieldShape::Slit(width, height), ..) => {
            format!("{} × {}", numbers::size(width), numbers::size(height))
        }
        (FieldShape::Circle(diameter), Some(view), _) => {
            format!("{}, {}×", numbers::size(diameter), numbers::decimal(view.magnification, 0))
        }
        (FieldShape::Circle(diameter), None, _) => numbers::size(diameter),
    }
}

/// Width and height of a field, in arcminutes.
fn sides(shape: FieldShape) -> (f64, f64) {
    match shape {
        FieldShape::Rectangle(width, height) => (width.arcminutes(), height.arcminutes()),
        FieldShape::Circle(diameter) => (diameter.arcminutes(), diameter.arcminutes()),
        FieldShape::Slit(width, length) => (width.arcminutes(), length.arcminutes()),
    }
}

/// The largest scale at which all of them fit, in points for an arcminute; where each is then, and how high that is.
fn laid_out(items: &[Item], width: f32, highest: f32) -> (f32, Vec<Rect>, f32) {
    let widest = items.iter().map(|item| sides(item.shape).0).fold(1.0, f64::max);
    let mut scale = (width / 2.0 - SPACE) / widest as f32;
    loop {
        let (places, height) = rows(items, width, scale);
        if height <= highest || scale <= LEAST_SCALE {
            return (scale, places, height);
        }
        scale *= SMALLER;
    }
}

/// Rows of fields, each as high as its highest.
fn rows(items: &[Item], width: f32, scale: f32) -> (Vec<Rect>, f32) {
    let mut places: Vec<Rect> = Vec::new();
    let (mut at, mut highest) = (Vec2::ZERO, 0.0_f32);
    for item in items {
        let (across, up) = sides(item.shape);
        let size = vec2((across as f32 * scale).max(LEAST_WIDTH), up as f32 * scale + WORDS);
        if at.x > 0.0 && at.x + size.x > width {
            at = vec2(0.0, at.y + highest + SPACE);
            highest = 0.0;
        }
        places.push(Rect::from_min_size(at.to_pos2(), size));
        at.x += size.x + SPACE;
        highest = highest.max(size.y);
    }
    (places, at.y + highest + SPACE)
}

fn paint(painter: &Painter, tokens: &Tokens, (item, is_current): (&Item, bool), place: Rect, scale: f32) {
    let (across, up) = sides(item.shape);
    let size = vec2(across as f32 * scale, up as f32 * scale);
    let centre = pos2(place.center().x, place.top() + size.y / 2.0);
    let ink = if is_current || item.is_moon { tokens.ink } else { tokens.quiet };
    match item.shape {
        FieldShape::Circle(_) if item.is_moon => {
            painter.circle(centre, size.x / 2.0, tokens.moon_soft, Stroke::new(STRONG, tokens.moon));
        }
        FieldShape::Circle(_) if is_current => {
            painter.circle(centre, size.x / 2.0, tokens.raised, Stroke::new(BOLD, ink));
        }
        FieldShape::Circle(_) => {
            let point = |step: u16| centre + Vec2::angled(TAU * f32::from(step) / 90.0) * size.x / 2.0;
            dashed(painter, &(0..=90).map(point).collect::<Vec<_>>(), ink);
        }
        FieldShape::Rectangle(..) | FieldShape::Slit(..) => {
            let outline = Rect::from_center_size(centre, size.max(Vec2::splat(BOLD)));
            if is_current {
                painter.rect(outline, 0.0, tokens.raised, Stroke::new(BOLD, ink), StrokeKind::Middle);
            } else {
                let Rect { min, max } = outline;
                dashed(painter, &[min, pos2(max.x, min.y), max, pos2(min.x, max.y), min], ink);
            }
        }
    }
    for (row, words) in [&item.name, &item.words].into_iter().enumerate() {
        let line = one_line(painter, words, regular(SMALL), ink, place.width());
        let top = place.top() + size.y + NEAR + 16.0 * row as f32;
        let left = place.center().x - line.size().x / 2.0;
        painter.galley(pos2(left, top), line, ink);
    }
}

fn dashed(painter: &Painter, points: &[Pos2], ink: Color32) {
    painter.extend(Shape::dashed_line(points, Stroke::new(BOLD, ink), DASH, DASH));
}

/// Ten arcminutes at the same scale.
fn bar(painter: &Painter, tokens: &Tokens, left: Pos2, scale: f32) {
    let length = BAR_ARCMIN as f32 * scale;
    let stroke = Stroke::new(STRONG, tokens.ink);
    painter.hline(left.x..=left.x + length, left.y, stroke);
    for end in [left.x, left.x + length] {
        painter.vline(end, left.y - 4.0..=left.y + 4.0, stroke);
    }
    let words = numbers::size(Angle::from_arcminutes(BAR_ARCMIN));
    small(painter, left + vec2(length + 6.0, 0.0), Align2::LEFT_CENTER, words, tokens.ink);
}

#[cfg(test)]
mod tests {
    use evenfall_core::rig::read_rig;

    use super::{HIGHEST, items, laid_out, sides};
    use crate::shell::assets::DEMO_PARTS;

    #[test]
    fn all_fields_have_one_scale_and_lie_beside_one_another() {
        let rig = read_rig("demo", DEMO_PARTS[1].text).unwrap();
        let items = items(&rig);
        assert_eq!(items.len(), 8, "the Moon, two cameras, four eyepieces and a slit");
        // 36 mm before 4200 mm of focal length: 2 atan(36 / 8400) is 29.47 arcminutes.
        assert!((sides(items[1].shape).0 - 29.466).abs() < 0.01);
        for width in [300.0, 384.0, 760.0] {
            let (_, places, height) = laid_out(&items, width, HIGHEST);
            assert!(height <= HIGHEST);
            for (position, one) in places.iter().enumerate() {
                assert!(one.right() <= width + 0.1 && one.bottom() <= height);
                assert!(places[position + 1..].iter().all(|other| !one.shrink(0.1).intersects(*other)));
            }
        }
    }
}
