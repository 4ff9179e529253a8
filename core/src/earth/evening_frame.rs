//! The Earth's attitude through one evening, reduced once in extended precision.

use std::f64::consts::TAU;

use sofars::pnp::{pom00, sp00};

use super::precession_nutation::{Attitude, origin_locator};
use super::rotation_angle::{TURNS_PER_DAY, earth_rotation_turns};
use crate::maths::{Mat3, lagrange_weights};
use crate::time::{Instant, Interval};
use crate::units::Angle;

/// What can only be measured about the Earth's turning; published by the IERS (Bulletin A) for some months
/// ahead.
///
/// Zero by default. What that costs: UT1 - UTC is kept within 0.9 s, so that hour angles are up to 13.5
/// arcseconds off and risings and transits up to 0.9 s (since 2020 it has stayed within 0.3 s); the pole is
/// within 0.6 arcseconds, and so are altitudes and azimuths (times the tangent of the altitude).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EarthOrientation {
    /// UT1 - UTC, in seconds, at the start of the span.
    pub ut1_minus_utc_s: f64,
    /// Pole coordinate x.
    pub pole_x: Angle,
    /// Pole coordinate y.
    pub pole_y: Angle,
}

/// Earth rotation and precession-nutation for any instant of one span, cheap after a single preparation.
///
/// * **Earth rotation angle**: evaluated once, at the start of the span, with 192 bits (astro-float) and
///   reduced to one turn there; from then on an `f64` offset of exact nanoseconds times the rate. What is left
///   is the rounding of two `f64` of the size of a turn: below 1e-9 arcsecond in a night, where plain `f64`
///   days since J2000.0 would cost some 1e-6. Proved by `rotation_matches_exact_evaluation` in this file. A
///   leap second inside the span does not show: UT1 runs through it.
/// * **Precession-nutation**: IAU 2006/2000A, at nodes at most 8 hours apart (four at least), its nutation from
///   the embedded pack; the matrix and the equation of the origins are carried between by cubic interpolation.
///   Error below 1e-5 arcsecond, proved by `interpolation_matches_direct_evaluation` in this file.
///
/// Uses the crate `sofars`, whose routines are derived from software provided by the International
/// Astronomical Union's SOFA Board; Evenfall is not itself provided or endorsed by SOFA.
#[derive(Clone, Debug)]
pub struct EveningFrame {
    span: Interval,
    orientation: EarthOrientation,
    /// Earth rotation angle at the start of the span, in turns from 0 to 1.
    anchor_turns: f64,
    nodes: Vec<Attitude>,
    node_step_s: f64,
    polar_motion: Mat3,
}

/// Longest distance of two nodes, in seconds.
const NODE_STEP_S: f64 = 8.0 * 3600.0;

impl EveningFrame {
    /// Prepares the span (a night; at most a few days): some 4 microseconds.
    pub fn new(span: Interval, orientation: EarthOrientation) -> Self {
        let [at_start, at_end] = [span.start(), span.end()].map(origin_locator);
        let intervals = (span.seconds() / NODE_STEP_S).ceil().max(3.0);
        let node_step_s = (span.seconds() / intervals).max(1.0);
        let nodes = (0..=intervals as u32)
            .map(|index| {
                let share = f64::from(index) / intervals;
                let locator = at_start + share * (at_end - at_start);
                Attitude::at(span.start().plus_seconds(f64::from(index) * node_step_s), locator)
            })
            .collect();
        let (day, part) = span.start().julian_date_tt();
        let polar_motion = if orientation.pole_x == Angle::ZERO && orientation.pole_y == Angle::ZERO {
            Mat3::IDENTITY
        } else {
            Mat3(pom00(orientation.pole_x.radians(), orientation.pole_y.radians(), sp00(day, part)))
        };
        Self {
            span,
            orientation,
            anchor_turns: earth_rotation_turns(span.start(), orientation.ut1_minus_utc_s),
            nodes,
            node_step_s,
            polar_motion,
        }
    }

    /// The span it was prepared for.
    pub fn span(&self) -> Interval {
        self.span
    }

    /// What it was told about the Earth's turning.
    pub fn orientation(&self) -> EarthOrientation {
        self.orientation
    }

