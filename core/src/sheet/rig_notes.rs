//! Everything the rig does to one showing, gathered: who reaches the eyepiece, where the line forms, how the field lies,
//! the dome, the guider.

use super::Notice;
use super::rig_words::{
    dome_sentence, eye_height_sentence, eyepiece_sentence, framed_sentence, guider_sentence, line_sentence,
    resolution_sentence, rotator_sentence, step_caution, turning_sentence,
};
use crate::assign::extent;
use crate::catalogue::Target;
use crate::place::Source;
use crate::plan::{Materials, Prepared, Sample, Track};
use crate::rig::{
    Field, FieldHold, FieldShape, Framed, Instrument, Outline, Port, best_field_angle, fields_of_port,
    framed_at_any_angle, framed_through, guider_advice, line_through, longest_frames, rotator_keyhole,
    stack_coverage, turn_through,
};
use crate::time::Interval;
use crate::units::Angle;

/// What the rig does while a target is shown on a port, one notice a matter; what does not apply, or is not known of the
/// rig, is left out.
///
/// * `eyepiece`: position in the port's set; the longest focal length where none is chosen.
pub fn rig_notes(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &Port,
    eyepiece: Option<usize>,
    interval: Interval,
) -> Vec<Notice> {
    let known = materials.catalogue.targets.get(target_index).zip(prepared.tracks.get(target_index));
    let fields = fields_of_port(&materials.rig.telescope, port);
    let field = fields.get(eyepiece.unwrap_or(0)).or(fields.first());
    let (Some((target, track)), Some(field)) = (known, field) else { return Vec::new() };
    let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
    let samples = &prepared.samples(target_index, first..=last)[..];
    let showing = Showing { materials, target, track, port, field, samples };
    let mut notes = Vec::new();
    showing.instrument(&mut notes);
    showing.people(&mut notes);
    showing.dome(&mut notes);
    notes
}

struct Showing<'s, 'm> {
    materials: &'s Materials<'m>,
    target: &'s Target,
    track: &'s Track,
    port: &'s Port,
    field: &'s Field,
    samples: &'s [Sample],
}

impl Showing<'_, '_> {
    fn instrument(&self, notes: &mut Vec<Notice>) {
        if let Some(view) = &self.field.eyepiece {
            notes.push(Notice::new("Eyepiece", eyepiece_sentence(view)));
        }
        if let Some(framed) = self.framed() {
            notes.push(Notice::new("Framing", framed_sentence(framed)));
        }
        if let Some(pixel) = self.field.pixel_scale {
            notes.push(Notice::new("Field", self.turning(pixel)));
        }
        notes.extend(self.outrun_rotator().map(|radius| Notice::new("Rotator", rotator_sentence(radius))));
        if let Instrument::Spectrograph(spectrograph) = &self.port.instrument {
            notes.push(Notice::new("Spectrum", resolution_sentence(spectrograph)));
        }
        if let Some(guider) = self.materials.rig.guider.as_ref().filter(|_| !self.port.is_eyepiece()) {
            let among_stars = match &self.target.source {
                Source::Body(_) | Source::Comet(_) => None,
                Source::Star(place) => Some((place.right_ascension, place.declination)),
            };
            notes.push(Notice::new("Guider", guider_sentence(guider_advice(guider, among_stars))));
        }
    }

    fn people(&self, notes: &mut Vec<Notice>) {
        if !self.port.is_eyepiece() {
            return;
        }
        if let Some(access) = self.port.access {
            let heights_mm = access.height.over_mm(self.samples.iter().map(|sample| sample.altitude));
            notes.extend(heights_mm.map(|heights_mm| Notice::new("Height", eye_height_sentence(heights_mm))));
            notes.extend(step_caution(access).map(|caution| Notice::new("Step", caution)));
        }
        let line = line_through(self.port.side, self.samples.iter().map(|sample| sample.azimuth));
        notes.extend(line.map(|line| Notice::new("Line", line_sentence(line))));
    }

    fn dome(&self, notes: &mut Vec<Notice>) {
        let aperture_mm = self.materials.rig.telescope.aperture_mm;
        let way = self.samples.iter().map(|sample| (sample.azimuth, sample.altitude));
        if let Some(dome) = &self.materials.rig.dome {
            notes.push(Notice::new("Dome", dome_sentence(dome.moves_along(aperture_mm, way))));
        }
    }

    fn angles(&self) -> impl Iterator<Item = Angle> {
        self.samples.iter().map(|sample| self.port.field_angle(sample.parallactic_angle, sample.altitude))
    }

