//! What the optics separate: two stars, pixels against seeing, wavelengths in a spectrum.

use super::{Camera, Spectrograph, Telescope};
use crate::units::Angle;

/// The wavelength of the eye by day, in millimetres: 550 nm.
const WAVELENGTH_MM: f64 = 550e-6;

impl Telescope {
    /// The gap at which two equal stars are seen apart: `116 / D` arcseconds, D in millimetres.
    ///
    /// Source: Dawes 1867, Memoirs of the Royal Astronomical Society 35, 137.
    pub fn dawes_limit(&self) -> Angle {
        Angle::from_arcseconds(116.0 / self.aperture_mm)
    }

    /// The gap at which one star stands on the first dark ring of the other: `1.22 lambda / D` at 550 nm.
    ///
    /// Source: Rayleigh 1879, Philosophical Magazine 8, 261.
    pub fn rayleigh_limit(&self) -> Angle {
        Angle::from_radians(1.22 * WAVELENGTH_MM / self.aperture_mm)
    }

    /// The lowest magnification whose exit pupil an eye of a pupil in millimetres takes in: `D / pupil`.
    pub fn lowest_magnification(&self, eye_pupil_mm: f64) -> f64 {
        self.aperture_mm / eye_pupil_mm
    }
}

impl Camera {
    /// Pixels, as they are read out, across the full width at half maximum of the seeing. Two to three sample it; fewer
    /// lose detail, many more only dilute the light.
    pub fn pixels_across(&self, telescope: &Telescope, seeing: Angle) -> f64 {
        seeing / self.pixel_scale(telescope)
    }

    /// The focal ratio at which the pixels just sample what the aperture separates at 550 nm, below which detail of a
    /// planet is lost in good seeing.
    ///
    /// `N = 2 p / lambda`, from two pixels to a period of the finest grating that a lens of focal ratio N passes,
    /// `lambda N`.
    pub fn critical_focal_ratio(&self) -> f64 {
        2.0 * self.pixel_um / 1000.0 / WAVELENGTH_MM
    }
}

impl Spectrograph {
    /// The finest difference of wavelength that it shows at 550 nm, in nanometres: `lambda / R`.
    pub fn resolution_nm(&self) -> f64 {
        550.0 / self.resolving_power
    }
}

#[cfg(test)]
mod tests {
    use crate::rig::sample::{rig, telescope_port};
    use crate::rig::{Instrument, Telescope};
    use crate::units::Angle;

    fn near(got: f64, want: f64, allowed: f64) {
        assert!((got - want).abs() <= allowed, "got {got}, want {want} within {allowed}");
    }

    // Computed apart from this code: Dawes and Rayleigh for 600 mm, 200 mm and 1 m.
    #[test]
    fn what_an_aperture_separates() {
        let of = |aperture_mm: f64| Telescope { aperture_mm, ..rig().telescope };
        near(of(600.0).dawes_limit().arcseconds(), 0.193, 0.0005);
        near(of(600.0).rayleigh_limit().arcseconds(), 0.231, 0.0005);
        near(of(200.0).dawes_limit().arcseconds(), 0.580, 0.0005);
        near(of(200.0).rayleigh_limit().arcseconds(), 0.692, 0.0005);
        near(of(1000.0).dawes_limit().arcseconds(), 0.116, 0.0005);
        near(of(1000.0).rayleigh_limit().arcseconds(), 0.138, 0.0005);
    }

    // 600 mm over an eye of 7 mm and of 5 mm, to the nearest whole.
    #[test]
    fn lowest_magnifications_of_young_and_old_eyes() {
        near(rig().telescope.lowest_magnification(7.0), 86.0, 0.5);
        near(rig().telescope.lowest_magnification(5.0), 120.0, 1e-9);
    }

    // Seeing of 2 arcseconds over pixels of 0.2947; 2 p / 550 nm for 2.4 micrometres: f/8.7.
    #[test]
    fn sampling_of_seeing_and_of_planets() {
        let rig = rig();
        let camera = |id: &str| match &telescope_port(&rig, id).instrument {
            Instrument::Camera(camera) => camera.clone(),
            other => panic!("{other:?} is no camera"),
        };
        let seeing = Angle::from_arcseconds(2.0);
        near(camera("wide").pixels_across(&rig.telescope, seeing), 6.8, 0.05);
        near(camera("planetary").critical_focal_ratio(), 8.7, 0.05);
    }

    #[test]
    fn a_spectrograph_of_resolving_power_1000_shows_half_a_nanometre() {
        let rig = rig();
        let Instrument::Spectrograph(own) = &telescope_port(&rig, "spectrograph").instrument else {
            panic!("it is a spectrograph")
        };
        near(own.resolution_nm(), 0.55, 1e-9);
    }
}
