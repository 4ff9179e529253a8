//! True field, pixel scale, magnification and exit pupil of what hangs on a port.

use super::{Camera, Eyepiece, Instrument, Port, Spectrograph, Telescope};
use crate::units::Angle;

/// The barrel of an eyepiece that says nothing else, in millimetres: 2 inches.
pub(super) const USUAL_BARREL_MM: f64 = 50.8;
/// Eyes behind spectacles need this much eye relief, in millimetres. Common practice, no source.
const SPECTACLES_RELIEF_MM: f64 = 15.0;

/// The widest field stop that a barrel of an outer diameter leaves room for, both in millimetres.
///
/// Common practice, no source: 46 mm clear inside a barrel of 50.8 mm (2 inches), 27 mm inside 31.75 mm (1.25 inches).
pub fn widest_field_stop_mm(barrel_mm: f64) -> f64 {
    let walls_mm = if barrel_mm < USUAL_BARREL_MM { 4.75 } else { 4.8 };
    barrel_mm - walls_mm
}

/// The outline of a field of view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FieldShape {
    /// A sensor: width and height.
    Rectangle(Angle, Angle),
    /// An eyepiece: diameter.
    Circle(Angle),
    /// A slit: width and length.
    Slit(Angle, Angle),
}

/// The true field of one way to look through a port.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its outline on the sky.
    pub shape: FieldShape,
    /// Sky covered by one pixel, for a camera.
    pub pixel_scale: Option<Angle>,
    /// The eyepiece and what it does, for an eyepiece port.
    pub eyepiece: Option<EyepieceView>,
}

/// An eyepiece on the telescope.
#[derive(Clone, Debug, PartialEq)]
pub struct EyepieceView {
    /// Position in the port's set of eyepieces.
    pub index: usize,
    /// Its name.
    pub name: String,
    /// Magnification.
    pub magnification: f64,
    /// Exit pupil, in millimetres.
    pub exit_pupil_mm: f64,
    /// True field, by the field stop where known, else apparent field over magnification.
    pub true_field: Angle,
    /// How far behind the lens the eye is held, in millimetres, where known.
    pub eye_relief_mm: Option<f64>,
}

impl EyepieceView {
    /// Whether spectacles can be kept on, where the eye relief is known.
    pub fn suits_spectacles(&self) -> Option<bool> {
        self.eye_relief_mm.map(|relief_mm| relief_mm >= SPECTACLES_RELIEF_MM)
    }
}

impl FieldShape {
    /// The smaller side (width of a slit not counted: its length).
    pub fn short_side(self) -> Angle {
        match self {
            Self::Rectangle(width, height) => width.min(height),
            Self::Circle(diameter) => diameter,
            Self::Slit(_, length) => length,
        }
    }

    /// The larger side.
    pub fn long_side(self) -> Angle {
        match self {
            Self::Rectangle(width, height) => width.max(height),
            Self::Circle(diameter) => diameter,
            Self::Slit(_, length) => length,
        }
    }
}

impl Field {
    /// The smaller side (width of a slit not counted: its length).
    pub fn short_side(&self) -> Angle {
        self.shape.short_side()
    }

    /// The larger side.
    pub fn long_side(&self) -> Angle {
        self.shape.long_side()
    }
}

/// The sky covered by a length in the focal plane, both in millimetres.
///
/// `2 atan(s / 2 F)`, the tangent plane of a telescope free of distortion.
pub(super) fn sky_covered(length_mm: f64, focal_length_mm: f64) -> Angle {
    Angle::from_radians(2.0 * (length_mm / (2.0 * focal_length_mm)).atan())
}

impl Telescope {
    /// Magnification with an eyepiece of a focal length in millimetres: `M = F / f`.
    pub fn magnification(&self, eyepiece_focal_length_mm: f64) -> f64 {
        self.focal_length_mm / eyepiece_focal_length_mm
    }

    /// Share of the aperture's light that reaches a port: obstruction and losses together.
    pub fn light_share(&self) -> f64 {
        // T (1 - epsilon^2), epsilon the obstruction by diameter
        self.throughput.value() * (1.0 - self.obstruction.value().powi(2))
    }
}

impl Camera {
    /// The sensor's outline on the sky.
    pub fn field_shape(&self, telescope: &Telescope) -> FieldShape {
        let focal_length_mm = telescope.focal_length_mm * self.focal_factor;
        FieldShape::Rectangle(
            sky_covered(self.sensor_mm.0, focal_length_mm),
            sky_covered(self.sensor_mm.1, focal_length_mm),
        )
    }

    /// Sky covered by one pixel, as it is read out, in the middle of the sensor.
    pub fn pixel_scale(&self, telescope: &Telescope) -> Angle {
        sky_covered(self.pixel_um / 1000.0, telescope.focal_length_mm * self.focal_factor)
    }
}

impl Eyepiece {
    /// True field on a telescope: by the field stop where known, else apparent field over magnification but no
    /// more than its barrel lets through; see [`widest_field_stop_mm`].
    pub fn true_field(&self, telescope: &Telescope) -> Angle {
        match self.field_stop_mm {
            Some(stop_mm) => sky_covered(stop_mm, telescope.focal_length_mm),
            None => (self.apparent_field / telescope.magnification(self.focal_length_mm))
                .min(sky_covered(widest_field_stop_mm(self.barrel_mm), telescope.focal_length_mm)),
        }
    }

    /// Exit pupil on a telescope, in millimetres: `D / M`.
    pub fn exit_pupil_mm(&self, telescope: &Telescope) -> f64 {
        telescope.aperture_mm / telescope.magnification(self.focal_length_mm)
    }
}