    /// The Earth rotation angle at an instant of the span, from 0 to a full turn.
    pub fn earth_rotation_angle(&self, instant: Instant) -> Angle {
        let turns = self.anchor_turns + TURNS_PER_DAY * instant.seconds_since(self.span.start()) / 86_400.0;
        Angle::from_radians((turns - turns.floor()) * TAU)
    }

    /// From ICRS (GCRS) axes to the true equator and equinox of date.
    pub fn icrs_to_true_of_date(&self, instant: Instant) -> Mat3 {
        self.precession_nutation(instant).matrix
    }

    /// Greenwich apparent sidereal time, from 0 to a full turn.
    pub fn greenwich_apparent_sidereal_time(&self, instant: Instant) -> Angle {
        let origins = Angle::from_radians(self.precession_nutation(instant).origins);
        (self.earth_rotation_angle(instant) - origins).wrapped()
    }

    /// From ICRS axes to the true equator and equinox of date, and from those to Earth-fixed axes.
    pub(crate) fn rotations(&self, instant: Instant) -> (Mat3, Mat3) {
        let Attitude { matrix, origins } = self.precession_nutation(instant);
        let sidereal_time = self.earth_rotation_angle(instant) - Angle::from_radians(origins);
        (matrix, self.polar_motion * Mat3::rotation_z(sidereal_time))
    }

    /// From the axes of SGP4 (TEME: true equator, mean equinox of date) to Earth-fixed axes.
    ///
    /// TEME's x axis lies the equation of the equinoxes, up to 17 arcseconds, beside that of the true equinox: turned by
    /// the mean sidereal time of 1982 it is Earth-fixed as by this frame, whose theories of 2000 and 2006 differ by some
    /// hundredths of an arcsecond, which is nothing beside the kilometre of SGP4 itself.
    ///
    /// Source: Vallado, Crawford, Hujsak & Kelso 2006, AIAA 2006-6753, appendix C; the sidereal time: Aoki et al. 1982,
    /// A&A 105, 359.
    pub fn teme_to_earth_fixed(&self, instant: Instant) -> Mat3 {
        let (day, part) = instant.julian_date_ut1(self.orientation.ut1_minus_utc_s);
        let days = (day - 2_451_545.0) + part;
        let t = days / 36_525.0;
        // GMST = 67310.54841 s + (876600 h + 8640184.812866 s) T + 0.093104 s T^2 - 6.2e-6 s T^3, T in UT1
        // 876600 h T are whole turns and 86400 s times the part of a day.
        let turning_s = 86_400.0 * (days - days.floor());
        let seconds =
            67_310.548_41 + turning_s + 8_640_184.812_866 * t + 0.093_104 * t * t - 6.2e-6 * t * t * t;
        self.polar_motion * Mat3::rotation_z(Angle::from_radians(seconds / 86_400.0 * TAU))
    }

