//! The evening on a time axis: sky light, Moon, and a lane with a sky of its own for each port, with its stops and the moves to them.

use super::timeline_closed::{ClosedBand, bands, draw_bands};
use super::timeline_key::key_line;
use super::timeline_lanes::{grounds, lanes_of_ports};
use super::timeline_parts::{SkyLabel, hours, moon_band, sky_band, sky_labels};
use super::{Lanes, Rectangle, Scene, TimeAxis, text_width};
use crate::plan::{Evening, Materials, Prepared, Stop, StopTiming, timings};
use crate::sheet::wording::phase_word;
use crate::sheet::{Names, closed_sky_words, numbers, port_letter};

/// Size and what to draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimelineOptions {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    /// Size of the smallest text, in points.
    pub text_size: f32,
}

/// Between a lane and its scale of altitude, as a share of the size of text.
pub(super) const SCALE_GAP: f32 = 0.4;

/// Where the parts of the drawing lie, from top to bottom.
pub(super) struct Frame {
    /// Time along the width.
    pub axis: TimeAxis,
    /// Size of text.
    pub text: f32,
    /// Right edge of the drawing.
    pub width: f32,
    /// Baseline of the hours.
    pub hours: f32,
    /// The sky's light.
    pub sky: Rectangle,
    /// Sunset and twilights with their labels and places.
    pub sky_labels: Vec<SkyLabel>,
    /// The Moon.
    pub moon: Rectangle,
    /// What is closed of the sky, while it is.
    pub closed: Vec<ClosedBand>,
    /// The ports, a sky each.
    pub lanes: Lanes,
    /// Baseline of the key.
    pub key: f32,
}

impl Frame {
    fn new(names: &Names<'_>, options: TimelineOptions) -> Self {
        let text = options.text_size;
        let line = text * 1.25;
        let ports = &names.materials.rig.ports;
        let widest = ports.iter().map(|port| text_width(&port.name, text)).fold(0.0, f32::max);
        // Room for the names of the ports, but never most of the drawing.
        let least = text_width("Sky light", text) + text;
        let left = (widest + 2.0 * text).max(least).min(options.width * 0.3);
        let right = options.width - text_width("60°", text) - SCALE_GAP * text;
        let axis = TimeAxis { span: names.prepared.span, left, right };
        let band = |top: f32, height: f32| Rectangle { left, top, right, bottom: top + height };
        let sky = band(line, 1.1 * text);
        let sky_labels = sky_labels(names, &axis, sky.bottom, (text, options.width));
        let labels_end = sky_labels.iter().map(|label| label.baseline).fold(sky.bottom, f32::max);
        let moon = band(labels_end + 0.4 * text, 1.8 * text);
        let key = options.height - 0.3 * text;
        let (closed, closed_end) = bands(names, &axis, moon.bottom + 0.4 * text, (text, options.width));
        let (lanes_top, lanes_bottom) = (closed_end + 0.2 * text, key - 1.55 * text);
        let (count, gap) = (ports.len().max(1), 0.25 * text);
        let height = (lanes_bottom - lanes_top + gap) / count as f32 - gap;
        let lanes = Lanes { top: lanes_top, height: height.max(1.0), gap, count };
        Self {
            axis,
            text,
            width: options.width,
            hours: line - 0.35 * text,
            sky,
            sky_labels,
            moon,
            closed,
            lanes,
            key,
        }
    }
}

/// The timeline of an evening, for paper and picture.
pub fn timeline(
    evening: &Evening,
    prepared: &Prepared,
    materials: &Materials<'_>,
    options: TimelineOptions,
) -> Scene {
    let timings = timings(&evening.order, prepared, materials);
    timeline_of(&Names::new(evening, prepared, materials), &timings, options)
}

