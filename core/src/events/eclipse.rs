//! Eclipses of the Moon in a window of any length: when it meets the Earth's shadow, and how deep.

use super::phases::{PrincipalPhase, moon_phases};
use crate::ephemeris::{AU_KM, Ephemeris};
use crate::maths::{bracketed_root, minimum};
use crate::place::{MoonAndSun, OutsideSpan, moon_and_sun_course};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// How large the Earth's shadow is taken, air and all: no rule is exact, and the edge is soft. They differ by
/// 20 to 90 s in the contacts.
///
/// `umbra, penumbra = whole (moon_parallax pi_M + pi_S -+ s_S)` with the parallaxes of Moon and Sun and the
/// Sun's radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShadowRule {
    /// Factor of the whole.
    pub whole: f64,
    /// Factor of the Moon's parallax alone.
    pub moon_parallax: f64,
    /// The Earth's equatorial radius in kilometres, by which the parallaxes are reckoned.
    pub earth_radius_km: f64,
    /// The Sun's radius in kilometres.
    pub sun_radius_km: f64,
    /// The Moon's radius in kilometres.
    pub moon_radius_km: f64,
}

impl ShadowRule {
    /// Danjon's, 1951: the Earth 1 % larger as the Moon sees it, `1 + 1/85 - 1/594`; so the reference canon
    /// of today (Espenak and Meeus 2009, Five Millennium Canon of Lunar Eclipses, NASA/TP-2009-214172). Sun
    /// 959.63 arcseconds at 1 au, Moon 0.2725076 Earth radii.
    pub const DANJON: Self = Self {
        whole: 1.0,
        moon_parallax: 1.01,
        earth_radius_km: EARTH_RADIUS_KM,
        sun_radius_km: AU_KM * Angle::from_arcseconds(959.63).radians(),
        moon_radius_km: 0.272_507_6 * EARTH_RADIUS_KM,
    };

    /// Chauvenet's, 1891: the whole shadow 2 % larger, as in the almanacs. The same sizes of Sun and Moon.
    pub const CHAUVENET: Self = Self { whole: 1.02, moon_parallax: 0.998_340, ..Self::DANJON };

    fn at(&self, MoonAndSun { moon_km, sun_km }: MoonAndSun) -> Shadow {
        let angle = |radius_km: f64, distance_km: f64| Angle::from_radians((radius_km / distance_km).asin());
        let (to_moon_km, to_sun_km) = (moon_km.length(), sun_km.length());
        let parallaxes = angle(self.earth_radius_km, to_moon_km) * self.moon_parallax
            + angle(self.earth_radius_km, to_sun_km);
        let sun_radius = angle(self.sun_radius_km, to_sun_km);
        Shadow {
            distance: moon_km.angle_to(-sun_km),
            umbra: (parallaxes - sun_radius) * self.whole,
            penumbra: (parallaxes + sun_radius) * self.whole,
            moon: angle(self.moon_radius_km, to_moon_km),
        }
    }
}

/// Equatorial, IERS Conventions 2010.
const EARTH_RADIUS_KM: f64 = 6378.1366;

/// The Moon against the shadow at one instant, as angles at the Earth's centre.
#[derive(Clone, Copy, Debug)]
struct Shadow {
    /// From the axis of the shadow to the Moon's centre.
    distance: Angle,
    umbra: Angle,
    penumbra: Angle,
    /// The Moon's radius.
    moon: Angle,
}

impl Shadow {
    /// The part of the Moon's diameter that is inside a circle round the axis: below 0 outside, above 1 well
    /// inside.
    fn magnitude(self, radius: Angle) -> f64 {
        (radius + self.moon - self.distance) / (self.moon * 2.0)
    }
}

/// How deep the Moon goes into the shadow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LunarEclipseKind {
    /// Into the penumbra only: hardly seen.
    Penumbral,
    /// Partly into the umbra.
    Partial,
    /// Wholly into the umbra.
    Total,
}

