//! Ports ranked for one target, ties settled by rule.

use super::verdict::{Chain, Verdict};
use super::{AirAndSky, Fit, Reason, TargetOnPort};
use crate::catalogue::Target;
use crate::ephemeris::{Appearance, MoonFace};
use crate::rig::{Field, Port, PortId, Rig, Telescope, fields_of_port};
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
    /// Pressure of the air, in hectopascals.
    pub pressure_hpa: f64,
    /// Where it stands.
    pub bearing: Bearing,
    /// How the body looks, for Moon and planets.
    pub appearance: Option<Appearance>,
    /// What the Moon turns to us and what the Sun lights of it, for features of the Moon.
    pub moon_face: Option<MoonFace>,
}

/// A direction seen from a latitude: what makes the field turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    /// Geodetic latitude of the site.
    pub latitude: Angle,
    /// Azimuth, from north through east.
    pub azimuth: Angle,
    /// Altitude.
    pub altitude: Angle,
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
    /// What a visitor would get, from nothing to the best there is: the product of `chain`, 0 where that is below
    /// 0.05.
    pub view: Fraction,
    /// The factors of the view with their reasons, the weakest first.
    pub chain: Vec<(Reason, Fraction)>,
}

impl PortChoice {
    /// Why, the weightiest first.
    pub fn reasons(&self) -> impl Iterator<Item = &Reason> {
        self.chain.iter().map(|(reason, _)| reason)
    }
}

/// All ports of the rig, best first. A view of 0 means: can't be shown there, for the first reason. Ties go to the
/// order of the rig file. A port without an eyepiece to its name is left out.
pub fn rank_ports(
    target: &Target,
    rig: &Rig,
    showing: &Showing,
    out_of_service: &[PortId],
) -> Vec<PortChoice> {
    let air = AirAndSky::new(showing);
    let choice = |port: &Port| {
        let (index, verdict) =
            TargetOnPort::new(target, showing.appearance, &rig.telescope, port).verdict(&air)?;
        let verdict = if out_of_service.contains(&port.id) {
            Verdict::new(verdict.fit).because(Reason::OutOfService, 0.0)
        } else {
            verdict
        };
        Some(PortChoice {
            port: port.id.clone(),
            field: fields_of_port(&rig.telescope, port).swap_remove(index),
            fit: verdict.fit,
            view: verdict.view(),
            chain: verdict.chain(),
        })
    };
    let mut choices: Vec<PortChoice> = rig.ports.iter().filter_map(choice).collect();
    choices.sort_by(|one, other| other.view.value().total_cmp(&one.view.value()));
    choices
}

/// The view on one port, as [`rank_ports`] gives it, without the reasons. Does not know which ports are out of service.
/// For many minutes keep a [`TargetOnPort`].
pub fn view_on_port(target: &Target, telescope: &Telescope, port: &Port, showing: &Showing) -> Fraction {
    TargetOnPort::new(target, showing.appearance, telescope, port).view(&AirAndSky::new(showing))
}

#[cfg(test)]
mod tests;