/// The timeline from what has been timed.
pub(crate) fn timeline_of(names: &Names<'_>, timings: &[StopTiming], options: TimelineOptions) -> Scene {
    let frame = Frame::new(names, options);
    let mut items = Vec::new();
    grounds(&frame, names, &mut items);
    hours(&frame, &names.prepared.night.local, &mut items);
    sky_band(&frame, names, &mut items);
    moon_band(&frame, names, &mut items);
    draw_bands(&frame, &mut items);
    let shown = lanes_of_ports(&frame, names, timings, &mut items);
    key_line(&frame, &shown, &mut items);
    Scene { width: options.width, height: options.height, alt: in_words(names), items }
}

/// What the drawing shows, for those who can't see it.
fn in_words(names: &Names<'_>) -> String {
    let local = &names.prepared.night.local;
    let stops: Vec<String> = names
        .evening
        .order
        .stops()
        .iter()
        .enumerate()
        .map(|(index, stop)| {
            let place = stop.show().and_then(|show| names.port_index(&show.port)).map_or_else(
                || "without the telescope".to_owned(),
                |port| format!("on port {}", port_letter(port)),
            );
            let title = names.stop_title(stop);
            let altitude = altitude_in_words(names, stop);
            format!("{} {title}, {}, {place}{altitude}", index + 1, numbers::clock_span(local, stop.interval))
        })
        .collect();
    let closed: Vec<String> = names.evening.wishes.closed_sky.iter().map(closed_sky_words).collect();
    let closed =
        if closed.is_empty() { String::new() } else { format!(" Closed sky: {}.", closed.join("; ")) };
    let listed = if stops.is_empty() { "no stops".to_owned() } else { stops.join("; ") };
    format!(
        "The evening from {}, with the light of the sky, the Moon ({}), and one lane for each port: a sky from the \
         horizon to the zenith, in which each stop is filled up to the altitude of its target.{closed} Stops: {listed}.",
        numbers::clock_span(local, names.prepared.span),
        moon_in_words(names)
    )
}

/// From which altitude and airmass to which a stop's target goes.
fn altitude_in_words(names: &Names<'_>, stop: &Stop) -> String {
    let target = stop.show().and_then(|show| names.target(&show.target));
    let ends = [stop.start(), stop.end()].map(|at| names.prepared.sample(target?.0, at));
    let [Some(start), Some(end)] = ends else { return String::new() };
    let [from, to] = [start, end].map(|sample| numbers::degrees(sample.altitude));
    let airmass = [start, end].map(|sample| sample.airmass.map(numbers::airmass));
    let airmass = match airmass {
        [Some(from), Some(to)] => format!(", airmass {from} to {to}"),
        _ => String::new(),
    };
    format!(", altitude {from} to {to}{airmass}")
}

/// The Moon's phase and lit part in few words.
fn moon_in_words(names: &Names<'_>) -> String {
    let night = &names.prepared.night;
    let (middle, lit) = names.prepared.moon_illuminated_at_mid();
    let at = numbers::clock_with_zone(&night.local, middle);
    format!("{}, {} lit at {at}", phase_word(night.moon_phase), numbers::percent(lit))
}

#[cfg(test)]
mod tests {
    use super::TimelineOptions;
    use crate::chart::timeline_lanes::PATH;
    use crate::chart::timeline_parts::{EDGE_OF_DARK, OUTLINE};
    use crate::chart::{Item, Scene, text_width};
    use crate::output::paper_grey;
    use crate::sheet::demo::Demo;

    fn assert_inside(scene: &Scene) {
        let inside = |x: f32, y: f32| {
            assert!((-0.1..=scene.width + 0.1).contains(&x), "x {x} of {}", scene.width);
            assert!((-0.1..=scene.height + 0.1).contains(&y), "y {y} of {}", scene.height);
        };
        for item in &scene.items {
            match item {
                Item::Path { points, .. } => points.iter().for_each(|point| inside(point.x, point.y)),
                Item::Text { at, size, text, runs_up, .. } => {
                    inside(at.x, at.y);
                    if *runs_up {
                        inside(at.x - 0.7 * size, at.y - 0.9 * text_width(text, *size));
                    } else {
                        inside(at.x, at.y - 0.7 * size);
                    }
                }
            }
        }
    }