/// An eclipse of the Moon. Directions are apparent ones from the Earth's centre (light time and aberration in
/// both Moon and Sun), angles are seen from there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LunarEclipse {
    /// How deep.
    pub kind: LunarEclipseKind,
    /// When the Moon's centre is nearest to the axis of the shadow.
    pub greatest: Instant,
    /// The part of the Moon's diameter in the umbra at greatest; below 0 in a penumbral eclipse.
    pub umbral_magnitude: f64,
    /// The same of the penumbra.
    pub penumbral_magnitude: f64,
    /// From the axis to the Moon's centre at greatest.
    pub closest_approach: Angle,
    /// Radius of the umbra at greatest.
    pub umbra_radius: Angle,
    /// Radius of the penumbra at greatest.
    pub penumbra_radius: Angle,
    /// Radius of the Moon at greatest.
    pub moon_radius: Angle,
    /// In the penumbra, P1 to P4.
    pub penumbral: Interval,
    /// In the umbra, U1 to U4.
    pub partial: Option<Interval>,
    /// Wholly in the umbra, U2 to U3.
    pub total: Option<Interval>,
}

/// Greatest eclipse is this near to full Moon: at most 1.6 degrees from the axis times the sine of 5.7
/// degrees, at half a degree an hour, are 20 minutes.
const AROUND_FULL_S: f64 = 3600.0;

/// No contact is this far from greatest: the longest eclipses take 6.4 hours from P1 to P4.
const AROUND_GREATEST_S: f64 = 4.0 * 3600.0;

/// How near to the truth of the formula an instant lies, in seconds.
const TOLERANCE_S: f64 = 0.01;

/// All eclipses of the Moon whose greatest phase is in the window, in order. None is missed: every full Moon
/// is looked at.
///
/// # Errors
/// When part of the window, or of the six hours before and after, is outside the years of the ephemeris.
pub fn lunar_eclipses(
    ephemeris: &Ephemeris,
    window: Interval,
    rule: &ShadowRule,
) -> Result<Vec<LunarEclipse>, OutsideSpan> {
    let widened = |by_s: f64| {
        Interval::new(window.start().plus_seconds(-by_s), window.end().plus_seconds(by_s)).unwrap_or(window)
    };
    let moon_and_sun = moon_and_sun_course(ephemeris, widened(AROUND_FULL_S + AROUND_GREATEST_S))?;
    let shadow = |at: Instant| rule.at(moon_and_sun(at));
    let phases = moon_phases(ephemeris, widened(AROUND_FULL_S))?;
    let fulls = phases.into_iter().filter(|(_, phase)| *phase == PrincipalPhase::Full);
    Ok(fulls
        .filter_map(|(full, _)| eclipse_at(full, &shadow))
        .filter(|eclipse| window.contains(eclipse.greatest))
        .collect())
}

/// The eclipse of a full Moon, if there is one.
fn eclipse_at(full: Instant, shadow: &impl Fn(Instant) -> Shadow) -> Option<LunarEclipse> {
    let distance = |at_s: f64| shadow(full.plus_seconds(at_s)).distance.radians();
    let greatest = full.plus_seconds(minimum(distance, -AROUND_FULL_S, AROUND_FULL_S, TOLERANCE_S).at);
    let there = shadow(greatest);
    // Both contacts with a circle round the axis, the Moon outside it (+1) or inside (-1).
    let between = |circle: fn(Shadow) -> Angle, side: f64| {
        let outside = |at_s: f64| {
            let shadow = shadow(greatest.plus_seconds(at_s));
            (shadow.distance - circle(shadow) - shadow.moon * side).radians()
        };
        let first_s = bracketed_root(outside, -AROUND_GREATEST_S, 0.0, TOLERANCE_S)?;
        let last_s = bracketed_root(outside, 0.0, AROUND_GREATEST_S, TOLERANCE_S)?;
        Interval::new(greatest.plus_seconds(first_s), greatest.plus_seconds(last_s))
    };
    let penumbral = between(|shadow| shadow.penumbra, 1.0)?;
    let partial = between(|shadow| shadow.umbra, 1.0);
    let total = between(|shadow| shadow.umbra, -1.0);
    let kind = match (partial, total) {
        (_, Some(_)) => LunarEclipseKind::Total,
        (Some(_), None) => LunarEclipseKind::Partial,
        (None, None) => LunarEclipseKind::Penumbral,
    };
    Some(LunarEclipse {
        kind,
        greatest,
        umbral_magnitude: there.magnitude(there.umbra),
        penumbral_magnitude: there.magnitude(there.penumbra),
        closest_approach: there.distance,
        umbra_radius: there.umbra,
        penumbra_radius: there.penumbra,
        moon_radius: there.moon,
        penumbral,
        partial,
        total,
    })
}