    fn precession_nutation(&self, instant: Instant) -> Attitude {
        let x = instant.seconds_since(self.span.start()) / self.node_step_s;
        let last_first = self.nodes.len() - 4;
        // The four nodes around the instant: one step of them before it, one behind the next.
        let first = ((x.floor() - 1.0).max(0.0) as usize).min(last_first);
        Attitude::weighted(&self.nodes[first..], &lagrange_weights::<4>(x - first as f64))
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use sofars::pnp::{bpn2xy, eors, pnm06a, s06};

    use super::{EarthOrientation, EveningFrame, TURNS_PER_DAY, earth_rotation_turns};
    use crate::maths::Mat3;
    use crate::time::{Instant, Interval};
    use crate::units::Angle;

    fn night_from(start: Instant, hours: f64) -> EveningFrame {
        let span = Interval::new(start, start.plus_minutes(60.0 * hours)).unwrap();
        EveningFrame::new(span, EarthOrientation::default())
    }

    fn utc(text: &str) -> Instant {
        Instant::from_utc(text.parse().unwrap())
    }

    fn arcseconds(difference: Angle) -> f64 {
        difference.wrapped_signed().arcseconds().abs()
    }

    #[test]
    fn rotation_matches_exact_evaluation() {
        let mut worst_plain: f64 = 0.0;
        for start in
            ["1950-06-01T12:00:00Z", "2016-12-31T12:00:00Z", "2027-03-13T12:00:00Z", "2099-12-01T12:00:00Z"]
        {
            let frame = night_from(utc(start), 25.0);
            for step in 0..=1000 {
                let instant = frame.span().start().plus_seconds(f64::from(step) * 89.987_654_321);
                // UT1 runs through the leap second of the second night and the drift of the first.
                let utc_ns = instant.utc_ns() - frame.span().start().utc_ns();
                let skipped_s = instant.seconds_since(frame.span().start()) - utc_ns as f64 / 1e9;
                let exact = Angle::from_radians(earth_rotation_turns(instant, skipped_s) * TAU);
                let error = arcseconds(frame.earth_rotation_angle(instant) - exact);
                assert!(error < 1e-9, "{start} {step}: {error} arcsec");
                let tu = instant.utc_ns() as f64 / 86.4e12 + skipped_s / 86_400.0;
                let plain = Angle::from_radians((0.779_057_273_264 + TURNS_PER_DAY * tu) * TAU);
                worst_plain = worst_plain.max(arcseconds(plain - exact));
            }
        }
        assert!((1e-7..2e-5).contains(&worst_plain), "plain f64 is off by {worst_plain} arcsec");
    }

    #[test]
    fn interpolation_matches_direct_evaluation() {
        let mut worst: f64 = 0.0;
        for night in 0..40 {
            let frame = night_from(Instant::J2000.plus_seconds(f64::from(night) * 75e6 - 1.5e9), 25.0);
            for step in [0.0, 0.05, 0.17, 0.31, 0.5, 0.62, 0.84, 0.97, 1.0] {
                let instant = frame.span().start().plus_seconds(frame.span().seconds() * step);
                let (day, part) = instant.julian_date_tt();
                let direct = pnm06a(day, part);
                let (x, y) = bpn2xy(&direct);
                let error = frame.icrs_to_true_of_date(instant) * Mat3(direct).transposed();
                let sidereal = frame.earth_rotation_angle(instant)
                    - Angle::from_radians(eors(&direct, s06(day, part, x, y)))
                    - frame.greenwich_apparent_sidereal_time(instant);
                for off_diagonal in [error.0[0][1], error.0[0][2], error.0[1][2]] {
                    worst = worst.max(Angle::from_radians(off_diagonal).arcseconds().abs());
                }
                worst = worst.max(arcseconds(sidereal));
            }
        }
        assert!(worst < 1e-5, "worst {worst} arcsec");
    }

    #[test]
    fn matrix_as_published() {
        // ERFA test values of eraPnm06a, t_erfa_c: JD 2400000.5 + 50123.9999 in TT.
        let want = [
            [0.999_999_583_279_420_5, 0.837_238_277_263_096_2e-3, 0.363_968_477_114_062_3e-3],
            [-0.837_253_374_474_368_4e-3, 0.999_999_648_649_286_2, 0.413_290_594_461_101_9e-4],
            [-0.363_933_746_962_946_5e-3, -0.416_337_760_591_066_4e-4, 0.999_999_932_909_426],
        ];
        let at = Instant::J2000.plus_seconds((50_123.999_9 - 51_544.5) * 86_400.0);
        let got = night_from(at.plus_minutes(-500.0), 24.0).icrs_to_true_of_date(at);
        for (got, want) in got.0.as_flattened().iter().zip(want.as_flattened()) {
            assert!((got - want).abs() < 5e-11, "got {got}, want {want}");
        }
    }

    #[test]
    fn sidereal_time_as_published() {
        // ERFA test value of eraGst06a, t_erfa_c: UT1 and TT both JD 2400000.5 + 53736.0.
        let at = Instant::J2000.plus_seconds((53_736.0 - 51_544.5) * 86_400.0);
        let span = Interval::new(at, at.plus_minutes(1440.0)).unwrap();
        let orientation = EarthOrientation { ut1_minus_utc_s: 64.184, ..EarthOrientation::default() };
        let got = EveningFrame::new(span, orientation).greenwich_apparent_sidereal_time(at).radians();
        assert!((got - 1.754_166_137_675_019_2).abs() < 1e-12, "got {got}");
        // Meeus, Astronomical Algorithms, 2nd ed., example 12.a, p. 88: 1987 April 10, 0h UT, apparent
        // 13h 10m 46.1351s, by the nutation of 1980 and the precession of 1976: 0.005 s from today's.
        let at = utc("1987-04-10T00:00:00Z");
        let got = night_from(at, 24.0).greenwich_apparent_sidereal_time(at).hours() * 3600.0;
        assert!((got - 47_446.135_1).abs() < 0.01, "got {got}");
    }
}
