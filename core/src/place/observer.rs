//! An observer at an instant: prepared once, then a few operations per source.

use std::sync::OnceLock;

use super::jupiter_system::{JupiterAt, JupiterSystem};
use super::light::{SunToObserver, aberrated, bent_by_the_sun};
use super::tracks::OnTracks;
use super::{Air, EveningSky, FixedSky, Source, airmass_kasten_young, refraction_saemundsson};
use crate::earth::ROTATION_RAD_PER_S;
use crate::elements::CometElements;
use crate::ephemeris::{
    AU_KM, Appearance, Body, MoonFace, Rings, SPEED_OF_LIGHT_KM_PER_S, appearance, jupiter_central_meridian,
    moon_face, saturn_rings,
};
use crate::maths::Vec3;
use crate::time::Instant;
use crate::units::{Angle, Magnitude};

/// All that site and instant decide.
///
/// The steps from a source to where it stands: light time, bending by the Sun (finite distance; none for the Sun
/// itself), aberration (exact, annual and diurnal in one), precession-nutation, Earth rotation.
///
/// Left out: bending by the Earth (0.6 milliarcseconds at most) and by the planets (16 at Jupiter's limb,
/// `4 G M / (c^2 R)`, and below 0.6 from ten arcminutes on), the parallax of stars, and the light time across the
/// Earth's orbit along their motion (0.05 milliarcseconds at 3 arcseconds a year).
#[derive(Clone, Debug)]
pub struct ObserverAt<'s> {
    instant: Instant,
    on_tracks: OnTracks<'s>,
    /// The site from the Earth's centre, on ICRS axes.
    site_km: Vec3,
    place_from_sun_km: Vec3,
    pub(super) fixed: FixedSky,
    sun: OnceLock<Observed>,
    moon: OnceLock<Observed>,
}

/// Where a source stands: its topocentric apparent place, without refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observed {
    /// Apparent right ascension, true equator and equinox of date.
    pub right_ascension: Angle,
    /// Apparent declination.
    pub declination: Angle,
    /// Hour angle, west positive, from minus to plus half a turn.
    pub hour_angle: Angle,
    /// Altitude without refraction.
    pub altitude: Angle,
    /// Azimuth from north through east, from 0 to a full turn.
    pub azimuth: Angle,
    /// Parallactic angle, positive west of the meridian.
    pub parallactic_angle: Angle,
    /// Distance in astronomical units, light time corrected; `None` for a fixed place.
    pub distance_au: Option<f64>,
    /// Unit vector on axes east, north, up.
    pub east_north_up: Vec3,
}

/// Where a source would stand without aberration and bending: light time only, ICRS axes, from the site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Astrometric {
    /// Right ascension on ICRS axes.
    pub right_ascension: Angle,
    /// Declination on ICRS axes.
    pub declination: Angle,
    /// Distance in astronomical units, light time corrected; `None` for a fixed place.
    pub distance_au: Option<f64>,
}

/// How often a comet's light time is made better: each time by the speed of the comet over that of light, a factor of a
/// thousand and more.
const LIGHT_TIME_STEPS: usize = 3;

/// Seconds that light takes for a kilometre.
const S_PER_LIGHT_KM: f64 = 1.0 / SPEED_OF_LIGHT_KM_PER_S;

/// A body as its light left it.
struct Seen {
    from_observer_km: Vec3,
    from_sun_km: Vec3,
}

impl<'s> ObserverAt<'s> {
    pub(super) fn new(sky: &'s EveningSky<'s>, instant: Instant) -> Self {
        let on_tracks = sky.tracks.at(instant);
        let (icrs_to_true_of_date, to_earth_fixed) = sky.frame().rotations(instant);
        let icrs_to_earth_fixed = to_earth_fixed * icrs_to_true_of_date;
        let to_icrs = icrs_to_earth_fixed.transposed();
        let site = sky.earth_fixed_km;
        // The ground moves with the turning Earth: omega x r.
        let site_km_per_s = Vec3::new(-site.y, site.x, 0.0) * ROTATION_RAD_PER_S;
        let site_km = to_icrs * site;
        let velocity = (on_tracks.earth_km_per_s() + to_icrs * site_km_per_s) * S_PER_LIGHT_KM;
        let place_from_sun_km = on_tracks.earth_from_sun_km() + site_km;
        let from_sun_km = place_from_sun_km.length();
        let fixed = FixedSky {
            instant,
            velocity,
            inverse_lorentz: (1.0 - velocity.dot(velocity)).sqrt(),
            sun_to_observer: SunToObserver::new(place_from_sun_km * (1.0 / from_sun_km), from_sun_km / AU_KM),
            icrs_to_true_of_date,
            icrs_to_east_north_up: sky.east_north_up * icrs_to_earth_fixed,
            latitude_sin_cos: sky.latitude_sin_cos,
        };
        Self {
            instant,
            on_tracks,
            site_km,
            place_from_sun_km,
            fixed,
            sun: OnceLock::new(),
            moon: OnceLock::new(),
        }
    }