    /// The keyhole of the rotator, where the target passes through it.
    fn outrun_rotator(&self) -> Option<Angle> {
        let rotator = self.port.rotator.filter(|_| !self.port.on_equatorial)?;
        let radius = rotator_keyhole(self.materials.site.place.latitude, rotator.rate_deg_per_s)?;
        let lowest = Angle::from_degrees(90.0) - radius;
        self.samples.iter().any(|sample| sample.altitude > lowest).then_some(radius)
    }

    /// How the field turns, with the frame that the fastest minute allows.
    fn turning(&self, pixel: Angle) -> String {
        let latitude = self.materials.site.place.latitude;
        let hold = self.port.field_hold();
        let rates = self
            .samples
            .iter()
            .map(|sample| hold.rotation_arcsec_per_s(latitude, sample.azimuth, sample.altitude).abs());
        let frames = longest_frames(self.field.shape, rates.fold(0.0, f64::max), Angle::ZERO, pixel);
        let turn = turn_through(self.angles());
        turning_sentence(turn, frames, stack_coverage(self.field.shape, turn))
    }

    /// What the field holds of the target; `None` where its size is not known, and for a slit.
    fn framed(&self) -> Option<Framed> {
        // It holds a share of an area, and a pair has none.
        let size = extent(self.target, self.track.appearance.as_ref());
        let (long, short) = size.filter(|(_, short)| *short > Angle::ZERO)?;
        let shape = self.field.shape;
        if matches!(shape, FieldShape::Slit(..)) {
            return None;
        }
        let outline = |position_angle| Outline { long, short, position_angle };
        match (self.target.position_angle, self.port.field_hold()) {
            // A rotator is set to what suits the target; what lies at no known angle is turned until it does.
            (angle, FieldHold::Rotator) => {
                let angle = angle.unwrap_or(Angle::ZERO);
                framed_through(outline(angle), shape, [best_field_angle(angle, shape)])
            }
            (Some(angle), _) => framed_through(outline(angle), shape, self.angles()),
            (None, _) => Some(framed_at_any_angle(long, short, shape)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::rig_notes;
    use crate::rig::PortId;
    use crate::sheet::demo::Demo;

    #[test]
    fn a_port_says_what_concerns_it() {
        let (demo, prepared) = Demo::on("2027-03-13").drafted();
        let materials = demo.materials();
        let stop = demo.evening.order.stops().iter().find(|stop| stop.show().is_some()).expect("it shows");
        let moon = materials.catalogue.targets.iter().position(|target| target.body().is_some());
        let star = materials.catalogue.targets.iter().position(|target| target.body().is_none());
        let notes = |target: Option<usize>, port: &str| {
            let port = materials.rig.port(&PortId(port.into())).expect("the demo has it");
            let target = target.expect("the catalogue has one");
            rig_notes(&prepared, &materials, target, port, None, stop.interval)
        };
        let topics = |target, port| -> Vec<String> {
            notes(target, port)
                .into_iter()
                .map(|note| note.label)
                .filter(|label| label != "Framing")
                .collect()
        };
        assert_eq!(topics(star, "eyepiece"), ["Eyepiece", "Height", "Line", "Dome"]);
        assert_eq!(topics(star, "planetary"), ["Field", "Guider", "Dome"]);
        assert_eq!(topics(star, "spectrograph"), ["Spectrum", "Guider", "Dome"]);
        let told = |target, port, topic: &str| {
            notes(target, port).into_iter().find(|note| note.label == topic).expect("it is told").value
        };
        assert!(told(star, "eyepiece", "Height").contains("1200 mm above the floor: within 1090–1295 mm"));
        assert!(told(moon, "wide", "Guider").starts_with("Guider off"));
        assert!(told(star, "wide", "Guider").contains("stars expected"));
        // A place of 1 arcminute lies whole in a field of 4 by 6, the Moon of 32 doesn't.
        let place = materials.catalogue.targets.iter().position(|target| target.feature.is_some());
        assert_eq!(told(place, "planetary", "Framing"), "The field holds all of it through the stop.");
        assert!(told(moon, "planetary", "Framing").ends_with("% of its area."));
        assert_eq!(told(star, "wide", "Field"), "The field stands still.");
        assert!(told(star, "planetary", "Field").contains("in the corner, any length in the centre"));
        assert!(told(star, "spectrograph", "Spectrum").contains("0.55 nm"));
    }
}
