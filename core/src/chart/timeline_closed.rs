//! Closed sky on the timeline: a hatched band for each part, as long as it is closed, and the same hatch where a stop's target
//! stands in one.

use super::timeline::Frame;
use super::timeline_parts::{OUTLINE, gutter_label};
use super::{Anchor, Ink, Item, Placed, Rectangle, Stroke, TimeAxis, hatch, shortened, text_width};
use crate::sheet::{Names, closed_sky_words};

/// What stands beside the bands, and how much of the size of text their rows take.
const LABEL: &str = "Closed sky";
const HEIGHT: f32 = 1.25;
const APART: f32 = 0.25;
/// Lines of the hatch, which falls to the right where that of a move rises.
const LINE: Stroke = Stroke::solid(Ink::Text, 0.5);

/// A part of the sky while it is closed.
pub(super) struct ClosedBand {
    /// While it is closed.
    band: Rectangle,
    /// Where its words stand: in it or beside it.
    words_left: f32,
    words: String,
}

/// The bands below `top`, those that hide one another in rows of their own; and where the last row ends.
pub(super) fn bands(
    names: &Names<'_>,
    axis: &TimeAxis,
    top: f32,
    (text, width): (f32, f32),
) -> (Vec<ClosedBand>, f32) {
    let mut placed = Placed::default();
    let mut bands = Vec::new();
    let mut bottom = top;
    // The sky is prepared with one part for each wish, in their order.
    for (part, wish) in names.prepared.closed_sky.iter().zip(&names.evening.wishes.closed_sky) {
        let Some(interval) = part.interval.intersection(axis.span) else { continue };
        let (left, right) = (axis.x(interval.start()), axis.x(interval.end()));
        let inset = 0.4 * text;
        let words = shortened(&closed_sky_words(wish), text, axis.right - axis.left);
        let long = text_width(&words, text);
        let words_left = if long + 2.0 * inset <= right - left {
            left + inset
        } else if right + inset + long <= width {
            right + inset
        } else {
            (left - inset - long).max(axis.left)
        };
        let all = names.prepared.closed_sky.len().max(1);
        let rows = (0..all).map(|row| {
            let top = top + row as f32 * (HEIGHT + APART) * text;
            Rectangle {
                left: left.min(words_left),
                top,
                right: right.max(words_left + long),
                bottom: top + HEIGHT * text,
            }
        });
        if let Some(place) = placed.first_free(rows) {
            bottom = bottom.max(place.bottom + APART * text);
            bands.push(ClosedBand { band: Rectangle { left, right, ..place }, words_left, words });
        }
    }
    (bands, bottom)
}

/// Draws the bands with their words.
pub(super) fn draw_bands(frame: &Frame, items: &mut Vec<Item>) {
    let text = frame.text;
    let mut labelled = f32::NEG_INFINITY;
    for ClosedBand { band, .. } in &frame.closed {
        let baseline = band.bottom - 0.3 * text;
        if baseline > labelled {
            items.push(gutter_label(frame, baseline, LABEL));
            labelled = baseline;
        }
        items.extend(closed_hatch(band, text));
        items.push(Item::rectangle(band, None, Some(OUTLINE)));
    }
    for ClosedBand { band, words_left, words } in &frame.closed {
        let baseline = band.bottom - 0.3 * text;
        let cleared = Rectangle {
            left: words_left - 0.2 * text,
            top: band.top + 0.1 * text,
            right: words_left + text_width(words, text),
            bottom: band.bottom - 0.1 * text,
        };
        items.push(Item::rectangle(&cleared, Some(Ink::Ground), None));
        items.push(Item::text((*words_left, baseline), Anchor::Start, text, Ink::Text, words.as_str()));
    }
}

/// The hatch of what is closed.
pub(super) fn closed_hatch(area: &Rectangle, text: f32) -> Vec<Item> {
    let mut lines = hatch(area, 0.42 * text, LINE);
    for line in &mut lines {
        if let Item::Path { points, .. } = line {
            for point in points {
                point.x = area.left + area.right - point.x;
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use chrono::NaiveTime;

    use crate::chart::{Item, TimelineOptions};
    use crate::plan::ClosedSky;
    use crate::sheet::demo::Demo;
    use crate::units::Angle;

    #[test]
    fn a_closed_part_is_drawn_named_and_told() {
        let options = TimelineOptions { width: 798.0, height: 246.0, text_size: 9.0 };
        let (mut demo, prepared) = Demo::on("2027-03-13").drafted();
        let open = demo.scene(&prepared, options);
        let clock = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0);
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(270.0));
        demo.evening.wishes.closed_sky = vec![
            ClosedSky::new(from, to, clock(19, 0), clock(22, 0)),
            ClosedSky::new(from, from, clock(22, 0), None),
        ];
        let prepared = demo.prepared();
        let closed = demo.scene(&prepared, options);
        let words = "90° E to 270° W, since 19:00, until 22:00";
        let texts: Vec<&str> = closed
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text { text, .. } => Some(text.as_str()),
                Item::Path { .. } => None,
            })
            .collect();
        for told in [words, "all around, since 22:00", "Closed sky", "in closed sky"] {
            assert!(texts.contains(&told), "{told} in {texts:?}");
        }
        assert!(closed.alt.contains(words) && !open.alt.contains("losed sky"), "{}", closed.alt);
        assert!(closed.items.len() > open.items.len() + 50, "it is hatched");
        let lowest = |item: &Item| match item {
            Item::Path { points, .. } => points.iter().all(|point| (0.0..=246.1).contains(&point.y)),
            Item::Text { at, .. } => at.y <= 246.0,
        };
        assert!(closed.items.iter().all(lowest), "all of it is inside");
    }
}
