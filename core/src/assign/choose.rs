//! Ports ranked for one target, ties settled by rule.

use super::{Fit, Reason};
use crate::catalogue::Target;
use crate::ephemeris::Appearance;
use crate::rig::{Field, PortId, Rig};
use crate::units::{Angle, Fraction, SurfaceBrightness};

/// The circumstances under which a target would be shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Showing {
    /// Background sky there.
    pub sky: SurfaceBrightness,
    /// Airmass there.
    pub airmass: f64,
    /// Extinction for one airmass, in magnitudes.
    pub extinction_mag: f64,
    /// Usual seeing at the zenith.
    pub seeing: Angle,
    /// How the body looks, for Moon and planets.
    pub appearance: Option<Appearance>,
}

/// One port for one target.
#[derive(Clone, Debug, PartialEq)]
pub struct PortChoice {
    /// The port.
    pub port: PortId,
    /// The field chosen on it (which eyepiece, for an eyepiece port).
    pub field: Field,
    /// How the size sits in the field.
    pub fit: Fit,
    /// What a visitor would get, from nothing to the best there is: the product of the parts behind `reasons`.
    pub view: Fraction,
    /// Why, the weightiest first.
    pub reasons: Vec<Reason>,
}

/// All ports of the rig, best first. A view of 0 means: can't be shown there, for the first reason. Ties go to the
/// order of the rig file.
pub fn rank_ports(
    target: &Target,
    rig: &Rig,
    showing: &Showing,
    out_of_service: &[PortId],
) -> Vec<PortChoice> {
    todo!()
}