    /// What fixed places need of it.
    pub fn fixed_sky(&self) -> FixedSky {
        self.fixed
    }

    /// The instant.
    pub fn instant(&self) -> Instant {
        self.instant
    }

    /// Where a source stands.
    pub fn observe(&self, source: &Source) -> Observed {
        match source {
            Source::Body(Body::Sun) => self.sun(),
            Source::Body(Body::Moon) => self.moon(),
            Source::Body(body) => self.observe_body(*body),
            Source::Star(star) => self.fixed.observe(star),
            Source::Comet(comet) => {
                let seen = self.seen_comet(comet);
                let distance_au = seen.from_observer_km.length() / AU_KM;
                self.fixed.observed(self.apparent(&seen), Some(distance_au))
            }
        }
    }

    /// The unit vector towards a source on axes east, north, up: all that a bulk loop needs.
    pub fn direction(&self, source: &Source) -> Vec3 {
        match source {
            Source::Body(body) => {
                self.fixed.icrs_to_east_north_up * self.apparent_body(*body, &self.seen(*body))
            }
            Source::Star(star) => self.fixed_direction(star.direction(self.instant)),
            Source::Comet(comet) => self.fixed.icrs_to_east_north_up * self.apparent(&self.seen_comet(comet)),
        }
    }

    /// As [`Self::direction`], for a fixed place whose unit vector on ICRS axes is at hand already
    /// ([`StarPlace::direction`](super::StarPlace::direction) changes by less than 0.01 arcseconds a night).
    pub fn fixed_direction(&self, icrs: Vec3) -> Vec3 {
        self.fixed.icrs_to_east_north_up * self.fixed.apparent(icrs)
    }

    /// Where the Sun stands; computed once.
    pub fn sun(&self) -> Observed {
        *self.sun.get_or_init(|| self.observe_body(Body::Sun))
    }

    /// Where the Moon stands; computed once.
    pub fn moon(&self) -> Observed {
        *self.moon.get_or_init(|| self.observe_body(Body::Moon))
    }

    /// Where a source would stand without aberration and bending.
    pub fn astrometric(&self, source: &Source) -> Astrometric {
        let (vector, distance_au) = match source {
            Source::Body(body) => {
                let vector = self.seen(*body).from_observer_km;
                (vector, Some(vector.length() / AU_KM))
            }
            Source::Star(star) => (star.direction(self.instant), None),
            Source::Comet(comet) => {
                let vector = self.seen_comet(comet).from_observer_km;
                (vector, Some(vector.length() / AU_KM))
            }
        };
        let (right_ascension, declination) = vector.spherical();
        Astrometric { right_ascension, declination, distance_au }
    }

    /// How a body looks: diameter, phase, magnitude.
    pub fn appearance(&self, body: Body) -> Appearance {
        let seen = self.seen(body);
        appearance(body, self.instant, seen.from_observer_km, seen.from_sun_km)
    }

    /// How bright a comet is by its elements; `None` where they don't say.
    pub fn comet_magnitude(&self, comet: &CometElements) -> Option<Magnitude> {
        let seen = self.seen_comet(comet);
        comet.magnitude(seen.from_sun_km.length() / AU_KM, seen.from_observer_km.length() / AU_KM)
    }

    /// Saturn's rings.
    pub fn saturn_rings(&self) -> Rings {
        let seen = self.seen(Body::Saturn);
        saturn_rings(self.instant, seen.from_observer_km, seen.from_sun_km)
    }

    /// Longitude of Jupiter's central meridian, System II, west positive.
    pub fn jupiter_central_meridian(&self) -> Angle {
        jupiter_central_meridian(self.instant, self.seen(Body::Jupiter).from_observer_km)
    }

