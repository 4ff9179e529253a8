//! The equinox and epoch of a list's coordinates, and the way from there to ICRS at J2000.0.

use sofars::astro::pmsafe;
use sofars::pnp::pmat06;
use sofars::star::{fk5hz, fk45z, fk425};

use crate::maths::Vec3;
use crate::place::StarPlace;
use crate::units::Angle;

/// Julian date of J2000.0.
const J2000_JD: f64 = 2_451_545.0;
const JULIAN_YEAR_DAYS: f64 = 365.25;
const MAS: f64 = 1000.0;

/// What coordinates refer to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Frame {
    /// ICRS or, within 0.03 arcseconds, FK5 with equinox J2000.0; positions at a Julian epoch.
    Icrs { epoch: f64 },
    /// FK4, mean equator and equinox of B1950.0; positions at a Besselian epoch.
    B1950 { epoch: f64 },
    /// Mean equator and equinox of a Julian year.
    OfDate { year: f64 },
}

impl Frame {
    /// J2000.0, which is taken where nothing is said.
    pub(super) const USUAL: Self = Self::Icrs { epoch: 2000.0 };

    /// The frame that words name, such as `J2000`, `ICRS`, `FK4`, `B1950`, `1950`, `J2016`, `2027.5`. A year of a survey that
    /// gives ICRS places at its own epoch (2015.5 or 2016) is that epoch where proper motions are given.
    pub(super) fn of_words(words: &str, has_motion: bool) -> Option<Self> {
        let words = words.trim().to_lowercase();
        let words = words.trim_start_matches(['(', '[']).trim_end_matches([')', ']']);
        let year = |text: &str| {
            let text = text.trim().trim_start_matches("epoch").trim().trim_start_matches(['j', 'b', '=']);
            let year: f64 = text.trim().replace(',', ".").parse().ok()?;
            (1800.0..=2200.0).contains(&year).then_some(year)
        };
        if let Some(rest) = words.strip_prefix("icrs") {
            let epoch = if rest.trim().is_empty() { 2000.0 } else { year(rest)? };
            return Some(Self::Icrs { epoch });
        }
        match words {
            "fk5" => return Some(Self::USUAL),
            "fk4" => return Some(Self::B1950 { epoch: 1950.0 }),
            _ => {}
        }
        let words = words.trim_start_matches("fk5").trim_start_matches("fk4").trim();
        let found = year(words)?;
        match found {
            2000.0 => (!words.starts_with('b')).then_some(Self::USUAL),
            1950.0 => (!words.starts_with('j')).then_some(Self::B1950 { epoch: 1950.0 }),
            2015.5 | 2016.0 if has_motion => Some(Self::Icrs { epoch: found }),
            // Besselian equinoxes other than 1950 would need Newcomb's precession.
            _ => (!words.starts_with('b') && found >= 1984.0).then_some(Self::OfDate { year: found }),
        }
    }

    /// The same with the epoch of the positions, where it is given beside the equinox.
    pub(super) const fn at_epoch(self, epoch: f64) -> Self {
        match self {
            Self::Icrs { .. } => Self::Icrs { epoch },
            Self::B1950 { .. } => Self::B1950 { epoch },
            of_date @ Self::OfDate { .. } => of_date,
        }
    }

    /// The frame in words.
    pub(super) fn words(self) -> String {
        match self {
            Self::Icrs { epoch: 2000.0 } => "J2000.0 (ICRS)".to_owned(),
            Self::Icrs { epoch } => {
                format!("ICRS at epoch J{epoch:.1}, brought to J2000.0 by the proper motion")
            }
            Self::B1950 { .. } => "B1950.0 (FK4), brought to ICRS".to_owned(),
            Self::OfDate { year } => format!("mean equinox of {year:.1}, brought to ICRS"),
        }
    }

    /// The place on ICRS axes at epoch J2000.0. `None` for a proper motion beyond any star's.
    pub(super) fn to_icrs(self, place: StarPlace) -> Option<StarPlace> {
        match self {
            Self::Icrs { epoch: 2000.0 } => Some(place),
            Self::Icrs { epoch } => moved(place, epoch, 2000.0),
            Self::B1950 { epoch } => from_b1950(place, epoch),
            Self::OfDate { year } => moved(from_mean_place(place, year), year, 2000.0),
        }
    }
}

/// Space motion from one epoch to another, without parallax and radial velocity, which lists seldom have.
///
/// Source: SOFA routine `iauPmsafe`, as carried by the crate `sofars`.
fn moved(place: StarPlace, from: f64, to: f64) -> Option<StarPlace> {
    if !is_moving(place) {
        return Some(place);
    }
    let (ra, dec, pm_ra, pm_dec) = radians(place);
    let days = |year: f64| (year - 2000.0) * JULIAN_YEAR_DAYS;
    let (at, _) = pmsafe(ra, dec, pm_ra, pm_dec, 0.0, 0.0, J2000_JD, days(from), J2000_JD, days(to)).ok()?;
    Some(of_radians(at[0], at[1], at[2], at[3]))
}

