//! The part of the timeline that shows altitudes: scale, airmass, paths and their names.

use super::timeline::Frame;
use super::timeline_parts::{HAIRLINE, OUTLINE, gutter_label};
use super::{
    Anchor, Ink, Item, Placed, Point, Rectangle, Stroke, altitude_path, shortened, text_width, thin,
};
use crate::plan::Stop;
use crate::sheet::{Names, numbers};
use crate::units::Angle;

/// Paths of what is shown: thin through the evening, thick during the stop, each with its number and name.
pub(super) fn altitude_panel(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let (axis, scale, text) = (&frame.axis, &frame.altitude, frame.text);
    let panel = Rectangle { left: axis.left, top: scale.zenith, right: axis.right, bottom: scale.horizon };
    items.push(gutter_label(frame, scale.zenith + 0.35 * text, "Altitude"));
    for altitude_deg in [0.0, 30.0, 60.0, 90.0] {
        let altitude = Angle::from_degrees(altitude_deg);
        let y = scale.y(altitude);
        items.push(Item::segment((panel.left, y), (panel.right, y), HAIRLINE));
        items.push(Item::text(
            (panel.left - 0.4 * text, y + 0.35 * text),
            Anchor::End,
            text,
            Ink::Text,
            numbers::degrees(altitude),
        ));
    }
    items.push(Item::text(
        (frame.width, scale.zenith + 0.35 * text),
        Anchor::End,
        text,
        Ink::Text,
        "Airmass",
    ));
    for (altitude, airmass) in scale.airmass_marks(1.1 * text) {
        let y = scale.y(altitude);
        items.push(Item::segment((panel.right, y), (panel.right + 0.4 * text, y), OUTLINE));
        items.push(Item::text(
            (panel.right + 0.7 * text, y + 0.35 * text),
            Anchor::Start,
            text,
            Ink::Text,
            numbers::airmass(airmass),
        ));
    }
    items.push(Item::rectangle(&panel, None, Some(OUTLINE)));

    let shown: Vec<(usize, &Stop, usize)> = names
        .evening
        .order
        .stops()
        .iter()
        .enumerate()
        .filter_map(|(index, stop)| {
            let target = names.target(&stop.show()?.target)?.0;
            Some((index + 1, stop, target))
        })
        .collect();
    for (_, _, target) in &shown {
        for line in altitude_path(names.prepared, *target, axis.span, axis, scale) {
            items.push(Item::line(thinned(&line), Stroke::dashed(Ink::Quiet, 0.5, 2.0, 2.0)));
        }
    }
    let mut placed = Placed::default();
    let mut names_to_place = Vec::new();
    for (number, stop, target) in shown {
        let lines = altitude_path(names.prepared, target, stop.interval, axis, scale);
        let Some(points) = lines.iter().max_by_key(|line| line.len()) else {
            continue;
        };
        for (from, to) in points.iter().zip(points.iter().skip(1)) {
            placed.keep_free(Rectangle {
                left: from.x,
                top: from.y.min(to.y) - 1.5,
                right: to.x,
                bottom: from.y.max(to.y) + 1.5,
            });
        }
        items.push(Item::line(thinned(points), Stroke::solid(Ink::Text, 2.2)));
        names_to_place.push((number, names.stop_title(stop), points.clone()));
    }
    for (number, title, points) in names_to_place {
        let full = shortened(&format!("{number} {title}"), text, 14.0 * text);
        for label in [full, number.to_string()] {
            if let Some(place) = placed.first_free(label_places(&panel, &points, &label, text)) {
                // The estimate of the width is generous: less than all of it is cleared.
                let cleared = Rectangle { right: place.left + 0.9 * place.width(), ..place };
                items.push(Item::rectangle(&cleared, Some(Ink::Ground), None));
                let at = (place.left + 0.2 * text, place.bottom - 0.25 * text);
                items.push(Item::text(at, Anchor::Start, text, Ink::Text, label));
                break;
            }
        }
    }
}

/// A curve without the corners that nobody sees.
fn thinned(points: &[Point]) -> Vec<Point> {
    thin(points, |point| (point.x, point.y))
}

/// Places for a label about a stretch of a path, the nearest first, all inside the panel: above and below its middle,
/// behind its end, before its start, then farther away.
fn label_places(panel: &Rectangle, stretch: &[Point], label: &str, text: f32) -> Vec<Rectangle> {
    let (width, height) = (text_width(label, text) + 0.4 * text, 1.1 * text);
    let at = |left: f32, top: f32| Rectangle { left, top, right: left + width, bottom: top + height };
    let mut places = Vec::new();
    let (Some(start), Some(end)) = (stretch.first(), stretch.last()) else {
        return places;
    };
    let middle = stretch[stretch.len() / 2];
    let (highest, lowest) = stretch
        .iter()
        .fold((middle.y, middle.y), |(highest, lowest), point| (highest.min(point.y), lowest.max(point.y)));
    for steps in 0..5_u8 {
        let away = 2.5 + f32::from(steps) * height;
        for top in [highest - away - height, lowest + away] {
            for shift in [0.5, 0.15, 0.85, -0.05, 1.05] {
                let left = middle.x - shift * width;
                places.push(at(left.clamp(panel.left, (panel.right - width).max(panel.left)), top));
            }
        }
        if steps == 0 {
            places.push(at(end.x + 0.3 * text, end.y - height / 2.0));
            places.push(at(start.x - 0.3 * text - width, start.y - height / 2.0));
        }
    }
    places.retain(|place| {
        place.left >= panel.left
            && place.right <= panel.right
            && place.top >= panel.top
            && place.bottom <= panel.bottom
    });
    places
}
