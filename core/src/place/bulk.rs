//! A whole catalogue at an instant: thousands of fixed places to what can be planned by, without an angle.
//!
//! Sines and cosines are what altitudes and separations are compared by; take an angle only where one is
//! shown. The loops hold no branch and no call, so that the compiler makes vector instructions of them.

use super::ObserverAt;
use super::light::{bent_by_the_sun, quotient};
use crate::maths::Vec3;

/// Unit vectors on ICRS axes, one array for each axis.
#[derive(Clone, Debug, Default)]
pub struct FixedPlaces {
    x: Vec<f64>,
    y: Vec<f64>,
    z: Vec<f64>,
}

/// What a catalogue looks like at an instant, row by row as in its [`FixedPlaces`].
#[derive(Clone, Debug, Default)]
pub struct CatalogueView {
    /// Sine of the altitude without refraction.
    pub sin_altitude: Vec<f64>,
    /// Airmass by the altitude without refraction, from 1 at the zenith to 31.7 at the horizon and below,
    /// within 1e-6.
    ///
    /// Source: Young 1994, Applied Optics 33, 1108. It is 0.3 % below
    /// [`airmass_kasten_young`](super::airmass_kasten_young) of the refracted altitude at 20 degrees, 0.8 %
    /// at 10.
    pub airmass: Vec<f32>,
    /// Cosine of the angle from the Moon.
    pub cos_moon_separation: Vec<f64>,
}

/// Unit vectors on axes east, north, up, one array for each axis.
#[derive(Clone, Debug, Default)]
pub struct CatalogueDirections {
    /// Towards east.
    pub east: Vec<f64>,
    /// Towards north.
    pub north: Vec<f64>,
    /// Upwards: the sine of the altitude.
    pub up: Vec<f64>,
}

impl FixedPlaces {
    /// From unit vectors on ICRS axes ([`StarPlace::direction`](super::StarPlace::direction)), for instants
    /// near that of `observer`.
    ///
    /// The bending of light by the Sun is put into them here, once: 20 degrees from the Sun it changes by
    /// 0.0006 arcseconds in 12 hours. So take an observer in the middle of the night.
    pub fn near(observer: &ObserverAt<'_>, directions: impl IntoIterator<Item = Vec3>) -> Self {
        let mut places = Self::default();
        for direction in directions {
            let bent = bent_by_the_sun(direction, direction, observer.fixed.sun_to_observer).unit();
            places.x.push(bent.x);
            places.y.push(bent.y);
            places.z.push(bent.z);
        }
        places
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }
}

/// A direction to project places on (up, the Moon), with the aberration of the places folded into it.
///
/// ```text
/// u = (U . p / gamma + (1 + s k) U . v) / (1 + s),  s = p . v,  k = 1 / (1 + 1 / gamma)
///   = (W . p + U . v) / (1 + s),                    W = U / gamma + k (U . v) v
/// ```
///
/// That is [`aberrated`](super::light::aberrated), exact.
#[derive(Clone, Copy)]
struct Axis {
    w: Vec3,
    along_velocity: f64,
}

impl ObserverAt<'_> {
    /// Looks at a whole catalogue; `view` takes its size. Within 0.001 arcseconds of [`Self::observe`] for
    /// places more than 20 degrees from the Sun, on the night for which they were prepared.
    pub fn view_catalogue(&self, places: &FixedPlaces, view: &mut CatalogueView) {
        let count = places.len();
        view.sin_altitude.resize(count, 0.0);
        view.airmass.resize(count, 0.0);
        view.cos_moon_separation.resize(count, 0.0);
        let up = self.axis(self.fixed.icrs_to_east_north_up.row(2));
        let moon = self.axis(self.fixed.icrs_to_east_north_up.transposed() * self.moon().east_north_up);
        let inputs = places.x.iter().zip(&places.y).zip(&places.z);
        let outputs = view.sin_altitude.iter_mut().zip(&mut view.cos_moon_separation).zip(&mut view.airmass);
        for (((x, y), z), ((sin_altitude, cos_moon), airmass)) in inputs.zip(outputs) {
            let place = Vec3::new(*x, *y, *z);
            let quotient = quotient(place.dot(self.fixed.velocity));
            let sine = up.project(place, quotient);
            *sin_altitude = sine;
            *cos_moon = moon.project(place, quotient);
            *airmass = sine as f32;
        }
        // Apart, since half as wide numbers go twice as many to an instruction.
        for airmass in &mut view.airmass {
            *airmass = airmass_young(*airmass);
        }
    }

    /// Directions of a whole catalogue; accuracy as above.
    pub fn directions_of_catalogue(&self, places: &FixedPlaces, directions: &mut CatalogueDirections) {
        let count = places.len();
        directions.east.resize(count, 0.0);
        directions.north.resize(count, 0.0);
        directions.up.resize(count, 0.0);
        let [east_axis, north_axis, up_axis] =
            [0, 1, 2].map(|index| self.axis(self.fixed.icrs_to_east_north_up.row(index)));
        let inputs = places.x.iter().zip(&places.y).zip(&places.z);
        let outputs = directions.east.iter_mut().zip(&mut directions.north).zip(&mut directions.up);
        for (((x, y), z), ((east, north), up)) in inputs.zip(outputs) {
            let place = Vec3::new(*x, *y, *z);
            let quotient = quotient(place.dot(self.fixed.velocity));
            *east = east_axis.project(place, quotient);
            *north = north_axis.project(place, quotient);
            *up = up_axis.project(place, quotient);
        }
    }

    fn axis(&self, direction: Vec3) -> Axis {
        let along_velocity = direction.dot(self.fixed.velocity);
        let k = 1.0 / (1.0 + self.fixed.inverse_lorentz);
        let w = direction * self.fixed.inverse_lorentz + self.fixed.velocity * (k * along_velocity);
        Axis { w, along_velocity }
    }
}

impl Axis {
    #[inline]
    fn project(self, place: Vec3, quotient: f64) -> f64 {
        (self.w.dot(place) + self.along_velocity) * quotient
    }
}

/// Airmass by the cosine of the zenith distance without refraction (Young 1994); below the horizon that at
/// it.
#[inline]
fn airmass_young(cosine: f32) -> f32 {
    // (1.002432 c^2 + 0.148386 c + 0.0096467) / (c^3 + 0.149864 c^2 + 0.0102963 c + 0.000303978)
    // A choice that is one instruction, where `max` asks after numbers that are none.
    let c = if cosine > 0.0 { cosine } else { 0.0 };
    let above = (1.002_432 * c + 0.148_386) * c + 0.009_646_7;
    let below = ((c + 0.149_864) * c + 0.010_296_3) * c + 0.000_303_978;
    above / below
}

#[cfg(test)]
mod tests {
    use super::airmass_young;

    #[test]
    fn airmass_of_the_published_formula() {
        // Young 1994 evaluated apart from this code.
        for (altitude_deg, want) in [
            (90.0, 1.0000),
            (60.0, 1.1541),
            (45.0, 1.4121),
            (30.0, 1.9917),
            (20.0, 2.8951),
            (15.0, 3.7964),
            (10.0, 5.5407),
            (5.0, 10.059),
            (2.0, 18.063),
            (0.0, 31.73),
        ] {
            let got = airmass_young(f32::to_radians(altitude_deg).sin());
            assert!((got / want - 1.0).abs() < 2e-4, "{altitude_deg}: got {got}");
        }
        assert_eq!(airmass_young(-0.01), airmass_young(0.0));
    }
}
