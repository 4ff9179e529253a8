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

    /// The length of one frame on a camera, in seconds; `None` for other ports and where sky or air are not known.
    pub fn frame_s(&self, air: &AirAndSky) -> Option<f64> {
        match &self.through {
            Through::Screen(screen) if air.sound => Some(screen.frame_s(&self.subject, air)),
            Through::Screen(_) | Through::Eyes(_) | Through::Slit(_) => None,
        }
    }

    /// How the target sits in the field, through the eyepiece of that index where there are several; `None` for an eyepiece that
    /// the port does not have.
    pub fn fit(&self, eyepiece: usize) -> Option<Fit> {
        match &self.through {
            Through::Eyes(eyes) => eyes.iter().find(|eye| eye.index == eyepiece).map(|eye| eye.fit),
            Through::Screen(Screen { fit, .. }) | Through::Slit(Slit { fit, .. }) => Some(*fit),
        }
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

#[cfg(test)]
mod tests {
    use super::TargetOnPort;
    use crate::assign::sample::{
        arcmin, bare, body, deep_sky, double, face, place_on_the_moon, saturn, star, under,
    };
    use crate::assign::{AirAndSky, Bearing, Reason, Showing, rank_ports};
    use crate::catalogue::{Core, Kind, Target};
    use crate::ephemeris::Appearance;
    use crate::rig::sample::rig;
    use crate::units::{Angle, Fraction, SurfaceBrightness};

    #[test]
    fn the_quick_view_is_the_number_of_the_reasoned_chain_at_every_minute() {
        let rig = rig();
        let core = Core { size: arcmin(2.0), surface_brightness: SurfaceBrightness(17.5) };
        let targets = [
            (bare(Kind::Moon), Some(-12.0)),
            (bare(Kind::Planet), Some(-2.4)),
            (saturn(), Some(0.5)),
            (Target { feature: Some(place_on_the_moon()), ..bare(Kind::Moon) }, Some(-12.0)),
            (star(2.0), None),
            (double(3.0, 3.0, 6.0), None),
            (deep_sky(Kind::OpenCluster, 6.0, 15.0, 12.0), None),
            (deep_sky(Kind::GlobularCluster, 6.5, 12.0, 12.0), None),
            (deep_sky(Kind::PlanetaryNebula, 9.0, 1.2, 1.0), None),
            (Target { core: Some(core), ..deep_sky(Kind::Galaxy, 8.0, 60.0, 20.0) }, None),
            (deep_sky(Kind::Nebula, 8.0, 20.0, 10.0), None),
            (bare(Kind::SupernovaRemnant), None),
            (deep_sky(Kind::DarkNebula, 20.0, 20.0, 10.0), None),
        ];
        let mut shown = 0;
        for (target, magnitude) in targets {
            let first = magnitude.map_or(under(20.0), |magnitude| body(20.0, 44.0, magnitude, 0.6));
            let on_ports = rig
                .ports
                .iter()
                .map(|port| (port, TargetOnPort::new(&target, first.appearance, &rig.telescope, port)));
            for (port, on_port) in on_ports {
                for minute in 0..240 {
                    let run = f64::from(minute) / 240.0;
                    let bearing = Bearing {
                        azimuth: Angle::from_degrees(90.0 + 180.0 * run),
                        altitude: Angle::from_degrees(15.0 + 60.0 * run),
                        ..first.bearing
                    };
                    let airmass = 1.0 / bearing.altitude.sin();
                    let sky = SurfaceBrightness(12.0 + 9.8 * (run * 7.0).fract());
                    let showing = Showing { sky, airmass, bearing, moon_face: Some(face()), ..first };
                    let choices = rank_ports(&target, &rig, &showing, &[]);
                    let reasoned = choices
                        .iter()
                        .find(|choice| choice.port == port.id)
                        .map_or(0.0, |choice| choice.view.value());
                    let quick = on_port.view(&AirAndSky::new(&showing)).value();
                    assert!(
                        (quick - reasoned).abs() < 1e-9,
                        "{}, {}: {quick}, {reasoned}",
                        target.kind as u8,
                        port.id
                    );
                    shown += i32::from(quick > 0.0);
                }
            }
        }
        assert!(shown > 3000, "only {shown} views of 12480 show anything");
    }

    #[test]
    fn a_full_moon_dazzles_by_eye_and_burns_out_on_a_slow_camera() {
        // No magnitude given: 3.4 a square arcsecond by Krisciunas & Schaefer 1991, eq. 9. What dazzles and what burns out is
        // common practice, no source.
        let full = body(18.0, 1865.0, 0.0, 1.0);
        let appearance = full.appearance.map(|moon| Appearance { magnitude: None, ..moon });
        let choices = rank_ports(&bare(Kind::Moon), &rig(), &Showing { appearance, ..full }, &[]);
        let chain = |port: &str| &choices.iter().find(|choice| choice.port.0 == port).expect("a port").chain;
        let dazzles = chain("eyepiece").iter().find_map(|(reason, factor)| match reason {
            Reason::Dazzles { brightness } => Some((brightness.0, *factor)),
            _ => None,
        });
        // 3.36, 0.3 lost in the air and 1.2 by a 5 mm exit pupil and the optics.
        let (brightness, factor) = dazzles.expect("it dazzles");
        assert!((4.5..5.2).contains(&brightness) && factor == Fraction::ONE, "{brightness}");
        assert!(chain("wide").iter().any(|(reason, _)| matches!(reason, Reason::Saturates { .. })));
        assert!(chain("planetary").iter().all(|(reason, _)| !matches!(reason, Reason::Saturates { .. })));
    }

    #[test]
    fn a_frame_is_as_long_as_light_and_camera_allow() {
        // Worked by hand: a star of V = 0 gives 995 x 880 x pi/4 60^2 x 0.659 x 0.8 x 0.5 = 6.53e8 electrons a second. The
        // brightest parts of the full Moon, 3.36 - 1 mag a square arcsecond and 0.3 lost in the air, give 7.82e5 a second to a
        // pixel of 0.0139 square arcseconds: half of its 50 000 are full after 0.0320 s. A faint galaxy gets the usual 10 s.
        let (rig, full) = (rig(), body(18.0, 1865.0, 0.0, 1.0));
        let appearance = full.appearance.map(|moon| Appearance { magnitude: None, ..moon });
        let frame = |target: &Target, showing: &Showing, port: &str| {
            let port = rig.ports.iter().find(|own| own.id.0 == port).expect("a port");
            let on_port = TargetOnPort::new(target, showing.appearance, &rig.telescope, port);
            on_port.frame_s(&AirAndSky::new(showing))
        };
        let moon = frame(&bare(Kind::Moon), &Showing { appearance, ..full }, "planetary").expect("a camera");
        assert!((moon - 0.0320).abs() < 0.0002, "{moon}");
        let galaxy = deep_sky(Kind::Galaxy, 9.0, 10.0, 8.0);
        assert_eq!(frame(&galaxy, &under(21.0), "wide"), Some(10.0));
        assert_eq!(frame(&galaxy, &under(21.0), "eyepiece"), None);
    }

    #[test]
    fn pixels_finer_than_the_seeing_ask_for_binning_and_coarse_ones_are_told() {
        // 2 arcseconds times 1.2^0.6 over 0.2947 are 7.6 pixels: binned 2 by 2 they sample it well.
        let galaxy = deep_sky(Kind::Galaxy, 8.6, 10.0, 8.0);
        let sampled = |seeing_arcsec: f64| {
            let showing = Showing { seeing: Angle::from_arcseconds(seeing_arcsec), ..under(20.8) };
            let choices = rank_ports(&galaxy, &rig(), &showing, &[]);
            let wide = choices.into_iter().find(|choice| choice.port.0 == "wide").expect("a port");
            wide.chain.into_iter().find_map(|(reason, factor)| match reason {
                Reason::OverSampled { bin, .. } => Some((bin, factor)),
                Reason::UnderSampled { .. } => Some((0, factor)),
                _ => None,
            })
        };
        assert_eq!(sampled(2.0), Some((2, Fraction::ONE)));
        assert_eq!(sampled(0.9), None);
        assert_eq!(sampled(0.4), Some((0, Fraction::ONE)));
    }
}
