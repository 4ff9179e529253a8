//! What stands over the lanes of the timeline: hours, the sky's light with its twilights, the Moon.

use super::timeline::Frame;
use super::{
    Anchor, Ink, Item, Placed, Point, Rectangle, Stroke, TimeAxis, moon_areas, shortened, sky_events,
    sky_strips, text_width, thin,
};
use crate::plan::told_passes;
use crate::sheet::{Names, numbers, pass_mark};
use crate::time::LocalNight;

pub(super) const OUTLINE: Stroke = Stroke::solid(Ink::Text, 0.8);
/// Width of the edge of the dark.
pub(super) const EDGE_OF_DARK: f32 = 1.0;
pub(super) const HAIRLINE: Stroke = Stroke::solid(Ink::Grid, 0.5);
/// Dotted, so that hours and lanes don't look like the rules of a table.
const HOUR: Stroke = Stroke::dashed(Ink::Grid, 0.6, 0.8, 2.0);

/// A label beside the drawing, in the left gutter.
pub(super) fn gutter_label(frame: &Frame, baseline: f32, text: &str) -> Item {
    let room = frame.axis.left - 0.5 * frame.text;
    Item::text((0.0, baseline), Anchor::Start, frame.text, Ink::Text, shortened(text, frame.text, room))
}

/// Hours with lines down through the lanes, and the zone; a change of clocks names the new one.
pub(super) fn hours(frame: &Frame, night: &LocalNight, items: &mut Vec<Item>) {
    let axis = &frame.axis;
    let step = axis.label_step_minutes(text_width("20:00", frame.text) + 2.5 * frame.text);
    let first_zone = night.zone_label(axis.span.start());
    let last_zone = night.zone_label(axis.span.end());
    let label = if first_zone == last_zone {
        format!("Time, {first_zone}")
    } else {
        format!("Time, {first_zone}/{last_zone}")
    };
    items.push(gutter_label(frame, frame.hours, &label).semibold());
    let mut zone = first_zone;
    for tick in axis.ticks(night, step) {
        let x = axis.x(tick);
        items.push(Item::segment((x, frame.moon.top), (x, frame.lanes.bottom()), HOUR));
        let here = night.zone_label(tick);
        let clock = numbers::clock(night.local(tick));
        let text = if here == zone { clock } else { format!("{clock} {here}") };
        zone = here;
        items.push(Item::text((x, frame.hours), Anchor::Middle, frame.text, Ink::Text, text));
    }
    if let Some(change) = night.clock_change().filter(|change| axis.span.contains(*change)) {
        let x = axis.x(change);
        items.push(Item::segment((x, frame.moon.top), (x, frame.lanes.bottom()), OUTLINE));
    }
}

/// The computed light of the sky, as much of the height as it is of a day's, under the dark that comes down; with sunset and
/// the three twilights named below it. The edge between them tells it where shades don't: under a red lamp, in a bad copy.
pub(super) fn sky_band(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let (axis, band) = (&frame.axis, &frame.sky);
    items.push(gutter_label(frame, band.bottom - 0.2 * frame.text, "Sky light"));
    let mut edge = Vec::new();
    for strip in sky_strips(&names.prepared.moments, axis) {
        // Drawn a little too far to the right: the next strip covers it, and no seam shows.
        let right = (strip.right + 0.4).min(band.right);
        let bottom = band.bottom - band.height() * f32::from(strip.level) / 255.0;
        let dark = Rectangle { left: strip.left, right, bottom, ..*band };
        items.push(Item::rectangle(&dark, Some(Ink::SkyLight(strip.level)), None));
        edge.extend([strip.left, strip.right].map(|x| Point { x, y: bottom }));
    }
    items.push(Item::line(edge, Stroke::solid(Ink::Text, EDGE_OF_DARK)));
    items.push(Item::rectangle(band, None, Some(OUTLINE)));

    for label in &frame.sky_labels {
        items.push(Item::segment((label.x, band.top), (label.x, label.baseline), OUTLINE));
    }
    for label in &frame.sky_labels {
        // Keeps the lines of the hours and of other moments out of the words.
        let words = Rectangle {
            left: label.left - 0.1 * frame.text,
            top: label.baseline - 0.8 * frame.text,
            right: label.left + text_width(&label.text, frame.text) + 0.1 * frame.text,
            bottom: label.baseline + 0.25 * frame.text,
        };
        items.push(Item::rectangle(&words, Some(Ink::Ground), None));
        items.push(Item::text(
            (label.left, label.baseline),
            Anchor::Start,
            frame.text,
            Ink::Text,
            label.text.clone(),
        ));
    }
}