/// From FK4 to FK5, and from there to the axes of ICRS (Hipparcos) at J2000.0. Without proper motion the place is one that does
/// not move in the inertial frame, seen at a Besselian epoch.
///
/// Source: SOFA routines `iauFk45z` and `iauFk425` (Aoki et al. 1983, A&A 128, 263; Seidelmann 1992, *Explanatory Supplement to the
/// Astronomical Almanac*, 3.59) and `iauFk5hz` (Mignard & Froeschlé 2000, A&A 354, 732), as carried by the crate `sofars`.
fn from_b1950(place: StarPlace, epoch: f64) -> Option<StarPlace> {
    let (ra, dec, pm_ra, pm_dec) = if is_moving(place) {
        let (ra, dec, pm_ra, pm_dec) = radians(moved(place, epoch, 1950.0)?);
        let (ra, dec, pm_ra, pm_dec, ..) = fk425(ra, dec, pm_ra, pm_dec, 0.0, 0.0);
        (ra, dec, pm_ra, pm_dec)
    } else {
        let (ra, dec) = fk45z(place.right_ascension.radians(), place.declination.radians(), epoch);
        (ra, dec, 0.0, 0.0)
    };
    let (ra, dec) = fk5hz(ra, dec, J2000_JD, 0.0);
    Some(of_radians(ra, dec, pm_ra, pm_dec))
}

fn is_moving(place: StarPlace) -> bool {
    place.pm_ra_cosdec_mas_per_yr != 0.0 || place.pm_dec_mas_per_yr != 0.0
}

/// From the mean equator and equinox of a year, by the precession of IAU 2006 with the frame bias. A mean
/// place of a year has the proper motion up to that year in it. The proper motion itself is not turned: away from the poles, its
/// axes turn by less than a degree over decades.
///
/// Source: SOFA routine `iauPmat06` (Capitaine & Wallace 2006, A&A 450, 855), as carried by the crate `sofars`.
fn from_mean_place(place: StarPlace, year: f64) -> StarPlace {
    let days = (year - 2000.0) * JULIAN_YEAR_DAYS;
    let rows = pmat06(J2000_JD, days).map(Vec3::from_array);
    let of_date = Vec3::from_spherical(place.right_ascension, place.declination);
    let column = |axis: [f64; 3]| {
        let [x, y, z] = axis;
        x * of_date.x + y * of_date.y + z * of_date.z
    };
    // p(ICRS) = transposed matrix times p(of date)
    let [a, b, c] = rows;
    let icrs = Vec3::new(column([a.x, b.x, c.x]), column([a.y, b.y, c.y]), column([a.z, b.z, c.z]));
    let (right_ascension, declination) = icrs.spherical();
    StarPlace { right_ascension: right_ascension.wrapped(), declination, ..place }
}

/// Right ascension, declination and their rates in radians a year, the first rate in the coordinate itself.
fn radians(place: StarPlace) -> (f64, f64, f64, f64) {
    let rate = |mas: f64| Angle::from_arcseconds(mas / MAS).radians();
    // At the pole itself a rate in right ascension means nothing; there it is kept finite.
    let cosine = place.declination.cos().max(1e-9);
    let pm_ra = rate(place.pm_ra_cosdec_mas_per_yr) / cosine;
    (place.right_ascension.radians(), place.declination.radians(), pm_ra, rate(place.pm_dec_mas_per_yr))
}

fn of_radians(ra: f64, dec: f64, pm_ra: f64, pm_dec: f64) -> StarPlace {
    let mas = |rate: f64| Angle::from_radians(rate).arcseconds() * MAS;
    StarPlace {
        right_ascension: Angle::from_radians(ra).wrapped(),
        declination: Angle::from_radians(dec),
        pm_ra_cosdec_mas_per_yr: mas(pm_ra * dec.cos()),
        pm_dec_mas_per_yr: mas(pm_dec),
    }
}

#[cfg(test)]
mod tests {
    use sofars::star::fk45z;

    use super::{Frame, from_b1950, from_mean_place, moved};
    use crate::maths::Vec3;
    use crate::place::StarPlace;
    use crate::units::Angle;

    fn separation_arcsec(one: StarPlace, other: StarPlace) -> f64 {
        let vector = |place: StarPlace| Vec3::from_spherical(place.right_ascension, place.declination);
        vector(one).angle_to(vector(other)).arcseconds()
    }

    fn at(ra: f64, dec: f64) -> StarPlace {
        StarPlace::fixed(Angle::from_radians(ra), Angle::from_radians(dec))
    }

