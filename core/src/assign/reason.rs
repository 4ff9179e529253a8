//! Every verdict about a port as data, worded elsewhere.

use crate::units::{Angle, Fraction, Magnitude, SurfaceBrightness};

/// How a target's size sits in a field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// The whole of it, with the share of the field that it takes where it is tightest.
    Whole {
        /// From above 0 to 1.
        filled: f64,
    },
    /// Only part of it, with the share that the field shows along the axis that fits least.
    Part {
        /// From above 0 to below 1.
        shown: f64,
    },
    /// A point, or too small in this field to be more than a dot.
    Dot,
    /// Its size is not known.
    Unknown,
}

/// One reason for or against a port.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The whole target fits.
    Fits {
        /// Long axis of the target.
        target: Angle,
        /// Short side of the field.
        field: Angle,
    },
    /// Too big: only part of it is in the field.
    TooBig {
        /// Long axis of the target.
        target: Angle,
        /// What the field shows of it, by its shorter side where nothing turns the long axis along the longer one.
        field: Angle,
    },
    /// Too small to be more than a dot in this field.
    TooSmall {
        /// Long axis of the target.
        target: Angle,
        /// Short side of the field.
        field: Angle,
    },
    /// The bright core is the thing to frame, the whole being too big.
    CoreFits {
        /// Diameter of the core.
        core: Angle,
        /// Short side of the field.
        field: Angle,
        /// Long axis of the whole target.
        whole: Angle,
        /// What the field shows of the long axis, the core in its middle.
        shown: Angle,
    },
    /// Without a rotator the field turns, and frames must be short to keep its corners sharp.
    FieldTurns {
        /// How fast, in arcseconds a second.
        arcsec_per_s: f64,
        /// The longest frame that keeps the corners sharp, in seconds.
        longest_frame_s: f64,
    },
    /// The pixels are too coarse for tonight's seeing and this target.
    UnderSampled {
        /// Sky covered by a pixel.
        pixel: Angle,
        /// Seeing at the target's airmass.
        seeing: Angle,
    },
    /// The pixels are much finer than tonight's seeing: binned, the picture would be as sharp and sooner there.
    OverSampled {
        /// Sky covered by a pixel.
        pixel: Angle,
        /// Seeing at the target's airmass.
        seeing: Angle,
        /// Pixels a side to bin for two to three across the seeing.
        bin: u32,
    },
    /// Too faint against the sky for a visitor's eye.
    TooFaintForEye {
        /// Surface brightness of the target.
        target: SurfaceBrightness,
        /// Surface brightness of the sky there.
        sky: SurfaceBrightness,
    },
    /// Lost on a first-time visitor's eye, though one used to the dark and trained on faint things sees it.
    ForTrainedEyes {
        /// Magnitudes above what a trained, adapted eye needs.
        trained_above_mag: f64,
        /// Magnitudes above what a first-time visitor's eye needs; below 0 it sees nothing.
        visitor_above_mag: f64,
    },
    /// The eye of a first-time visitor sees it.
    BrightForEye {
        /// Magnitudes above what that eye needs.
        above_mag: f64,
    },
    /// A disc brighter than the sky around it.
    OutshinesSky {
        /// Magnitudes by which a square arcsecond of it is brighter.
        above_mag: f64,
    },
    /// A camera shows it on the screen.
    ScreenShowsIt {
        /// Seconds of exposure until a group sees that it is there.
        seconds: f64,
        /// Seconds until it has a clear shape.
        clear_s: f64,
    },
    /// The air blurs detail: few resolved elements fit across the disc.
    FineDetailLost {
        /// Long axis of the disc, rings included.
        target: Angle,
        /// Seeing and colour fringes together at the target's airmass.
        blur: Angle,
    },
    /// The fainter star of a pair drowns in the light of the brighter one.
    Glare {
        /// Separation of the pair.
        separation: Angle,
        /// Difference of the two in magnitudes.
        difference_mag: f64,
    },
    /// The Sun shines on the Moon from nearly above: no shadows to show relief.
    NoShadows {
        /// Lit share of the disc.
        illuminated: Fraction,
    },
    /// Too faint even for the camera in the time of a stop.
    TooFaintForScreen {
        /// Surface brightness of the target.
        target: SurfaceBrightness,
        /// Surface brightness of the sky there.
        sky: SurfaceBrightness,
    },
    /// Too bright: burns out on this camera.
    Saturates {
        /// Seconds until its brightest pixels are full.
        full_s: f64,
        /// The shortest exposure, in seconds.
        shortest_s: f64,
    },
    /// So bright in the eyepiece that it dazzles; a filter, or light in the dome, helps.
    Dazzles {
        /// Surface brightness as the eye gets it.
        brightness: SurfaceBrightness,
    },
    /// The Sun at a place on the Moon: how long its shadows are.
    ShadowsAt {
        /// Altitude of the Sun there.
        sun_altitude: Angle,
    },
    /// A place on the Moon near its limb, drawn out to a line.
    NearLimb {
        /// How far inside the limb, along the Moon's ground.
        from_limb: Angle,
        /// Altitude of the Sun there.
        sun_altitude: Angle,
    },
    /// A place on the Moon turned away from us tonight.
    BeyondLimb {
        /// How far beyond the limb, along the Moon's ground.
        beyond: Angle,
    },
    /// A place on the Moon in the lunar night.
    LunarNight {
        /// Altitude of the Sun there, below 0.
        sun_altitude: Angle,
    },
    /// The pair is split at this seeing.
    SplitsPair {
        /// Separation of the pair.
        separation: Angle,
        /// Seeing at the target's airmass.
        seeing: Angle,
    },
    /// The pair is closer than seeing or aperture allow.
    PairTooClose {
        /// Separation of the pair.
        separation: Angle,
        /// The closest pair that can be split.
        limit: Angle,
    },
    /// Colour is seen better by eye.
    ColourByEye,
    /// Nothing to show on a spectrograph.
    NoSpectrum,
    /// Gives a spectrum within a stop.
    SpectrumShows {
        /// Magnitude of the star.
        star: Magnitude,
        /// Faintest that does.
        limit: Magnitude,
    },
    /// Too faint for a spectrum within a stop.
    TooFaintForSpectrum {
        /// Magnitude of the star.
        star: Magnitude,
        /// Faintest that does.
        limit: Magnitude,
    },
    /// Magnified, the blur of the air shows.
    TooMuchMagnification {
        /// Magnification.
        magnification: f64,
        /// Seeing and colour fringes together at the target's airmass, not magnified.
        blur: Angle,
    },
    /// Its size is not known.
    SizeUnknown,
    /// Its brightness is not known.
    BrightnessUnknown,
    /// The seeing given is none; an ordinary night's was taken.
    SeeingUnknown,
    /// Sky or air are no numbers, or none that a night has, so nothing can be said.
    NumbersMissing,
    /// The port is out of service tonight.
    OutOfService,
}