/// A named moment of the sky: its line and its text.
pub(super) struct SkyLabel {
    /// x of the moment.
    x: f32,
    /// Left end of the text.
    left: f32,
    /// Baseline of the text.
    pub baseline: f32,
    text: String,
}

/// Sunset, twilights and passes of satellites of the span, named in one row below `top`, or in more where they would hide one
/// another.
pub(super) fn sky_labels(
    names: &Names<'_>,
    axis: &TimeAxis,
    top: f32,
    (text_size, width): (f32, f32),
) -> Vec<SkyLabel> {
    let night = &names.prepared.night;
    let mut placed = Placed::default();
    let mut labels = Vec::new();
    let (passes, _) = told_passes(&names.prepared.satellites);
    let passes = passes.into_iter().map(|(event, pass)| (pass.seen_highest.at, pass_mark(event)));
    let events = sky_events(night).into_iter().map(|(at, event)| (at, event.word().to_owned())).chain(passes);
    for (at, word) in events {
        if !(axis.span.start() <= at && at <= axis.span.end()) {
            continue;
        }
        let x = axis.x(at);
        let text = format!("{word} {}", numbers::clock(night.local.local(at)));
        let long = text_width(&text, text_size);
        let right_of = x + 0.3 * text_size;
        let left = if right_of + long <= width { right_of } else { x - 0.3 * text_size - long };
        let places = (1..=3_u8).map(|row| {
            let baseline = top + f32::from(row) * 1.2 * text_size;
            Rectangle {
                left,
                top: baseline - 0.8 * text_size,
                right: left + long + 0.5 * text_size,
                bottom: baseline,
            }
        });
        if let Some(place) = placed.first_free(places) {
            labels.push(SkyLabel { x, left, baseline: place.bottom, text });
        }
    }
    labels
}

/// The Moon's altitude over the evening, from the horizon at the lower edge to the zenith at the upper.
pub(super) fn moon_band(frame: &Frame, names: &Names<'_>, items: &mut Vec<Item>) {
    let (band, prepared) = (&frame.moon, names.prepared);
    let (middle, lit) = prepared.moon_illuminated_at_mid();
    let lit = format!("Moon, {} lit", numbers::percent(lit));
    let timed = format!("{lit} at {}", numbers::clock(prepared.night.local.local(middle)));
    let room = frame.axis.left - 0.5 * frame.text;
    let lit = if text_width(&timed, frame.text) <= room { timed } else { lit };
    items.push(gutter_label(frame, band.bottom - 0.5 * frame.text, &lit));
    let areas = moon_areas(&prepared.moments, &frame.axis, band);
    for mut area in areas.iter().copied() {
        // As with the sky: a little too far, so that no seam shows.
        for corner in &mut area[2..] {
            corner.x = (corner.x + 0.4).min(band.right);
        }
        items.push(Item::Path { points: area.to_vec(), closed: true, fill: Some(Ink::Moon), stroke: None });
    }
    let outline: Vec<Point> = areas.iter().flat_map(|area| [area[1], area[2]]).collect();
    if outline.len() > 1 {
        items.push(Item::line(thin(&outline, |point| (point.x, point.y)), OUTLINE));
    }
    items.push(Item::segment((band.left, band.bottom), (band.right, band.bottom), OUTLINE));
    if areas.is_empty() {
        let at = (band.left + 0.5 * frame.text, band.bottom - 0.5 * frame.text);
        items.push(Item::text(at, Anchor::Start, frame.text, Ink::Text, "below the horizon"));
    }
}