    #[test]
    fn fk4_places_as_the_standard_s_own_test_has_them() {
        // SOFA's validation program t_sofa_c.c, release 2023-10-11, routines iauFk45z and iauFk425, as the tests of the crate
        // sofars carry them; rounded to what an f64 holds. What we make of them is on the axes of Hipparcos, which differ
        // from FK5's by 0.023 arcseconds (Mignard & Froeschlé 2000, A&A 354, 732).
        let (ra, dec) = (0.016_022_849_753_829_61, -0.116_434_792_909_990_6);
        let fk5 = at(0.027_192_959_116_068_623, -0.111_576_600_156_592_7);
        let (got_ra, got_dec) = fk45z(ra, dec, 1_954.677_617_625_256_7);
        assert!(separation_arcsec(at(got_ra, got_dec), fk5) < 1e-8);
        let difference = separation_arcsec(from_b1950(at(ra, dec), 1_954.677_617_625_256_7).unwrap(), fk5);
        assert!((0.005..0.03).contains(&difference), "{difference}");
        // The moving star has a parallax of 0.134 arcseconds and recedes by 8.7 km/s there, which lists do not know: in fifty
        // years that is 0.01 arcseconds at most.
        let dec = -1.137_405_378_399_605_8_f64;
        let mas = |rate: f64| Angle::from_radians(rate).arcseconds() * 1000.0;
        let moving = StarPlace {
            pm_ra_cosdec_mas_per_yr: mas(0.197_374_921_784_908_75e-4 * dec.cos()),
            pm_dec_mas_per_yr: mas(0.565_971_491_327_272_3e-5),
            ..at(0.076_268_997_538_795_88, dec)
        };
        let fk5 = at(0.087_579_899_335_564_46, -1.132_279_113_042_092);
        let got = from_b1950(moving, 1950.0).unwrap();
        let difference = separation_arcsec(got, fk5);
        assert!(difference < 0.04, "{difference}");
        let dec = -1.132_279_113_042_092_f64;
        let pm = (mas(0.195_367_061_447_439_6e-4 * dec.cos()), mas(0.563_768_667_865_964e-5));
        assert!((got.pm_ra_cosdec_mas_per_yr - pm.0).abs() < 0.5, "{got:?} {pm:?}");
        assert!((got.pm_dec_mas_per_yr - pm.1).abs() < 0.5, "{got:?} {pm:?}");
    }

    #[test]
    fn the_equinox_of_a_year_moves_by_the_general_precession() {
        // Lieske et al. 1977, A&A 58, 1: at the equinox right ascension grows by m = 3.075 s and declination by n = 20.04
        // arcseconds a year.
        let place = at(0.0, 0.0);
        let moved = from_mean_place(place, 2010.0);
        let back = moved.right_ascension.wrapped_signed().arcseconds() / 15.0;
        assert!((back + 30.75).abs() < 0.01, "{back}");
        assert!((moved.declination.arcseconds() + 200.4).abs() < 0.1, "{}", moved.declination.arcseconds());
        assert!(separation_arcsec(from_mean_place(place, 2000.0), place) < 0.03, "the frame bias alone");
    }

    #[test]
    fn proper_motion_is_taken_back_to_j2000() {
        let place = StarPlace {
            pm_ra_cosdec_mas_per_yr: -1000.0,
            pm_dec_mas_per_yr: 500.0,
            ..StarPlace::fixed(Angle::from_degrees(100.0), Angle::from_degrees(60.0))
        };
        let then = moved(place, 2016.0, 2000.0).unwrap();
        // Arithmetic of the definition: 16 years of one second a year, over the cosine of 60 degrees.
        assert!(((then.right_ascension.degrees() - 100.0) * 3600.0 - 32.0).abs() < 0.01);
        assert!(((then.declination.degrees() - 60.0) * 3600.0 + 8.0).abs() < 0.01);
        assert!((then.pm_dec_mas_per_yr - 500.0).abs() < 1.0);
    }

    #[test]
    fn words_name_a_frame() {
        let b1950 = Some(Frame::B1950 { epoch: 1950.0 });
        for (words, motion, frame) in [
            ("J2000", false, Some(Frame::USUAL)),
            ("2000.0", false, Some(Frame::USUAL)),
            ("ICRS", true, Some(Frame::USUAL)),
            ("FK5 J2000", false, Some(Frame::USUAL)),
            ("B1950", false, b1950),
            ("1950", false, b1950),
            ("FK4", false, b1950),
            ("J2016.0", true, Some(Frame::Icrs { epoch: 2016.0 })),
            ("ICRS J2016", true, Some(Frame::Icrs { epoch: 2016.0 })),
            ("J2016.0", false, Some(Frame::OfDate { year: 2016.0 })),
            ("2027,2", false, Some(Frame::OfDate { year: 2027.2 })),
            ("B1900", false, None),
            ("of date", false, None),
            ("", false, None),
        ] {
            assert_eq!(Frame::of_words(words, motion), frame, "{words}");
        }
    }
}
