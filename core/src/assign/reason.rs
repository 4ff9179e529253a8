//! Every verdict about a port as data, worded elsewhere.

use crate::units::{Angle, Magnitude, SurfaceBrightness};

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
        /// Long side of the field.
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
    },
    /// The pixels are too coarse for tonight's seeing and this target.
    UnderSampled {
        /// Sky covered by a pixel.
        pixel: Angle,
        /// Seeing at the target's airmass.
        seeing: Angle,
    },
    /// Too faint against the sky for a visitor's eye.
    TooFaintForEye {
        /// Surface brightness of the target.
        target: SurfaceBrightness,
        /// Surface brightness of the sky there.
        sky: SurfaceBrightness,
    },
    /// Shows well to the eye.
    BrightForEye,
    /// A camera builds it up on the screen within a stop.
    ScreenShowsIt,
    /// Too faint even for the camera in the time of a stop.
    TooFaintForScreen {
        /// Surface brightness of the target.
        target: SurfaceBrightness,
        /// Surface brightness of the sky there.
        sky: SurfaceBrightness,
    },
    /// Too bright: burns out on this camera.
    Saturates,
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
    /// The magnification is more than the seeing bears.
    TooMuchMagnification {
        /// Magnification.
        magnification: f64,
    },
    /// Its size is not known.
    SizeUnknown,
    /// Its brightness is not known.
    BrightnessUnknown,
    /// The port is out of service tonight.
    OutOfService,
}