    /// Jupiter's disc, its four large moons and their shadows.
    pub fn jupiter_system(&self) -> JupiterSystem {
        let Seen { from_observer_km, from_sun_km } = self.seen(Body::Jupiter);
        let km_per_s = self.on_tracks.seen(Body::Jupiter).km_per_s;
        let jupiter = JupiterAt { instant: self.instant, from_observer_km, from_sun_km, km_per_s };
        JupiterSystem::new(&jupiter, |direction| {
            self.fixed.icrs_to_true_of_date
                * aberrated(direction, self.fixed.velocity, self.fixed.inverse_lorentz)
        })
    }

    /// The Moon's libration and terminator.
    pub fn moon_face(&self) -> MoonFace {
        let seen = self.seen(Body::Moon);
        moon_face(self.instant, seen.from_observer_km, seen.from_sun_km)
    }

    /// As [`Self::direction`], and the distance in kilometres, light time corrected.
    pub(crate) fn direction_and_distance(&self, body: Body) -> (Vec3, f64) {
        let seen = self.seen(body);
        let direction = self.fixed.icrs_to_east_north_up * self.apparent_body(body, &seen);
        (direction, seen.from_observer_km.length())
    }

    fn observe_body(&self, body: Body) -> Observed {
        let seen = self.seen(body);
        self.fixed.observed(self.apparent_body(body, &seen), Some(seen.from_observer_km.length() / AU_KM))
    }

    /// A body as the light left it that reaches the site.
    #[inline]
    fn seen(&self, body: Body) -> Seen {
        let seen = self.on_tracks.seen(body);
        let from_site_km = seen.from_earth_km - self.site_km;
        let distance_km = from_site_km.length();
        // The light that reaches the site now left so much earlier than that which reaches the Earth's
        // centre; the second-order part is below a millimetre.
        let earlier_s = (distance_km - seen.from_earth_km.length()) * S_PER_LIGHT_KM;
        let from_observer_km = from_site_km - seen.km_per_s * earlier_s;
        let light_time_s = distance_km * S_PER_LIGHT_KM;
        let from_sun_km =
            self.place_from_sun_km + from_observer_km + self.on_tracks.sun_km_per_s() * light_time_s;
        Seen { from_observer_km, from_sun_km }
    }

    /// A comet as the light left it that reaches the site.
    fn seen_comet(&self, comet: &CometElements) -> Seen {
        let now_s = self.instant.tdb_seconds();
        let mut light_time_s = 0.0;
        let mut seen = self.comet_at(comet, now_s, light_time_s);
        for _ in 0..LIGHT_TIME_STEPS {
            light_time_s = seen.from_observer_km.length() * S_PER_LIGHT_KM;
            seen = self.comet_at(comet, now_s, light_time_s);
        }
        seen
    }

    fn comet_at(&self, comet: &CometElements, now_s: f64, light_time_s: f64) -> Seen {
        let from_sun_km = comet.from_sun_km(now_s - light_time_s);
        // The Sun stood elsewhere when the light left.
        let sun_moved_km = self.on_tracks.sun_km_per_s() * light_time_s;
        Seen { from_observer_km: from_sun_km - self.place_from_sun_km - sun_moved_km, from_sun_km }
    }

    #[inline]
    fn apparent_body(&self, body: Body, seen: &Seen) -> Vec3 {
        match body {
            Body::Sun => {
                let direction = seen.from_observer_km.unit();
                aberrated(direction, self.fixed.velocity, self.fixed.inverse_lorentz)
            }
            _ => self.apparent(seen),
        }
    }

    /// Bent by the Sun and aberrated.
    #[inline]
    fn apparent(&self, seen: &Seen) -> Vec3 {
        let direction = seen.from_observer_km.unit();
        let bent = bent_by_the_sun(direction, seen.from_sun_km.unit(), self.fixed.sun_to_observer);
        aberrated(bent, self.fixed.velocity, self.fixed.inverse_lorentz)
    }
}

impl Observed {
    /// The angle to another place in the same sky.
    pub fn separation(&self, other: &Self) -> Angle {
        self.east_north_up.angle_to(other.east_north_up)
    }

    /// The altitude with refraction; see [`refraction_saemundsson`] for its range.
    pub fn apparent_altitude(&self, air: Air) -> Angle {
        self.altitude + refraction_saemundsson(self.altitude, air)
    }

    /// The airmass, by the altitude with refraction; `None` below the horizon.
    pub fn airmass(&self, air: Air) -> Option<f64> {
        airmass_kasten_young(self.apparent_altitude(air))
    }
}
