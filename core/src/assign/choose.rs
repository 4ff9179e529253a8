//! Ports ranked for one target, ties settled by rule.

use super::eye::best_eyepiece;
use super::screen::on_screen;
use super::slit::on_slit;
use super::subject::Subject;
use super::verdict::Verdict;
use super::{Fit, Reason};
use crate::catalogue::Target;
use crate::ephemeris::Appearance;
use crate::rig::{
    Field, Instrument, Port, PortId, Rig, Telescope, field_rotation_arcsec_per_s, fields_of_port,
};
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
    let subject = Subject::new(target, showing);
    let choice = |port: &Port| {
        let (index, verdict) = judge(&subject, &rig.telescope, port)?;
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

/// The view on one port, as [`rank_ports`] gives it, without the reasons: cheap enough for every target, port and
/// minute of an evening. Does not know which ports are out of service.
pub fn view_on_port(target: &Target, telescope: &Telescope, port: &Port, showing: &Showing) -> Fraction {
    judge(&Subject::new(target, showing), telescope, port)
        .map_or(Fraction::ZERO, |(_, verdict)| verdict.view())
}

/// The verdict on a port, and which of its fields it is for; `None` for an eyepiece port without eyepieces.
fn judge(subject: &Subject, telescope: &Telescope, port: &Port) -> Option<(usize, Verdict)> {
    match &port.instrument {
        Instrument::Camera(camera) => {
            let turning = port.field_turns().then(|| {
                let Bearing { latitude, azimuth, altitude } = subject.bearing;
                field_rotation_arcsec_per_s(port.side, latitude, azimuth, altitude)
            });
            Some((0, on_screen(subject, telescope, camera, turning)))
        }
        Instrument::Eyepieces(eyepieces) => best_eyepiece(subject, telescope, eyepieces),
        Instrument::Spectrograph(spectrograph) => Some((0, on_slit(subject, telescope, spectrograph))),
    }
}

#[cfg(test)]
mod tests;
