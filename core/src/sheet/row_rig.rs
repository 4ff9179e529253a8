//! What the rig adds to a row of the run sheet, in a few words each: eyepiece or exposure, focus, slit, line.

use super::wording::part_across;
use super::{Names, Row, numbers};
use crate::assign::{AirAndSky, TargetOnPort};
use crate::plan::{Sample, Show, Stop};
use crate::rig::{Instrument, Line, Port, dome_azimuth, eyepiece_view, line_through};
use crate::units::Angle;

/// Fills in what the port, the dome and the place of the line have to do with a stop.
pub(super) fn fill(row: &mut Row, names: &Names<'_>, stop: &Stop, show: &Show, port: &Port) {
    if let Some(steps) = port.focus_offset_steps {
        row.focus = format!("focus {}", numbers::steps(steps));
        row.focus_steps = numbers::decimal(f64::from(steps), 0);
    }
    row.exposure = exposure(names, stop, show, port).unwrap_or_default();
    row.part_seen = part_seen(names, show, port).unwrap_or_default();
    let part = after("part of it:", &row.part_seen);
    let told = [detail(names, show, port, &row.exposure), part].into_iter().filter(|told| !told.is_empty());
    row.port_detail = told.collect::<Vec<_>>().join(", ");
    let Some((index, _)) = names.target(&show.target) else { return };
    let (first, last) = (names.prepared.moment_index(stop.start()), names.prepared.moment_index(stop.end()));
    let samples = names.prepared.samples(index, first..=last);
    row.slit_faces = slit_faces(names, &samples);
    row.dome = after("slit", &row.slit_faces);
    if port.is_eyepiece() {
        let line = line_through(port.side, samples.iter().map(|sample| sample.azimuth));
        row.line_side = line.map(line_side).unwrap_or_default();
        row.line_forms = after("line", &row.line_side);
    }
}

/// Eyepiece and magnification, the length of a frame, or the slit.
fn detail(names: &Names<'_>, show: &Show, port: &Port, exposure: &str) -> String {
    let rig = names.materials.rig;
    match &port.instrument {
        Instrument::Eyepieces(eyepieces) => {
            // The longest focal length where none is chosen.
            let index = show.eyepiece.unwrap_or(0);
            let words = eyepieces.get(index).map(|eyepiece| {
                let view = eyepiece_view(&rig.telescope, index, eyepiece);
                format!("{}, {}×", view.name, numbers::decimal(view.magnification, 0))
            });
            words.unwrap_or_default()
        }
        Instrument::Camera(_) => after("expose", exposure),
        Instrument::Spectrograph(slit) => format!("slit {} µm", numbers::decimal(slit.slit_um, 0)),
    }
}

/// A word with what it belongs to; nothing alone.
fn after(word: &str, told: &str) -> String {
    if told.is_empty() { String::new() } else { format!("{word} {told}") }
}

/// The length of a camera's frame; `None` for whatever else stands on the port.
fn exposure(names: &Names<'_>, stop: &Stop, show: &Show, port: &Port) -> Option<String> {
    if !matches!(port.instrument, Instrument::Camera(_)) {
        return None;
    }
    let (index, target) = names.target(&show.target)?;
    let minute = names.prepared.moment_index(stop.start());
    let showing = names.prepared.showing(names.materials, index, minute)?;
    let on_port = TargetOnPort::new(target, showing.appearance, &names.materials.rig.telescope, port);
    on_port.frame_s(&AirAndSky::new(&showing)).map(numbers::exposure)
}

/// How much is seen of a target that is larger than the field of a camera or of the stop's eyepiece.
fn part_seen(names: &Names<'_>, show: &Show, port: &Port) -> Option<String> {
    let (index, target) = names.target(&show.target)?;
    let appearance = names.prepared.tracks.get(index)?.appearance;
    let on_port = TargetOnPort::new(target, appearance, &names.materials.rig.telescope, port);
    part_across(&on_port.fit(show.eyepiece.unwrap_or(0))?)
}

/// Which way the slit faces, at the start and at the end; empty without a dome.
fn slit_faces(names: &Names<'_>, samples: &[Sample]) -> String {
    let Some(dome) = &names.materials.rig.dome else { return String::new() };
    let faces =
        |sample: &Sample| numbers::compass_letters(dome_azimuth(dome, sample.azimuth, sample.altitude));
    match (samples.first().map(faces), samples.last().map(faces)) {
        (Some(start), Some(end)) if start == end => start.to_owned(),
        (Some(start), Some(end)) => format!("{start} → {end}"),
        _ => String::new(),
    }
}

/// On which side the line forms, and where to if it swings to another.
fn line_side(line: Line) -> String {
    let letters = |angle: Angle| numbers::compass_word(angle);
    let (start, end) = (letters(line.start), letters(line.end));
    if start == end { start.to_owned() } else { format!("{start} → {end}") }
}
