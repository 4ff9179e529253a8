//! True field, pixel scale, magnification and exit pupil of what hangs on a port.

use super::{Eyepiece, Port, Telescope};
use crate::units::Angle;

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
}

impl Field {
    /// The smaller side (width of a slit not counted: its length).
    pub fn short_side(&self) -> Angle {
        match self.shape {
            FieldShape::Rectangle(width, height) => width.min(height),
            FieldShape::Circle(diameter) => diameter,
            FieldShape::Slit(_, length) => length,
        }
    }

    /// The larger side.
    pub fn long_side(&self) -> Angle {
        match self.shape {
            FieldShape::Rectangle(width, height) => width.max(height),
            FieldShape::Circle(diameter) => diameter,
            FieldShape::Slit(_, length) => length,
        }
    }
}

/// What one eyepiece does on a telescope.
pub fn eyepiece_view(telescope: &Telescope, index: usize, eyepiece: &Eyepiece) -> EyepieceView {
    todo!()
}

/// The fields a port offers: one, or one per eyepiece.
pub fn fields_of_port(telescope: &Telescope, port: &Port) -> Vec<Field> {
    todo!()
}