    #[test]
    fn everything_is_drawn_inside_and_told_in_words() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        for (width, height) in [(790.0, 246.0), (480.0, 300.0), (1200.0, 700.0), (320.0, 200.0)] {
            let scene = demo.scene(&prepared, TimelineOptions { width, height, text_size: 9.0 });
            assert_inside(&scene);
            for number in 1..=demo.evening.order.stops().len() {
                assert!(scene.alt.contains(&format!(" {number} ")), "stop {number} in {}", scene.alt);
            }
        }
    }

    #[test]
    fn every_stop_is_named_and_its_altitude_told() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        for (width, height) in [(798.0, 246.0), (748.0, 246.0), (1000.0, 560.0)] {
            let scene = demo.scene(&prepared, TimelineOptions { width, height, text_size: 9.0 });
            let texts = scene.items.iter().filter_map(|item| match item {
                Item::Text { text, .. } => Some(text.as_str()),
                Item::Path { .. } => None,
            });
            // The lines of a name follow one another.
            let texts = texts.collect::<Vec<_>>().join(" ");
            demo.with_names(&prepared, |names| {
                for (index, stop) in demo.evening.order.stops().iter().enumerate() {
                    let name = format!("{} {}", index + 1, names.stop_title(stop));
                    assert!(texts.contains(&name), "{name} at {width} by {height}: {texts}");
                }
            });
            let shown = demo.evening.order.stops().iter().filter(|stop| stop.show().is_some()).count();
            assert!(shown > 4 && scene.alt.matches("altitude ").count() > shown, "{}", scene.alt);
        }
    }

    #[test]
    fn without_any_shade_stops_altitudes_sky_and_moon_are_told() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let scene = demo.scene(&prepared, TimelineOptions { width: 798.0, height: 246.0, text_size: 9.0 });
        // What a red lamp and a bad copy leave: lines and words.
        let lines = |width: f32, is_closed: bool, least_long: f32| {
            let is_it = |item: &&Item| match item {
                Item::Path { points, closed, stroke: Some(stroke), .. } => {
                    let long =
                        points.last().zip(points.first()).map_or(0.0, |(last, first)| last.x - first.x);
                    let is_black = paper_grey(stroke.ink) == 0;
                    *closed == is_closed
                        && (stroke.width - width).abs() < 1e-6
                        && is_black
                        && long >= least_long
                }
                _ => false,
            };
            scene.items.iter().filter(is_it).count()
        };
        let stops = demo.evening.order.stops();
        let shown = stops.iter().filter(|stop| stop.show().is_some()).count();
        assert!(lines(OUTLINE.width, true, 0.0) >= stops.len(), "each stop has an outline");
        assert!(lines(PATH.width, false, 0.0) >= shown, "each target has its way");
        assert!(lines(EDGE_OF_DARK, false, 600.0) >= 1, "the light of the sky has an edge");
        assert!(lines(OUTLINE.width, false, 600.0) >= 2, "the Moon has its way, and its horizon");
        for words in ["Sky light", "Moon, ", "Sunset ", "Civil dusk ", "Eyepiece", "30°"] {
            let is_told = |item: &Item| matches!(item, Item::Text { text, .. } if text.starts_with(words));
            assert!(scene.items.iter().any(is_told), "{words}");
        }
    }

    #[test]
    fn an_evening_without_stops_or_darkness_is_drawn_too() {
        let demo = Demo::on("2027-06-21");
        let scene =
            demo.scene(&demo.prepared(), TimelineOptions { width: 740.0, height: 246.0, text_size: 9.0 });
        assert_inside(&scene);
        assert!(scene.alt.contains("no stops"));
    }
}
