//! A target on a port: what depends on the two alone, worked out once, then cheap for any number of minutes.

use super::air::AirAndSky;
use super::eye::Eye;
use super::screen::Screen;
use super::slit::Slit;
use super::subject::Subject;
use super::verdict::{Chain, LEAST_VIEW, Product, Verdict};
use super::{Fit, Reason};
use crate::catalogue::Target;
use crate::ephemeris::Appearance;
use crate::rig::{Instrument, Port, Telescope};
use crate::units::Fraction;

/// A target on a port, prepared: fit, field, magnification, light and limits.
///
/// [`TargetOnPort::view`] is the number that [`super::rank_ports`] gives with its reasons: both are the same chain, taken
/// in as a product or as a list.
#[derive(Clone, Debug)]
pub struct TargetOnPort {
    subject: Subject,
    through: Through,
}

/// What hangs on the port, with the target in front.
#[derive(Clone, Debug)]
enum Through {
    /// Eyepieces, the one with the best framing first.
    Eyes(Vec<Eye>),
    Screen(Screen),
    Slit(Slit),
}

impl TargetOnPort {
    /// A target on a port; `appearance` for the Moon and planets, as in [`super::Showing`].
    pub fn new(target: &Target, appearance: Option<Appearance>, telescope: &Telescope, port: &Port) -> Self {
        let subject = Subject::new(target, appearance);
        let through = match &port.instrument {
            Instrument::Camera(camera) => Through::Screen(Screen::new(&subject, telescope, port, camera)),
            Instrument::Eyepieces(eyepieces) => {
                let eyes = eyepieces.iter().enumerate();
                let mut eyes: Vec<Eye> =
                    eyes.map(|(index, eyepiece)| Eye::new(&subject, telescope, index, eyepiece)).collect();
                eyes.sort_by(|one, other| other.at_best().total_cmp(&one.at_best()));
                Through::Eyes(eyes)
            }
            Instrument::Spectrograph(spectrograph) => {
                Through::Slit(Slit::new(&subject, telescope, spectrograph))
            }
        };
        Self { subject, through }
    }

    /// The view, from 0 to 1: 0 where nothing is seen, and for an eyepiece port without eyepieces.
    pub fn view(&self, air: &AirAndSky) -> Fraction {
        if !air.sound {
            return Fraction::ZERO;
        }
        let subject = &self.subject;
        Fraction::clamped(match &self.through {
            Through::Eyes(eyes) => {
                let mut best = 0.0;
                for eye in eyes {
                    // No factor is above 1, so that the framing alone is the most a view can be.
                    if eye.at_best() <= best || eye.at_best() < LEAST_VIEW {
                        break;
                    }
                    best = f64::max(best, eye.tell(Product::against(best), subject, air).view());
                }
                best
            }
            Through::Screen(screen) if screen.at_best() < LEAST_VIEW => 0.0,
            Through::Screen(screen) => screen.tell(Product::against(0.0), subject, air).view(),
            Through::Slit(slit) if slit.at_best < LEAST_VIEW => 0.0,
            Through::Slit(slit) => slit.tell(Product::against(0.0), subject, air).view(),
        })
    }

    /// The verdict with its reasons, and which of the port's fields it is for: of equal ones the first. `None` for an
    /// eyepiece port without eyepieces.
    pub(super) fn verdict(&self, air: &AirAndSky) -> Option<(usize, Verdict)> {
        let begin = |fit: Fit| {
            let verdict = Verdict::new(fit);
            let usual_seeing = (!air.seeing_known).then_some((Reason::SeeingUnknown, 1.0));
            let missing = (!air.sound).then_some((Reason::NumbersMissing, 0.0));
            verdict.with_any(usual_seeing).with_any(missing)
        };
        let subject = &self.subject;
        match &self.through {
            Through::Eyes(eyes) => {
                let mut best: Option<(usize, Verdict)> = None;
                for eye in eyes {
                    let verdict =
                        if air.sound { eye.tell(begin(eye.fit), subject, air) } else { begin(eye.fit) };
                    let better = best.as_ref().is_none_or(|(index, best)| {
                        verdict.view() > best.view() || (verdict.view() == best.view() && eye.index < *index)
                    });
                    if better {
                        best = Some((eye.index, verdict));
                    }
                }
                best
            }
            Through::Screen(screen) if air.sound => Some((0, screen.tell(begin(screen.fit), subject, air))),
            Through::Slit(slit) if air.sound => Some((0, slit.tell(begin(slit.fit), subject, air))),
            Through::Screen(Screen { fit, .. }) | Through::Slit(Slit { fit, .. }) => Some((0, begin(*fit))),
        }
    }
}