impl Spectrograph {
    /// The slit's outline on the sky.
    pub fn field_shape(&self, telescope: &Telescope) -> FieldShape {
        FieldShape::Slit(
            sky_covered(self.slit_um / 1000.0, telescope.focal_length_mm),
            sky_covered(self.slit_length_um / 1000.0, telescope.focal_length_mm),
        )
    }
}

/// What one eyepiece does on a telescope.
pub fn eyepiece_view(telescope: &Telescope, index: usize, eyepiece: &Eyepiece) -> EyepieceView {
    EyepieceView {
        index,
        name: eyepiece.name.clone(),
        magnification: telescope.magnification(eyepiece.focal_length_mm),
        exit_pupil_mm: eyepiece.exit_pupil_mm(telescope),
        true_field: eyepiece.true_field(telescope),
        eye_relief_mm: eyepiece.eye_relief_mm,
    }
}

/// The fields a port offers: one, or one per eyepiece.
pub fn fields_of_port(telescope: &Telescope, port: &Port) -> Vec<Field> {
    match &port.instrument {
        Instrument::Camera(camera) => vec![Field {
            shape: camera.field_shape(telescope),
            pixel_scale: Some(camera.pixel_scale(telescope)),
            eyepiece: None,
        }],
        Instrument::Eyepieces(eyepieces) => eyepieces
            .iter()
            .enumerate()
            .map(|(index, eyepiece)| {
                let view = eyepiece_view(telescope, index, eyepiece);
                Field { shape: FieldShape::Circle(view.true_field), pixel_scale: None, eyepiece: Some(view) }
            })
            .collect(),
        Instrument::Spectrograph(spectrograph) => {
            vec![Field { shape: spectrograph.field_shape(telescope), pixel_scale: None, eyepiece: None }]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{FieldShape, eyepiece_view, fields_of_port};
    use crate::rig::Eyepiece;
    use crate::rig::sample::{eyepiece, rig, telescope_port};
    use crate::units::Angle;

    fn near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
    }

    // Computed from the definitions (field 2 atan(s/2F), 206.265 p/F) for a 600 mm f/7 telescope.
    #[test]
    fn camera_fields_and_pixel_scales() {
        let rig = rig();
        for (id, width_arcmin, height_arcmin, diagonal_arcmin, pixel_arcsec) in
            [("wide", 29.47, 19.64, 35.41, 0.2947), ("planetary", 6.082, 4.084, 7.326, 0.1179)]
        {
            let fields = fields_of_port(&rig.telescope, telescope_port(&rig, id));
            let FieldShape::Rectangle(width, height) = fields[0].shape else {
                panic!("a camera is a rectangle")
            };
            near(width.arcminutes(), width_arcmin, 0.006);
            near(height.arcminutes(), height_arcmin, 0.006);
            near(fields[0].pixel_scale.map_or(0.0, Angle::arcseconds), pixel_arcsec, 0.000_06);
            near(2.0 * fields[0].shape.corner().arcminutes(), diagonal_arcmin, 0.006);
            assert_eq!(fields[0].short_side(), height);
            assert_eq!(fields[0].long_side(), width);
        }
    }

    // Computed from M = F/f, D/M and the field stop for a 600 mm f/7 telescope.
    #[test]
    fn eyepieces_by_field_stop_and_by_apparent_field() {
        let telescope = rig().telescope;
        for (focal_length_mm, apparent_deg, stop_mm, magnification, exit_pupil_mm, field_arcmin) in [
            (35.0, 68.0, Some(38.7), 120.0, 5.00, 31.68),
            (35.0, 68.0, None, 120.0, 5.00, 34.00),
            (24.0, 68.0, None, 175.0, 3.43, 23.31),
            (18.0, 82.0, None, 233.33, 2.57, 21.09),
            (10.0, 70.0, None, 420.0, 1.43, 10.00),
        ] {
            let view = eyepiece_view(&telescope, 0, &eyepiece(focal_length_mm, apparent_deg, stop_mm));
            near(view.magnification, magnification, 0.05);
            near(view.exit_pupil_mm, exit_pupil_mm, 0.005);
            near(view.true_field.arcminutes(), field_arcmin, 0.006);
        }
    }

    #[test]
    fn no_eyepiece_shows_more_than_its_barrel() {
        // 46 mm in a 2-inch barrel, 27 mm in a 1.25-inch one, at 4200 mm: 37.65 and 22.10 arcminutes.
        for (barrel_mm, field_arcmin) in [(50.8, 37.65), (31.75, 22.10)] {
            let wide = Eyepiece { barrel_mm, ..eyepiece(55.0, 82.0, None) };
            let view = eyepiece_view(&rig().telescope, 0, &wide);
            near(view.true_field.arcminutes(), field_arcmin, 0.006);
        }
    }

    #[test]
    fn spectacles_need_eye_relief() {
        let suits = |eye_relief_mm| {
            let own = Eyepiece { eye_relief_mm, ..eyepiece(24.0, 68.0, None) };
            eyepiece_view(&rig().telescope, 0, &own).suits_spectacles()
        };
        assert_eq!([suits(None), suits(Some(9.0)), suits(Some(20.0))], [None, Some(false), Some(true)]);
    }

    #[test]
    fn slit_on_the_sky() {
        // 206265 w/F: 30 micrometres at 4200 mm is 1.47 arcseconds.
        let rig = rig();
        let fields = fields_of_port(&rig.telescope, telescope_port(&rig, "spectrograph"));
        let FieldShape::Slit(width, length) = fields[0].shape else { panic!("a spectrograph has a slit") };
        near(width.arcseconds(), 1.47, 0.005);
        assert_eq!(fields[0].short_side(), length);
    }
}
