//! What the telescope can do: optics, mount, dome, selector, ports; fields and moves.
//!
//! [`Rig`] holds what a rig file says. `mount` and `dome` are what carries the telescope and covers it; `moves` turns two
//! pointings into seconds, `sweep` into the way between them. `field` turns a port into a field of view, `resolution`
//! tells what it separates, `rotation` how fast it turns and `framing` what of a target it holds meanwhile. `access` says
//! where people stand at an eyepiece, `guider` whether a guider finds a star.

mod access;
mod dome;
mod field;
mod framing;
mod guider;
mod mount;
mod moves;
mod polygon;
mod read;
mod resolution;
mod rotation;
#[cfg(test)]
pub(crate) mod sample;
mod sweep;

use std::fmt;

use serde::Deserialize;

pub use access::{
    ADULT_EYE_MM, Access, CHILD_EYE_MM, EyeHeight, Line, Reach, SEATED_EYE_MM, eyepiece_azimuth,
    line_through, who_reaches,
};
pub use dome::{Dome, dome_azimuth};
pub use field::{EyepieceView, Field, FieldShape, eyepiece_view, fields_of_port, widest_field_stop_mm};
pub use framing::{
    FieldHold, Framed, LongestFrames, Outline, best_field_angle, framed_at_any_angle, framed_through,
    longest_frames, share_inside, stack_coverage, turn_through,
};
pub use guider::{
    GuideStars, Guider, GuiderAdvice, galactic_latitude, guider_advice, stars_per_square_degree,
};
pub use mount::{
    AltAzimuth, Axis, Drive, Equatorial, MeridianFlip, Mount, PierSide, hour_angle_and_declination,
};
pub use moves::{Aim, Move, MoveParts, Pointing, axis_seconds, move_between};
pub use read::{RIG_FORMAT, read_rig};
pub use rotation::{field_rotation_arcsec_per_s, longest_frame_s, rotator_keyhole};

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
    /// Pitch of a pixel as it is read out, binned, in micrometres.
    pub pixel_um: f64,
    /// How many pixels of the sensor, a side, are read out as one: in what is said of a pixel here it is counted in.
    pub binning: u32,
    /// Barlow or reducer: factor on the focal length, 1 for none.
    pub focal_factor: f64,
    /// One-shot colour or mono.
    pub colour: Colour,
    /// Quantum efficiency.
    pub quantum_efficiency: Fraction,
    /// Read noise of a pixel as it is read out, in electrons.
    pub read_noise_e: f64,
    /// Full well of a pixel as it is read out, in electrons.
    pub full_well_e: f64,
    /// How far the camera is turned from upright in its port, from north through east; see [`FieldHold::angle`].
    pub turned: Angle,
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
    /// Outer diameter of the barrel, in millimetres.
    pub barrel_mm: f64,
    /// How far behind the lens the eye is held, in millimetres, where known.
    pub eye_relief_mm: Option<f64>,
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
    /// The pace of its rotator, where known: without it the rotator costs no time.
    pub rotator: Option<Axis>,
    /// Whether the mount is equatorial, so that the field stands still without a rotator.
    pub on_equatorial: bool,
    /// How its eyepiece is reached, where known.
    pub access: Option<Access>,
    /// Where the focuser stands for it, counted in its steps from the first port, outwards positive; where known.
    pub focus_offset_steps: Option<i32>,
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
    /// Guider, where there is one.
    pub guider: Option<Guider>,
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
