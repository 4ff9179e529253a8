//! What the telescope can do: optics, mount, dome, selector, ports; fields and moves.
//!
//! [`Rig`] holds what a rig file says; `field` turns a port into a field of view, `moves` turns two
//! pointings into seconds, `rotation` says how fast a field turns.

mod field;
mod moves;
mod read;
mod rotation;
#[cfg(test)]
pub(crate) mod sample;

use std::fmt;

use serde::Deserialize;

pub use field::{EyepieceView, Field, FieldShape, WIDEST_FIELD_STOP_MM, eyepiece_view, fields_of_port};
pub use moves::{Axis, Move, MoveParts, Pointing, axis_seconds, dome_azimuth, move_between};
pub use read::{RIG_FORMAT, read_rig};
pub use rotation::{field_rotation_arcsec_per_s, longest_frame_s};

use crate::units::{Angle, Fraction, Magnitude};

/// The telescope's optics.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Telescope {
    /// Clear aperture, in millimetres.
    pub aperture_mm: f64,
    /// Focal length at the ports, in millimetres.
    pub focal_length_mm: f64,
    /// Central obstruction by diameter.
    pub obstruction: Fraction,
    /// Share of light that reaches a port, obstruction apart.
    pub throughput: Fraction,
}

/// The mount: an alt-azimuth one, its limits and its pace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mount {
    /// Lowest altitude it may point to.
    pub lowest_altitude: Angle,
    /// Highest altitude it may point to.
    pub highest_altitude: Angle,
    /// Radius round the zenith where it can't follow well: the zenith keyhole.
    pub keyhole_radius: Angle,
    /// Azimuth axis.
    pub azimuth: Axis,
    /// Altitude axis.
    pub altitude: Axis,
    /// Azimuth the cables allow, counted without wrapping from north through east, such as -270 to 270 degrees.
    pub cable_wrap: (Angle, Angle),
    /// Time to settle after any move, in seconds.
    pub settle_s: f64,
}

/// The dome.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dome {
    /// Radius, in metres.
    pub radius_m: f64,
    /// Width of the slit, in metres.
    pub slit_width_m: f64,
    /// Where the mount's axes cross, from the dome's centre: east, north, up, in metres.
    pub offset_m: [f64; 3],
    /// Its pace in azimuth.
    pub rotation: Axis,
}

/// The selector that sends the light to one port.
#[derive(Clone, Debug, PartialEq)]
pub struct Selector {
    /// Time to change from any port to another, in seconds.
    pub change_s: f64,
    /// Time to focus after a change, in seconds.
    pub refocus_s: f64,
    /// Pairs of ports that take another time; of two for the same pair the first counts.
    pub pairs: Vec<PairTimes>,
}

/// What a change between two ports takes, either way.
#[derive(Clone, Debug, PartialEq)]
pub struct PairTimes {
    /// The two ports.
    pub ports: (PortId, PortId),
    /// Time to change, in seconds.
    pub change_s: f64,
    /// Time to focus after it, in seconds.
    pub refocus_s: f64,
}

impl Selector {
    /// Seconds to change and to focus from one port to another: none for the same, the usual ones where no port was set.
    pub fn times_s(&self, from: Option<&PortId>, to: &PortId) -> (f64, f64) {
        let Some(from) = from else { return (self.change_s, self.refocus_s) };
        if from == to {
            return (0.0, 0.0);
        }
        let pair = self.pairs.iter().find(|pair| {
            (&pair.ports.0, &pair.ports.1) == (from, to) || (&pair.ports.1, &pair.ports.0) == (from, to)
        });
        pair.map_or((self.change_s, self.refocus_s), |pair| (pair.change_s, pair.refocus_s))
    }
}

/// The short unchanging name of a port in files, such as `wide`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PortId(pub String);

impl fmt::Display for PortId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Where a port sits on the mount, seen along the tube towards the sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Side {
    /// Left Nasmyth side.
    NasmythLeft,
    /// Right Nasmyth side.
    NasmythRight,
    /// Behind the mirror.
    Cassegrain,
}

/// Whether a sensor sees colour by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Colour {
    /// One-shot colour.
    OneShotColour,
    /// Mono.
    Mono,
}

/// What a camera is used for at this port.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum CameraUse {
    /// Faint and wide: exposures of seconds, added up.
    DeepSky,
    /// Small and bright: many short frames.
    Planetary,
}

/// A camera.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// What it is used for.
    pub purpose: CameraUse,
    /// Sensor width and height, in millimetres.
    pub sensor_mm: (f64, f64),
    /// Pixel pitch, in micrometres.
    pub pixel_um: f64,
    /// Barlow or reducer: factor on the focal length, 1 for none.
    pub focal_factor: f64,
    /// One-shot colour or mono.
    pub colour: Colour,
    /// Quantum efficiency.
    pub quantum_efficiency: Fraction,
    /// Read noise, in electrons.
    pub read_noise_e: f64,
    /// Full well, in electrons.
    pub full_well_e: f64,
}

/// One eyepiece.
#[derive(Clone, Debug, PartialEq)]
pub struct Eyepiece {
    /// Its name, such as `35 mm`.
    pub name: String,
    /// Focal length, in millimetres.
    pub focal_length_mm: f64,
    /// Apparent field.
    pub apparent_field: Angle,
    /// Diameter of the field stop, in millimetres, where known.
    pub field_stop_mm: Option<f64>,
}

/// A spectrograph.
#[derive(Clone, Debug, PartialEq)]
pub struct Spectrograph {
    /// Slit width, in micrometres.
    pub slit_um: f64,
    /// Slit length, in micrometres.
    pub slit_length_um: f64,
    /// Resolving power at 550 nm.
    pub resolving_power: f64,
    /// Faintest star that shows a spectrum within a stop.
    pub limiting_magnitude: Magnitude,
}

/// What hangs on a port.
#[derive(Clone, Debug, PartialEq)]
pub enum Instrument {
    /// A camera with a screen for visitors.
    Camera(Camera),
    /// Eyepieces, the longest focal length first.
    Eyepieces(Vec<Eyepiece>),
    /// A spectrograph with a screen for visitors.
    Spectrograph(Spectrograph),
}

/// One exit of the selector.
#[derive(Clone, Debug, PartialEq)]
pub struct Port {
    /// Its name in files.
    pub id: PortId,
    /// Its name for people, such as `Eyepiece`.
    pub name: String,
    /// Where it sits.
    pub side: Side,
    /// Whether a rotator keeps the field from turning.
    pub derotator: bool,
    /// What hangs on it.
    pub instrument: Instrument,
}

/// A telescope with everything on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    /// Its name for people.
    pub name: String,
    /// Optics.
    pub telescope: Telescope,
    /// Mount.
    pub mount: Mount,
    /// Dome; `None` under a roof that rolls away.
    pub dome: Option<Dome>,
    /// Selector.
    pub selector: Selector,
    /// Ports, identifiers distinct.
    pub ports: Vec<Port>,
}

impl Rig {
    /// The port of an identifier.
    pub fn port(&self, id: &PortId) -> Option<&Port> {
        self.ports.iter().find(|port| &port.id == id)
    }
}

impl Port {
    /// Whether visitors look one by one (an eyepiece) rather than together at a screen.
    pub const fn is_eyepiece(&self) -> bool {
        matches!(self.instrument, Instrument::Eyepieces(_))
    }
}
